"""Reactions, whole: they balance the loads, decks stand among them, bearings tell what lifts."""

from __future__ import annotations

import math

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.model.axis import Arc, Axis, Straight
from soapfilm.solver.member.model.load import Combination, LineLoad, PointLoad, SelfWeight
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.restraint import Deck, LateralSpring, TwistSpring
from soapfilm.solver.member.model.support import Support, bearing_pair, fork
from soapfilm.solver.member.review.assessment import assess
from soapfilm.solver.member.review.connection import connection_actions
from soapfilm.solver.member.review.reactions import COMPONENTS, components, reactions_of

from .models import closed_section, skew_section, unit_section

#: What cancels must cancel to this share of its size.
ROUNDING = 1e-12


def random_member(seed: int) -> Member:
    """Straight or curved, with loads off the axis, springs, a deck, bearings."""
    r = np.random.default_rng(seed)
    section = skew_section()
    length = float(r.uniform(3e3, 12e3))
    pieces = (
        (Straight(length),)
        if r.random() < 0.5
        else (Straight(0.3 * length), Arc(0.7 * length, float(r.choice([-1, 1]) * 12e3)))
    )
    axis = Axis(pieces)
    length = axis.length
    supports = [
        fork(0.0, z="held", name="start", point=(float(r.uniform(-90, 90)), -120.0)),
        bearing_pair(
            length, 900.0, name="end", stiffness=float(r.uniform(2e4, 9e4)), holds_down=seed > 11
        ),
    ]
    restraints = [
        TwistSpring(0.4 * length, float(r.uniform(1e8, 1e10)), name="a"),
        LateralSpring(0.6 * length, float(r.uniform(1e2, 1e4)), 290.0, "b"),
        Deck(0.1 * length, 0.8 * length, 3e4, float(r.uniform(0.0, 5.0)), 300.0, "slab"),
    ]
    far = (float(r.uniform(-200, 200)), float(r.uniform(-300, 300)))
    loads = (
        PointLoad(float(r.uniform(0, length)), tuple(r.normal(size=3) * 1e4), far, case="a"),
        PointLoad(0.5 * length, moment=tuple(r.normal(size=3) * 1e6), bimoment=3e9, case="a"),
        LineLoad(0.2 * length, length, tuple(r.normal(size=3)), (0.0, -4.0, 1.0), far, case="b"),
        SelfWeight(9810.0, True, "b"),
    )
    combinations = tuple(
        Combination(name, {"a": float(r.uniform(-1, 2)), "b": 1.0}) for name in ("one", "two")
    )
    return Member(axis, (Segment(0.0, length, section),), tuple(supports), tuple(restraints), loads,
                  combinations, line=(20.0, -35.0))  # fmt: skip


@pytest.mark.parametrize("seed", range(12))
def test_what_holds_a_random_member_balances_its_loads(seed: int) -> None:
    (found,) = reactions_of(solve(random_member(seed)))
    assert found.miss.max() < ROUNDING
    # by hand, about the start: the sum of the printed vertical forces is the load's
    up = [sum(r.force[1] for r in rows) for rows in found.supports]
    np.testing.assert_allclose(up, -found.applied[1], rtol=1e-10)


def test_a_deck_that_holds_torque_stands_among_the_reactions() -> None:
    """Fork, deck spring k_t all along, uniform torque, no warping: k_t phi - G J phi'' = m, so
    phi = m/k_t (1 - cosh(r (z - L/2)) / cosh(r L/2)), r = sqrt(k_t / GJ) (derived)."""
    section = unit_section(math.inf, torsion_constant=2.0)
    length, k, m = 4.0, 3.0, 0.7
    loads = (LineLoad(0.0, length, torque=m),)
    deck = (Deck(0.0, length, k, name="slab"),)
    member = Member.prismatic(
        length, section, [fork(0.0), fork(length)], restraints=deck, loads=loads
    )
    (found,) = reactions_of(solve(member))
    rate = math.sqrt(k / 2.0)
    held = -m * length * (1 - math.tanh(rate * length / 2) / (rate * length / 2))
    (slab,) = found.decks
    assert slab.total_torque[0] == pytest.approx(held, rel=1e-10)
    shape = 1 - np.cosh(rate * (slab.z - length / 2)) / math.cosh(rate * length / 2)
    np.testing.assert_allclose(slab.torque[:, 0], -m * shape, atol=1e-9 * m)
    ends = sum(r.torque for r in found.supports[0])
    assert ends + slab.total_torque[0] == pytest.approx(-m * length, rel=1e-12)


