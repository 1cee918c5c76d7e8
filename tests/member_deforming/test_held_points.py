"""What bearings, supports at a point and decks push back with is answered as loads are: the section
has functions for it, so that few slow modes do."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from soapfilm.geometry.material import Material
from soapfilm.geometry.profiles.solid import rectangle_hollow
from soapfilm.solver.member.deforming.acting import acting_of
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member, Restraint, Segment
from soapfilm.solver.member.model.restraint import Deck
from soapfilm.solver.member.model.solved_section import SolvedSection, solved_section
from soapfilm.solver.member.model.support import Bearing, Support, fork

LENGTH, HALF = 9000.0, 500.0
STEEL = Material("steel", 210_000.0, 0.3)


@pytest.fixture(scope="module")
def box() -> SolvedSection:
    """1000 wide, 600 deep, walls of 12."""
    shape = rectangle_hollow(x_dim=2 * HALF, y_dim=600.0, wall_thickness=12.0)
    return solved_section(shape.section(material=STEEL, name="box"), "box", 1e-3)


def moved(
    box: SolvedSection,
    more: tuple[Support, ...] = (),
    restraints: tuple[Restraint, ...] = (),
    modes: int | None = None,
) -> NDArray[np.float64]:
    """(k, 2) movements of two edges, across and up."""
    supports = (fork(0.0, z="held"), *more, fork(LENGTH, z="free"))
    loads = (
        PointLoad(0.37 * LENGTH, (200.0, -2000.0, 0.0), (HALF, 300.0)),
        LineLoad(0.2 * LENGTH, 0.8 * LENGTH, (0.0, -1.0, 0.0), place=(HALF, 300.0)),
    )
    segments = (Segment(0.0, LENGTH, box.constants),)
    member = Member(Axis.straight(LENGTH), segments, supports, restraints, loads)
    solution = solve_deforming(member, course_of(member, {"box": box}, modes), orders=(5,))
    places = [(-HALF, 300.0), (HALF, -300.0)]
    found = solution.displacement(places, [0.25 * LENGTH, 0.5 * LENGTH, 0.7 * LENGTH])
    return np.asarray(found[..., :2, 0].reshape(-1, 2))


def parted(one: NDArray[np.float64], other: NDArray[np.float64]) -> float:
    """Largest difference by the largest movement."""
    return float(np.abs(one - other).max() / np.abs(other).max())


@pytest.mark.parametrize("own", ["bearing", "support"])
def test_what_holds_a_point_is_answered_however_the_point_is_told(
    box: SolvedSection, own: str
) -> None:
    """Under the bottom plate at half of its half width; without an answer it stood 5 % off."""
    middle, x = 0.5 * LENGTH, 0.5 * HALF
    told = Support(middle, z="free", bearings=(Bearing(x, -300.0, holds_down=True),))
    if own == "bearing":  # its level is that of the lowest material
        other = Support(middle, z="free", bearings=(Bearing(x, holds_down=True),))
    else:
        other = Support(middle, y="held", z="free", point=(x, -300.0))
    assert parted(moved(box, (other,)), moved(box, (told,))) < 1e-6


def test_few_modes_do_on_a_deck(box: SolvedSection) -> None:
    """A deck that is stiff against twist bends the plate that it holds: by 6 modes as by 20."""
    deck = Deck(0.2 * LENGTH, 0.9 * LENGTH, 1e9, 0.0, level=300.0)
    few, many = (moved(box, restraints=(deck,), modes=modes) for modes in (6, 20))
    assert parted(few, many) < 2e-4


def test_each_hold_is_noted_once(box: SolvedSection) -> None:
    """Of a deck what it holds, of a fork with a point nothing: it keeps the section's shape."""
    decks = (
        Deck(0.0, 4000.0, 1e6, 0.0, level=300.0),
        Deck(5000.0, 9000.0, 0.0, 1.0, level=300.0),
        Deck(4000.0, 5000.0, 1e6, 1.0),
    )
    supports = (fork(0.0, z="held", point=(0.0, -300.0)), fork(LENGTH))
    segments = (Segment(0.0, LENGTH, box.constants),)
    load = PointLoad(1.0, (0.0, -1.0, 0.0), (0.0, 300.0))
    found = acting_of(Member(Axis.straight(LENGTH), segments, supports, decks, (load,)))
    assert [force.point for force in found.forces] == [(0.0, 300.0)]
    assert [(hold.across, hold.turn) for hold in found.levels] == [(False, True), (True, False)]
