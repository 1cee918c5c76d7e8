"""Supports, bearings that lift, slip and decks of a member with deforming sections, beside the
classical theory where a compact section makes both alike."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.course import Course, MemberPart
from soapfilm.solver.member.deforming.reactions import reactions
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.restraint import Deck, TwistSpring
from soapfilm.solver.member.model.support import Bearing, Support, fixed, fork

from .sections import classical, reduced

BAR = ("rectangle", 100.0, 150.0)
LENGTH = 4000.0


def member(supports, loads, **more) -> Member:
    segment = Segment(0, LENGTH, classical(*BAR).constants)
    return Member(Axis.straight(LENGTH), (segment,), tuple(supports), loads=tuple(loads), **more)


def both(one: Member):
    section = reduced(*BAR)
    return solve(one), solve_deforming(one, Course((MemberPart(0, LENGTH, section, section),)))


# Spread over the section: a load on its edge dents it, which beam theory does not know.
ALONG = LineLoad(0, LENGTH, (2.0, -5.0, 0), torque=-525.0)


@pytest.mark.parametrize(
    ("supports", "more"),
    [
        ([fork(0.0), fork(LENGTH)], {}),
        ([fixed(0.0)], {}),
        ([fixed(0.0), fork(LENGTH)], {}),
        ([fork(0.0), fork(LENGTH)], {"restraints": (TwistSpring(2000.0, 5e7),)}),
        ([fork(0.0), fork(LENGTH)], {"restraints": (Deck(1000.0, 3000.0, 4e4, 0.5, 75.0),)}),
        ([fork(0.0), fork(LENGTH, twist="free"), fork(2000.0, twist=3e7, y=4e4)], {}),
    ],
)
def test_a_compact_bar_moves_and_is_held_as_in_beam_theory(supports, more) -> None:
    """Within 0.6 %: a fixed end and a fork also hold Poisson's contraction, which stiffens the bar
    over a length of its own depth (a twenty-seventh of its length)."""
    old, new = both(member(supports, [ALONG], **more))
    z = np.linspace(0.0, LENGTH, 9)
    for k in (0, 1):
        mine, theirs = new.movement("shear_centre", z)[k], old.movement("shear_centre", z)[k]
        assert mine == pytest.approx(theirs, abs=0.006 * np.abs(theirs).max())
    phi = old.at(z).phi
    assert new.twist(z) == pytest.approx(phi, abs=0.004 * np.abs(phi).max())
    for mine, theirs in zip(reactions(new, 0), old.reactions[0], strict=True):
        assert mine.force[:2] == pytest.approx(theirs.force[:2], abs=60.0)
        assert mine.torque == pytest.approx(theirs.torque, abs=6e3)


def test_a_bearing_lifts_and_the_other_carries_all() -> None:
    pair = (Bearing(-40.0, -75.0), Bearing(40.0, -75.0))
    supports = [fork(0.0), Support(LENGTH, x="held", bearings=pair)]
    load = PointLoad(3000.0, (0, -8000.0, 0), place=(0.0, 75.0), moment=(0, 0, -4e5))
    _, new = both(member(supports, [load]))
    row = reactions(new, 0)[1]
    assert [b.lifted for b in row.bearings] == [True, False]
    assert row.bearings[0].force == 0
    assert row.bearings[1].force == pytest.approx(6000.0, rel=1e-6)


def test_slip_of_the_twist_is_taken_up_first() -> None:
    slip = 0.002
    supports = [fork(0.0), fork(LENGTH, twist_slip=slip)]
    load = PointLoad(LENGTH / 2, moment=(0, 0, 3e6))
    old, new = both(member(supports, [load]))
    assert new.twist([LENGTH])[0, 0] == pytest.approx(slip, rel=1e-9)
    assert reactions(new, 0)[1].torque == pytest.approx(old.reactions[0][1].torque, rel=0.004)
