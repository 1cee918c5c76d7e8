"""Supports, bearings, play, restraints, and mechanisms named in words."""

from __future__ import annotations

import math

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import Combination, LineLoad, PointLoad, SelfWeight
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.restraint import (
    Deck,
    LateralSpring,
    TwistSpring,
    play_angle,
    secondary_beam_stiffness,
)
from soapfilm.solver.member.model.support import (
    Bearing,
    Support,
    bearing_pair,
    fixed,
    fork,
    free_end,
)

from .models import closed_section, skew_section, unit_section

DOWN = LineLoad(0, 1, force=(0, -1.0, 0))
TORQUE = PointLoad(0.5, moment=(0, 0, 1.0))


def beam(*supports: Support, loads: tuple = (TORQUE,), **more: object) -> Member:
    return Member.prismatic(1.0, unit_section(2.0), supports, loads=loads, **more)


class TestMechanisms:
    @pytest.mark.parametrize(
        ("supports", "words"),
        [
            ([fork(0, twist="free"), fork(1, twist="free")], "rotate freely about its length"),
            ([fork(0, y="free"), fork(1, y="free")], "nothing holds the member up"),
            ([fork(0, x="free"), fork(1, x="free")], "nothing holds the member across"),
            ([fork(0)], "swing up and down"),
            ([fork(0, y="held"), Support(1, y="held", z="free")], "swing sideways"),
            ([fork(0, z="free"), fork(1, z="free")], "along its length"),
            ([free_end(0), free_end(1)], "restrain the twist"),
        ],
    )
    def test_each_is_named(self, supports: list[Support], words: str) -> None:
        with pytest.raises(InputError, match=words):
            solve(beam(*supports))

    def test_a_curved_span_without_torsional_hold_tips(self) -> None:
        axis = Axis.arc(10.0, 20.0)
        ends = [fork(0, twist="free"), fork(10.0, twist="free")]
        load = LineLoad(0, 10, force=(0, -1, 0))
        with pytest.raises(InputError, match="tip about the line through its supports"):
            solve(Member.prismatic(axis, closed_section(), ends, loads=(load,)))

    def test_three_supports_off_one_line_hold_a_curved_span(self) -> None:
        axis = Axis.arc(30.0, 20.0)
        supports = [fork(z, twist="free") for z in (0.0, 15.0, 30.0)]
        load = LineLoad(0, 30, force=(0, -1, 0))
        solution = solve(Member.prismatic(axis, closed_section(), supports, loads=(load,)))
        assert solution.residual[0] < 1e-12

    def test_a_deck_alone_holds_twist(self) -> None:
        loose = [fork(0, twist="free"), fork(1, twist="free")]
        held = beam(*loose, restraints=(Deck(0.2, 0.8, twist_stiffness=5.0),))
        solution = solve(held)
        # Forks take no torque, so the deck takes it all; equilibrium is checked in every solve.
        assert solution.residual[0] < 1e-12
        assert [r.torque for r in solution.reactions[0]] == pytest.approx([0, 0], abs=1e-12)

    def test_a_spring_alone_holds_twist(self) -> None:
        loose = [fork(0, twist="free"), fork(1, twist="free")]
        solution = solve(beam(*loose, restraints=(TwistSpring(0.5, 4.0),)))
        assert solution.at(0.5).phi[0, 0] == pytest.approx(1 / 4.0, rel=1e-12)

    def test_held_along_its_length_by_default_at_the_first_support(self) -> None:
        pull = PointLoad(1.0, force=(0, 0, 3.0))
        solution = solve(beam(fork(0), fork(1), loads=(pull,)))
        assert solution.reactions[0][0].force[2] == pytest.approx(-3.0)
        assert any("along its length" in note for note in solution.notes)


