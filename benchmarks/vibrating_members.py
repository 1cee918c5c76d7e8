"""Members of the solver made from the cases whose frequencies 3D elasticity has solved
(`benchmarks/elasticity/modes.py`, kept in `frequencies.json`).

Where nothing holds a member along its axis in 3D, a spring so soft does here that the slide is the
first mode, below 0.1 Hz.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.vibration.analysis import Vibration, vibration_of

KEPT = Path(__file__).parent / "elasticity" / "frequencies.json"
STEEL = """
name = "beam"
unit = "mm"
[material.steel]
E = "210 GPa"
nu = 0.3
density = "7850 kg/m^3"
"""
#: Both ends held across and against twist, and somehow along.
ENDS = """
[[support]]
at = ["start", "end"]
x = "held"
y = "held"
twist = "held"
z = "{z}"
"""
#: What lets a member slide.
SOFT = "1 N/mm"
BOX = (
    STEEL
    + """
[[section.box.shape]]
material = "steel"
profile = "RectangleHollow"
XDim = {width}
YDim = 1000
WallThickness = {wall}
[[span]]
length = {length}
radius = {radius}
"""
    + ENDS
)
I_SHAPE = """
[[section.{name}.shape]]
material = "steel"
profile = "IShape"
OverallDepth = {depth}
OverallWidth = 150
WebThickness = {web}
FlangeThickness = {flange}
"""
TAPERED = (
    STEEL
    + I_SHAPE.format(name="root", depth=500, web=8, flange=12)
    + I_SHAPE.format(name="tip", depth=200, web=8, flange=12)
    + """
[[segment]]
section = "root"
taper_to = "tip"
[[span]]
length = 3000
[[support]]
at = "start"
kind = "fixed"
"""
)
STEPPED = (
    STEEL
    + I_SHAPE.format(name="thin", depth=300, web=6, flange=8)
    + I_SHAPE.format(name="thick", depth=300, web=6, flange=16)
    + """
[[segment]]
section = "thin"
to = "1 m"
[[segment]]
section = "thick"
to = "3 m"
[[segment]]
section = "thin"
[[span]]
length = 4000
"""
    + ENDS.format(z=SOFT)
)
#: Width and wall of the curved boxes.
BOXES = {"curved-box": (2000, 20), "sharply-curved-box": (1500, 16)}


@cache
def kept() -> Mapping[str, Mapping[str, Any]]:
    """All cases by name: words, frequencies in Hz, what the last order changed."""
    return MappingProxyType(json.loads(KEPT.read_text()))


def solved(text: str, modes: int, **options: bool) -> Vibration:
    request = member_from_toml(text)
    return vibration_of(
        request.member, request.sections, request.units, modes=modes, judged=False, **options
    )


@cache
def vibration(name: str) -> Vibration:
    """A kept case with a mode for each kept frequency, and the slide before them."""
    count = len(kept()[name]["frequencies"])
    if name == "tapered-i":
        return solved(TAPERED, count)
    if name == "stepped-i":
        return solved(STEPPED, count + 1)
    width, wall = BOXES[name]
    case = kept()[name]
    text = BOX.format(width=width, wall=wall, length=case["length"], radius=case["radius"], z=SOFT)
    return solved(text, count + 1)