def test_the_force_that_would_hold_a_lifted_bearing_down() -> None:
    """A torque rolls the pair at the end off its left bearing; the start takes the torque then.

    Held down, both ends share it: the left one pulls by its share less half the weight there."""
    section, length = closed_section(), 8.0
    # Each end stands on bearings 2 m apart; only those at the end may lift.
    supports = [
        bearing_pair(0.0, 2.0, name="start", holds_down=True),
        bearing_pair(length, 2.0, name="end"),
    ]
    weight, torque = 30.0, 80.0
    loads = (
        PointLoad(length / 2, (0.0, -2 * weight, 0.0)),
        PointLoad(length / 2, moment=(0.0, 0.0, torque)),
    )
    (found,) = reactions_of(solve(Member.prismatic(length, section, supports, loads=loads)))
    start, other, left, right = sorted(found.bearings, key=lambda b: (b.at, b.x))
    assert (left.side, right.side) == ("left", "right")
    lifted = left if left.lifts else right
    assert lifted.lifts == (0,)
    assert lifted.least == 0.0
    assert lifted.hold_down == pytest.approx(torque / 2 / 2 - weight / 2, rel=1e-9)
    # A bearing that holds down says how much.
    assert min(start.least, other.least) < 0
    assert max(start.hold_down, other.hold_down) == pytest.approx(
        -min(start.least, other.least), rel=1e-12
    )


def test_an_envelope_keeps_what_acts_together() -> None:
    (found,) = reactions_of(solve(random_member(3)))
    rows = [components(r) for r in found.of("start")]
    for extreme in found.envelope("start"):
        k = COMPONENTS.index(extreme.component)
        values = [row[k] for row in rows]
        pick = max if extreme.extreme == "max" else min
        assert extreme.values[k] == pick(values)
        assert extreme.values == rows[extreme.combination]


FILE = """
unit = "mm"
[section.beam]
shape = "HEB300"
material = "S355"
[[span]]
length = "4 m"
[[support]]
name = "column"
at = ["start", "end"]
kind = "fork"
lever_arm = "210 mm"
point = [0, -149]
[[deck]]
name = "slab"
twist = "60 kN*m/rad/m"
x = "2 kN/mm/m"
level = 140
[[load]]
case = "q"
weight = "5 kN/m"
place = [80, 100]
[[load]]
case = "p"
at = "1 m"
F_x = "3 kN"
F_z = "9 kN"
place = [40, 100]
"""


def test_both_theories_hold_the_whole_load() -> None:
    found = assess(member_from_toml(FILE), cures=False)
    leads, other = found.reactions
    assert (leads.theory, other.theory) == ("deforming", "classical")
    for theory in found.reactions:
        assert theory.miss.max() < 1e-10
        (slab,) = theory.decks
        held = slab.total_torque[0] + sum(r.torque for r in theory.supports[0])
        assert held == pytest.approx(5.0 * 4000 * 80, rel=1e-9)
        assert abs(slab.total_torque[0]) > 0.2 * held
    np.testing.assert_allclose(leads.applied, other.applied, atol=1e-9 * abs(leads.applied).max())


def test_a_connection_gets_its_actions_in_one_call() -> None:
    found = assess(member_from_toml(FILE), cures=False)
    (one,) = connection_actions(found, "column 1", "p")
    # Statics of the point load about the far column: 3 kN across and 0 up.
    assert one.force[0] < 0
    assert one.force[2] == pytest.approx(-9000.0, rel=1e-9)
    m_x, m_y, torque = one.about(0.0, 0.0)
    assert torque == pytest.approx(one.moment[2] + 149 * one.force[0], rel=1e-12)
    assert (m_x, m_y) == pytest.approx((one.moment[0] - 149 * one.force[2], one.moment[1]))
    assert [a.combination for a in connection_actions(found, "column 2")] == ["q", "p"]
    with pytest.raises(InputError, match=r"did you mean 'column 1'"):
        connection_actions(found, "colum 1")


def test_second_order_says_what_it_adds() -> None:
    member = Member.prismatic(
        6.0,
        closed_section(),
        [fork(0.0, z="held"), Support(6.0, x="held", y="held", twist="held")],
        loads=(LineLoad(0.0, 6.0, (0.0, -10.0, 0.0), place=(0.4, 1.0)),),
    )  # fmt: skip
    (found,) = reactions_of(solve(member, order="second"))
    assert found.miss.max() < 1e-9
    assert np.abs(found.moved).max() > 0


def test_what_shrinks_freely_is_in_balance() -> None:
    """A cantilever curved in plan: nothing acts and nothing holds it but rounding, whose sum was
    told as a third out of balance."""
    request = member_from_toml("""
    unit = "mm"
    [section.a]
    shape = "HEB200"
    material = "S355"
    [[span]]
    length = "3 m"
    radius = "30 m"
    [[support]]
    at = "start"
    kind = "fixed"
    [[load]]
    case = "dead"
    weight = "4 kN/m"
    place = [0, 0]
    [[shrinkage]]
    strain = 0.0003
    """)
    (found,) = reactions_of(solve(request.member))
    assert found.names == ("dead", "shrinkage")
    assert found.miss.max() < 1e-11