class TestSprings:
    @pytest.mark.parametrize(
        ("far_end", "factor"), [("pinned", 3), ("fixed", 4), ("same way", 6), ("opposite", 2)]
    )
    def test_secondary_beam_against_its_own_bending(self, far_end: str, factor: int) -> None:
        """The stiffness found by bending the secondary itself: a member whose end is turned."""
        ei, length = 3.0, 1.0
        moment = {
            "pinned": (),
            "fixed": (),
            "same way": (PointLoad(length, moment=(1.0, 0, 0)),),
            "opposite": (PointLoad(length, moment=(-1.0, 0, 0)),),
        }[far_end]
        section = unit_section(2.0, second_moment_x=ei)
        far = fork(length, bend_x="held" if far_end == "fixed" else "free")
        loads = (PointLoad(0.0, moment=(1.0, 0, 0)), *moment)
        turned = solve(Member.prismatic(length, section, [fork(0), far], loads=loads))
        found = 1 / abs(turned.at(0.0).theta_x[0, 0])
        assert secondary_beam_stiffness(1.0, ei, length, far_end) == pytest.approx(found, rel=1e-12)
        assert found == pytest.approx(factor * ei / length, rel=1e-12)

    def test_connection_stands_in_series(self) -> None:
        beam_alone = secondary_beam_stiffness(2.0, 3.0, 4.0, "pinned")
        both = secondary_beam_stiffness(2.0, 3.0, 4.0, "pinned", connection_stiffness=9.0)
        assert 1 / both == pytest.approx(1 / beam_alone + 1 / 9.0)

    def test_unknown_far_end(self) -> None:
        with pytest.raises(InputError, match="far end 'hinged' is not known"):
            secondary_beam_stiffness(1, 1, 1, "hinged")  # type: ignore[arg-type]

    def test_support_spring_settles_by_force_over_stiffness(self) -> None:
        soft = beam(fork(0, y=50.0), fork(1, y=50.0), loads=(DOWN,))
        solution = solve(soft)
        assert solution.at(0.0).v[0, 0] == pytest.approx(-0.5 / 50, rel=1e-12)

    def test_lateral_spring_acts_at_its_level(self) -> None:
        """A spring across at height h above the shear centre turns the member by its force times
        h."""
        s = skew_section()
        level = s.shear_centre[1] + 200.0
        push = PointLoad(2000.0, force=(1e4, 0, 0))
        spring = LateralSpring(2000.0, 500.0, level)
        member = Member.prismatic(
            4000.0, s, [fork(0), fork(4000.0)], restraints=(spring,), loads=(push,)
        )
        solution = solve(member)
        moved = solution.movement((0.0, level), 2000.0)[0][0, 0]
        reaction = next(r for r in solution.reactions[0] if r.title == spring.title)
        assert reaction.force[0] == pytest.approx(-500.0 * moved, rel=1e-10)
        assert reaction.torque == pytest.approx(-200.0 * reaction.force[0], rel=1e-10)

    def test_a_hard_spring_is_a_hold(self) -> None:
        held = solve(beam(fork(0), fork(1), restraints=(TwistSpring(0.25, 1e14),)))
        assert abs(held.at(0.25).phi[0, 0]) < 1e-13
        middle = solve(beam(fork(0), fork(0.25, x="free", y="free"), fork(1)))
        assert held.at(0.6).phi == pytest.approx(middle.at(0.6).phi, rel=1e-10)


