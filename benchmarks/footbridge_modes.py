"""Why a deck on a tube twists at 7 Hz and not at 9: ``python -m benchmarks.footbridge_modes``
(a minute and a half).

An invented footbridge: a concrete deck 4 m wide on a steel tube 900 mm across, curved in plan at
30 m, spans of 22, 32 and 22 m on bearing pairs at the abutments and one bearing on each pier. With
sections that keep their shape its first torsional mode is near 9 Hz, as a beam model has it. The
deck twists on a tube that turns oval, which lowers that mode to 7 Hz; rigid diaphragms every 4 m
give the 9 Hz back. The first vertical mode, 2.3 Hz, is in the range of walking by either theory.
Kept in footbridge_modes.json, with the processor time.
"""

from __future__ import annotations

import json
import time
from pathlib import Path

from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.vibration.analysis import Vibration, vibration_of

DATA = Path(__file__).with_suffix(".json")
MODES = 8
SECTION = """
[[section.t{wall}.outline]]
name = "deck"
material = "concrete"
points = [[-2, -0.12], [-0.45, -0.28], [0.45, -0.28], [2, -0.12], [2, 0], [-2, 0]]
[[section.t{wall}.shape]]
name = "void"
material = "concrete"
profile = "Circle"
Radius = {inner}
move = [0, -0.7]
combine = "cut"
[[section.t{wall}.shape]]
name = "tube"
material = "steel"
profile = "CircleHollow"
Radius = 0.45
WallThickness = {thick}
move = [0, -0.7]
combine = "embed"
"""
HEAD = """
name = "curved footbridge"
unit = "m"
[material.steel]
grade = "S355"
[material.concrete]
grade = "C35/45"
creep_factor = 0.0
"""
MEMBER = """
[[support]]
name = "abutment"
at = ["start", "end"]
kind = "bearing pair"
spacing = 2.4
level = -1.15
[[support]]
name = "pier"
at = ["start of span 2", "start of span 3"]
bearings = [{ x = 0, y = -1.15 }]
[self_weight]
case = "dead"
factor = 1.03
"""
#: Wall of the tube in mm, and where it ends.
SEGMENTS = ((20, "17 m"), (40, "27 m"), (30, "49 m"), (40, "59 m"), (20, ""))
DIAPHRAGMS = '[[diaphragm]]\nevery = "4 m"\nfrom = "4 m"\nto = "74 m"\n'


def footbridge(more: str = "") -> str:
    """The member file."""
    text = HEAD
    for wall in (20, 30, 40):
        text += SECTION.format(wall=wall, thick=wall / 1000, inner=0.45 - wall / 2000)
    for wall, end in SEGMENTS:
        text += f'[[segment]]\nsection = "t{wall}"\n' + (f'to = "{end}"\n' if end else "")
    text += "".join(f"[[span]]\nlength = {length}\nradius = 30\n" for length in (22, 32, 22))
    return text + MEMBER + more


def modes(text: str, *, keep_shape: bool = False) -> tuple[Vibration, float]:
    """The modes, and the processor time from the solved constants on."""
    request = member_from_toml(text)
    begin = time.process_time()
    found = vibration_of(
        request.member, request.sections, request.units, keep_shape=keep_shape, modes=MODES
    )
    return found, time.process_time() - begin


def main() -> None:
    """Three ways to see one bridge."""
    runs = {
        "sections that deform": (footbridge(), False),
        "sections that keep their shape": (footbridge(), True),
        "rigid diaphragms every 4 m": (footbridge(DIAPHRAGMS), False),
    }
    table = {}
    for name, (text, keep_shape) in runs.items():
        found, seconds = modes(text, keep_shape=keep_shape)
        rows = [
            {"Hz": float(f"{f:.4g}"), "moves": word}
            for f, word in zip(found.frequencies, found.names, strict=True)
        ]
        table[name] = {"modes": rows, "seconds": round(seconds, 1)}
        print(name, table[name], flush=True)
    DATA.write_text(json.dumps(table, indent=1) + "\n")


if __name__ == "__main__":
    main()
