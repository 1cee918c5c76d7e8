"""Members that decks, springs, diaphragms and forks brace between their ends, beside 3D elasticity
(`benchmarks/elasticity/braced_cases.py`; orders differ by 0.6 % at most)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest
from soapfilm.geometry.profiles.solid import rectangle_hollow
from soapfilm.geometry.profiles.symmetric import i_shape
from soapfilm.geometry.section import Section
from soapfilm.solver.member.model.diaphragm import Diaphragm, DiaphragmPlate
from soapfilm.solver.member.model.load import LineLoad
from soapfilm.solver.member.model.restraint import Deck, LateralSpring
from soapfilm.solver.member.model.support import Support, fork

from .members import NU, ROLLED, STEEL, E, Load, factor, sagging, section, squeezed
from .test_local_and_distortional import reference

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
CASES: dict[str, tuple[Section, float, Sequence[Load], Sequence[Support] | None, dict[str, Any]]]
CASES = {
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
}  # fmt: skip


#: The plate's own 1 mm, which shortens the bays, and its bending, which holds the walls against
#: turning, are left out.
TOLERANCE = {"tube-diaphragms": 0.025}


@pytest.mark.parametrize("name", CASES)
def test_braced_members_as_in_elasticity(name: str) -> None:
    """With the deck spread over the whole section, hogging was 15 % on the unsafe side: the web
    bends between the flange that the deck holds and the other."""
    outline, length, loads, supports, more = CASES[name]
    found = factor(outline, length, loads, supports=supports, **more)
    assert found == pytest.approx(reference(name), rel=TOLERANCE.get(name, 1e-2))


def test_thick_diaphragms_clamp_walls_in_elasticity() -> None:
    """Plates of twice the walls' thickness: k = 9.5 there beside 6.0 here, on the safe side."""
    length, area = 1200.0, section(TUBE).constants.area
    plates = [Diaphragm(150.0 * k, DiaphragmPlate(6.0, E, NU)) for k in range(1, 8)]
    found = factor(TUBE, length, squeezed(length, area), diaphragms=plates)
    assert 0.6 < found / reference("tube-thick-diaphragms") < 1.0