class TestBearings:
    length, spacing = 20.0, 2.0

    def member(self, torque: float, weight: float, at: float = 10.0, **more: object) -> Member:
        ends = [bearing_pair(z, self.spacing, **more) for z in (0.0, self.length)]
        loads = (
            LineLoad(0, self.length, force=(0, -weight, 0), place=(0, 0), case="weight"),
            PointLoad(at, moment=(0, 0, torque), case="torque"),
        )
        both = Combination("both", {"weight": 1.0, "torque": 1.0})
        section = closed_section(centroid=(0, 0), shear_centre=(0, 0))
        return Member.prismatic(self.length, section, ends, loads=loads, combinations=(both,))

    def test_both_bear(self) -> None:
        """R/2 -+ T/s."""
        solution = solve(self.member(torque=4.0, weight=3.0))
        left, right = solution.reactions[0][0].bearings
        assert (left.force, right.force) == pytest.approx((15 + 1.0, 15 - 1.0), rel=1e-12)
        assert not left.lifted
        assert not right.lifted

    def test_a_pair_that_cannot_hold_the_torque_rolls_over(self) -> None:
        """2 |T| / R is the spacing needed: 2 x 40 / 30 = 2.7 > 2."""
        with pytest.raises(InputError, match="roll over"):
            solve(self.member(torque=80.0, weight=3.0))

    def test_held_down_it_reports_uplift(self) -> None:
        solution = solve(self.member(torque=80.0, weight=3.0, holds_down=True))
        left, right = solution.reactions[0][0].bearings
        assert right.force == pytest.approx(15 - 20.0, rel=1e-12)
        assert left.force == pytest.approx(15 + 20.0, rel=1e-12)

    def test_a_bearing_lifts_where_another_pair_can_hold_the_torque(self) -> None:
        """A third pair takes the torque that a lifted bearing lets go."""
        member = self.member(torque=40.0, weight=3.0, at=5.0)
        middle = bearing_pair(self.length / 2, 8.0)
        solution = solve(member.with_(supports=(*member.supports, middle)))
        lifted = [b for r in solution.reactions[0] for b in r.bearings if b.lifted]
        assert lifted
        assert all(b.force == 0 for b in lifted)
        assert all(b.force >= 0 for r in solution.reactions[0] for b in r.bearings)
        assert any("uplift" in note for note in solution.notes)
        assert solution.residual[0] < 1e-12
        for reaction in solution.reactions[0]:
            for bearing in reaction.bearings:
                up = solution.movement((bearing.x, 0.0), reaction.at)[1][0, 0]
                assert up == pytest.approx(0, abs=1e-12) if not bearing.lifted else up > 0

    def test_bearing_on_a_spring(self) -> None:
        solution = solve(self.member(torque=4.0, weight=3.0, stiffness=1e3))
        left = solution.reactions[0][0].bearings[0]
        down = solution.movement((left.x, 0.0), 0.0)[1][0, 0]
        assert left.force == pytest.approx(-1e3 * down, rel=1e-10)

    def test_y_beside_bearings_is_refused(self) -> None:
        with pytest.raises(InputError, match="either y or bearings"):
            Support(0.0, y="held", bearings=(Bearing(1.0),))


class TestPlay:
    angle = play_angle(2.0, 100.0)

    def test_play_of_both_ends_adds_its_angle_to_the_twist(self) -> None:
        member = beam(fork(0, twist_slip=self.angle), fork(1, twist_slip=self.angle))
        tight = beam(fork(0), fork(1))
        with_play, without = solve(member), solve(tight)
        z = [0.0, 0.3, 0.5, 1.0]
        assert with_play.at(z).phi == pytest.approx(without.at(z).phi + self.angle, rel=1e-12)
        assert with_play.play_twist(z) == pytest.approx(np.full((4, 1), self.angle), rel=1e-10)
        assert pytest.approx(without.at(z).T, abs=1e-12) == with_play.at(z).T
        assert with_play.reactions[0][0].play == "taken up"

    def test_torque_the_other_way_takes_the_play_up_the_other_way(self) -> None:
        back = PointLoad(0.5, moment=(0, 0, -1.0))
        member = beam(fork(0, twist_slip=0.01), fork(1, twist_slip=0.01), loads=(back,))
        assert solve(member).at(0.0).phi[0, 0] == pytest.approx(-0.01, rel=1e-12)

    def test_a_restraint_engages_only_beyond_its_play(self) -> None:
        """With play g and spring k, the spring takes k (phi - g) once phi exceeds g."""
        stiffness = 6.0
        free = solve(beam(fork(0), fork(1))).at(0.5).phi[0, 0]
        for play in (0.5 * free, 2 * free):
            spring = TwistSpring(0.5, stiffness, slip=play, name="secondary")
            solution = solve(beam(fork(0), fork(1), restraints=(spring,)))
            phi = solution.at(0.5).phi[0, 0]
            # phi = free (1 - k (phi - g)) with free the compliance at midspan.
            expected = free * (1 + stiffness * play) / (1 + free * stiffness)
            held = play < free
            assert phi == pytest.approx(expected if held else free, rel=1e-12)
            reaction = solution.reactions[0][-1]
            assert reaction.torque == pytest.approx(-stiffness * max(phi - play, 0), abs=1e-12)
            assert reaction.play == ("taken up" if held else "not taken up")

    def test_no_torque_leaves_the_twist_in_the_middle_and_says_so(self) -> None:
        member = beam(fork(0, twist_slip=0.02), fork(1, twist_slip=0.02), loads=(DOWN,))
        solution = solve(member)
        assert np.abs(solution.at(0.5).phi).max() < 1e-12
        assert any("undetermined" in note for note in solution.notes)

    def test_play_is_not_additive_over_cases_but_solved_by_combination(self) -> None:
        loads = (
            PointLoad(0.5, moment=(0, 0, 1.0), case="plus"),
            PointLoad(0.5, moment=(0, 0, -3.0), case="minus"),
        )
        sums = (
            Combination("plus", {"plus": 1.0}),
            Combination("both", {"plus": 1.0, "minus": 1.0}),
        )
        member = beam(fork(0, twist_slip=0.01), fork(1), loads=loads, combinations=sums)
        found = solve(member).at(0.0).phi[0]
        assert found == pytest.approx([0.01, -0.01], rel=1e-12)

    def test_lever_arm_must_be_positive(self) -> None:
        with pytest.raises(InputError, match="lever arm"):
            play_angle(1.0, 0.0)


