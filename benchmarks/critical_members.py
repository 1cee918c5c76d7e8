"""Members of the solver made from the cases whose critical loads 3D elasticity has solved
(`benchmarks/elasticity/buckling.py` and `braced_cases.py`, kept in `buckling.json`)."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from soapfilm.geometry.profiles.open import c_shape
from soapfilm.geometry.profiles.solid import rectangle_hollow
from soapfilm.geometry.profiles.symmetric import i_shape
from soapfilm.geometry.section import Section
from soapfilm.solver.member.critical.member_buckling import member_buckling
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.diaphragm import Diaphragm, DiaphragmPlate
from soapfilm.solver.member.model.load import LineLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.restraint import Deck, LateralSpring
from soapfilm.solver.member.model.solved_section import solved_section
from soapfilm.solver.member.model.support import Support, fork

from tests.critical.members import NU, ROLLED, STEEL, E, Load, factor, sagging, section, squeezed

KEPT = Path(__file__).parent / "elasticity" / "buckling.json"
#: Heights of the load over the middle of a rolled I and of one that steps.
ROLLED_LOADS = {"i-top": 150.0, "i-middle": 0.0, "i-bottom": -150.0}
STEPPED_LOADS = {"stepped-top": 150.0, "stepped-middle": 0.0}
LIPPED_COLUMN = c_shape(depth=202, width=76, wall_thickness=2, girth=21).section(material=STEEL)
LIPPED_BEAM = c_shape(depth=101, width=51, wall_thickness=1, girth=5.5).section(material=STEEL)
SLENDER = i_shape(
    overall_depth=600, overall_width=200, flange_thickness=12, web_thickness=6
).section(material=STEEL)
GIRDER = i_shape(
    overall_depth=800, overall_width=200, flange_thickness=12, web_thickness=6
).section(material=STEEL)
TUBE = rectangle_hollow(x_dim=300, y_dim=300, wall_thickness=3).section(material=STEEL)


def hogging(length: float) -> list[Load]:
    """1 N/mm^2 at the bottom face of the slender girder."""
    return sagging(length, -section(SLENDER).constants.second_moment_x / 300)


def down(start: float, end: float, y: float) -> list[Load]:
    """One newton in all."""
    return [LineLoad(start, end, (0, -1 / (end - start), 0), place=(0.0, y))]


THREE = [fork(0.0), fork(4000.0), fork(8000.0)]
BRACED: dict[str, tuple[Section, float, Sequence[Load], Sequence[Support] | None, dict[str, Any]]]
BRACED = {
    "deck-on-top": (
        ROLLED, 6000.0, down(1000.0, 5000.0, 150.0), None,
        {"restraints": [Deck(0.0, 6000.0, lateral_stiffness=0.05, level=150.0)]},
    ),
    "deck-hogging": (
        SLENDER, 6000.0, hogging(6000.0), None,
        {"restraints": [Deck(0.0, 6000.0, 20e3, 10.0, 300.0)]},
    ),
    "spring-hogging": (
        SLENDER, 6000.0, hogging(6000.0), None,
        {"restraints": [LateralSpring(3000.0, 1000.0, -300.0)]},
    ),
    "girder-diaphragms": (
        GIRDER, 6000.0, sagging(6000.0, section(GIRDER).constants.second_moment_x / 400), None,
        {"diaphragms": [Diaphragm(2000.0), Diaphragm(4000.0)]},
    ),
    "tube-diaphragms": (
        TUBE, 600.0, squeezed(600.0, section(TUBE).constants.area), None,
        {"diaphragms": [Diaphragm(150.0 * k, DiaphragmPlate(1.0, E, NU)) for k in (1, 2, 3)]},
    ),
    "fork-below": (ROLLED, 8000.0, down(1000.0, 3000.0, -150.0), THREE, {}),
    "fork-above": (ROLLED, 8000.0, down(1000.0, 3000.0, 150.0), THREE, {}),
    "tube-thick-diaphragms": (
        TUBE, 1200.0, squeezed(1200.0, section(TUBE).constants.area), None,
        {"diaphragms": [Diaphragm(150.0 * k, DiaphragmPlate(6.0, E, NU)) for k in range(1, 8)]},
    ),
}  # fmt: skip


@cache
def kept() -> Mapping[str, Mapping[str, Any]]:
    """All cases by name: what was solved, and the runs at two orders."""
    return MappingProxyType(json.loads(KEPT.read_text()))


def reference(name: str) -> float:
    """The 3D factor at the higher of two orders."""
    return float(kept()[name]["runs"][-1]["factor"])


def our_factor(name: str) -> float:
    """The smallest factor of the member whose sections deform.

    Raises
    ------
    KeyError
        For a name that is not kept.
    """
    if name in BRACED:
        outline, length, loads, supports, more = BRACED[name]
        return factor(outline, length, loads, supports=supports, **more)
    if name in ROLLED_LOADS:
        return factor(ROLLED, 4000.0, [_at_midspan(ROLLED_LOADS[name])])
    if name in STEPPED_LOADS:
        return _stepped(STEPPED_LOADS[name])
    if name == "lipped-column":
        area = section(LIPPED_COLUMN).constants.area
        return factor(LIPPED_COLUMN, 600.0, squeezed(600.0, area))
    if name == "lipped-beam":
        moment = section(LIPPED_BEAM).constants.second_moment_x / 50.5
        return factor(LIPPED_BEAM, 500.0, sagging(500.0, moment))
    raise KeyError(name)


def _at_midspan(y: float) -> LineLoad:
    """One newton over 100 mm."""
    return LineLoad(1950.0, 2050.0, (0, -0.01, 0), place=(0.0, y))


def _stepped(y: float) -> float:
    """Flanges of 8 mm, of 16 in the middle half."""
    profiles = {
        name: i_shape(
            overall_depth=300, overall_width=150, flange_thickness=flange, web_thickness=6
        )
        for name, flange in (("thin", 8.0), ("thick", 16.0))
    }
    known = {
        name: solved_section(profile.section(material=STEEL), name, 1e-4)
        for name, profile in profiles.items()
    }
    thin, thick = (known[name].constants for name in ("thin", "thick"))
    made = Member(
        Axis.straight(4000.0),
        (Segment(0, 1000, thin), Segment(1000, 3000, thick), Segment(3000, 4000, thin)),
        (fork(0.0), fork(4000.0)),
        loads=(_at_midspan(y),),
    )
    solution = solve_deforming(made, course_of(made, known))
    return member_buckling(solution, known, classical=[250e3]).factors[0].factor
