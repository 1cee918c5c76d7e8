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
from soapfilm.solver.member.model.support import Bearing, Support, bearing_pair, fixed, fork

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


def test_bearings_guide_at_their_level() -> None:
    """Statics: a force across above the bearings is a couple on them, by its height over their
    level and not over the shear centre."""
    across, height, level, spacing = 2.0, 40.0, -75.0, 60.0
    ends = [
        bearing_pair(z, spacing, level=level, holds_down=True, name=f"end {n}")
        for n, z in enumerate((0.0, LENGTH))
    ]
    load = LineLoad(0, LENGTH, (across, -5.0, 0), place=(0.0, height))
    straight, deforming = both(member(ends, [load]))
    couple = across * LENGTH / 2 * (height - level) / spacing
    for found in (straight.reactions[0], reactions(deforming, 0)):
        for row in found:
            left, right = row.bearings
            assert row.point == pytest.approx((0.0, level), abs=1e-12)
            assert row.force[0] == pytest.approx(-across * LENGTH / 2, rel=1e-9)
            assert right.force - left.force == pytest.approx(2 * couple, rel=1e-9)


def test_a_stated_point_goes_before_the_bearings_level() -> None:
    ends = [
        bearing_pair(z, 60.0, level=-75.0, holds_down=True, name=f"end {n}", point=(0.0, 0.0))
        for n, z in enumerate((0.0, LENGTH))
    ]
    load = LineLoad(0, LENGTH, (2.0, -5.0, 0), place=(0.0, 0.0))
    for found in both(member(ends, [load])):
        row = found.reactions[0][0] if hasattr(found, "mesh") else reactions(found, 0)[0]
        assert row.bearings[1].force == pytest.approx(row.bearings[0].force, rel=1e-6)