class TestSelfWeight:
    def test_acts_through_the_centroid(self) -> None:
        s = skew_section()
        member = Member.prismatic(3000.0, s, [fork(0), fork(3000.0)], loads=(SelfWeight(9810.0),))
        weight = s.mass_per_length * 9810.0 * 3000.0
        total = sum(np.array(r.force) for r in solve(member).reactions[0])
        assert total[1] == pytest.approx(weight, rel=1e-12)
        torque = sum(r.torque for r in solve(member).reactions[0])
        arm = s.centroid[0] - s.shear_centre[0]
        assert torque == pytest.approx(weight * arm, rel=1e-10)

    @pytest.mark.parametrize("wedge", [False, True])
    def test_in_a_curve_by_integration_over_the_section(self, wedge: bool) -> None:
        """A 4 by 1 slab bent to R: weight and torque of its wedge by exact integrals over x."""
        radius, half, mass, gravity = 15.0, 2.0, 6.0, 2.0
        section = closed_section(
            area=4.0, second_moment_y=64 / 12, centroid=(0.5, 0), shear_centre=(0.5, 0),
            mass_per_length=mass,
        )  # fmt: skip
        axis = Axis.arc(8.0, radius)
        load = SelfWeight(gravity, wedge=wedge)
        member = Member.prismatic(axis, section, [fixed(0), fixed(8.0)], loads=(load,))
        solution = solve(member)
        from soapfilm.solver.member.review.eccentricity import load_torques

        density = mass * gravity / (2 * half)
        x = np.polynomial.legendre.leggauss(4)
        place, weight = (
            0.5 + half * x[0],
            half * x[1] * density * (1 - (0.5 + half * x[0]) / radius),
        )
        total = sum(r.force[1] for r in solution.reactions[0])
        assert total == pytest.approx(weight.sum() * 8.0, rel=1e-12)
        arm = float((weight * (place - 0.5)).sum()) if wedge else 0.0
        assert load_torques(member)[0].torque == pytest.approx(-arm * 8.0, abs=1e-9)


def test_twist_units_are_radians() -> None:
    phi = solve(beam(fork(0), fork(1))).at(0.5).phi[0, 0]
    # (T/GJ)(L/4 - (a/2) tanh(u/2)) with u = 2.
    assert phi == pytest.approx(0.25 - 0.25 * math.tanh(1.0), rel=1e-12)
