"""Elastic critical loads and second-order twist against closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_bvp
from soapfilm.geometry.errors import SolveError
from soapfilm.solver.member.beam.analysis import critical_loads, solve, with_critical_loads
from soapfilm.solver.member.beam.stability import CriticalLoad
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.imposed import Shrinkage
from soapfilm.solver.member.model.load import LineLoad, Place, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support, fixed, fork

from benchmarks.checks import figures
from benchmarks.checks.formulas.lateral_buckling import (
    FACTORS,
    critical_moment,
    first_order_check,
)
from benchmarks.checks.stability import factor, formula, ipe, uniform_moment

E, G = 210e3, 81e3


def theory(s: SectionConstants, length: float, beta: float = 0.0) -> float:
    """M = P_y [beta/2 + sqrt((beta/2)^2 + r^2)] with P_y = pi^2 E I_y / L^2 and
    r^2 = C_w/I_y + G J / P_y: uniform moment with forks (Vlasov; Timoshenko and Gere)."""
    euler = math.pi**2 * s.elastic_modulus * s.second_moment_y / length**2
    radius = s.warping_constant / s.second_moment_y + s.shear_modulus * s.torsion_constant / euler
    return euler * (beta / 2 + math.sqrt(beta**2 / 4 + radius))


class TestCriticalLoad:
    @pytest.mark.parametrize("length", [2000.0, 5700.0, 20000.0])
    def test_uniform_moment(self, length: float) -> None:
        found = factor(ipe(), length, *uniform_moment(length, 1e6), parts=24)
        assert found * 1e6 == pytest.approx(theory(ipe(), length), rel=2e-5)

    def test_supports_side_by_side_do_not_cut_the_member_to_pieces(self) -> None:
        """A spring next to nothing 1 mm from an end changes nothing, least of all the time."""
        loads = uniform_moment(5700.0, 1e6)
        member = Member.prismatic(
            5700.0, ipe(), [fork(0), Support(1.0, y=1e-6), fork(5700)], loads=loads
        )
        (critical,) = critical_loads(member)
        assert len(critical.mode) < 1100  # type: ignore[arg-type]
        assert critical.factor * 1e6 == pytest.approx(theory(ipe(), 5700.0), rel=1e-3)

    def test_it_converges_with_the_fourth_power(self) -> None:
        errors = [
            factor(ipe(), 5700.0, *uniform_moment(5700.0, 1e6), parts=parts) * 1e6
            / theory(ipe(), 5700.0) - 1
            for parts in (4, 8)
        ]  # fmt: skip
        assert errors[0] > errors[1] > 0
        assert errors[0] / errors[1] == pytest.approx(16, rel=0.1)

    @pytest.mark.parametrize("sign", [1, -1])
    def test_uniform_moment_on_a_monosymmetric_section(self, sign: int) -> None:
        """Larger flange in compression helps: beta_x > 0 has int y rho^2 > 0, weight at the top."""
        section = ipe(monosymmetry_x=-120.0, shear_centre=(0.0, 40.0))
        found = factor(section, 5700.0, *uniform_moment(5700.0, sign * 1e6))
        expected = theory(section, 5700.0, beta=sign * 120.0)
        assert found * 1e6 == pytest.approx(expected, rel=2e-5)

    def test_worked_beam_with_load_on_the_top_flange(self) -> None:
        """SX001a, IPE 330, 5.7 m (from memory): the eigenvalue within what the formula's rounded
        factors allow; the formula itself is checked in `benchmarks.checks.stability`."""
        figure = figures()["mcr_ipe330"]
        i, by_formula = figure.inputs, formula(figure)
        length = i["L_mm"]
        load = LineLoad(0, length, force=(0, -1.0, 0), place=Place(dy=i["zg_mm"]))
        by_eigenvalue = factor(ipe(), length, load) * length**2 / 8
        assert by_eigenvalue == pytest.approx(by_formula, rel=5e-3)

    @pytest.mark.parametrize("height", [-165.0, 0.0, 165.0])
    @pytest.mark.parametrize(
        ("kind", "near"),
        [
            ("uniform load", 7e-3),
            ("midspan point load", 5e-2),
            ("midspan point load, older tables", 1.2e-2),
        ],
    )
    def test_load_heights_against_the_formula(self, kind: str, near: float, height: float) -> None:
        """C_1 and C_2 are from memory and rounded; the two pairs for a point load differ by 5 %."""
        length, s = 5700.0, ipe()
        if kind == "uniform load":
            load: LineLoad | PointLoad = LineLoad(
                0, length, force=(0, -1.0, 0), place=Place(dy=height)
            )
            largest = length**2 / 8
        else:
            load = PointLoad(length / 2, force=(0, -1.0, 0), place=Place(dy=height))
            largest = length / 4
        expected = critical_moment(
            E, G, s.second_moment_y, s.torsion_constant, s.warping_constant, length,
            factors=FACTORS[kind], load_height=height,
        )  # fmt: skip
        assert factor(s, length, load) * largest == pytest.approx(expected, rel=near)

    def test_narrow_cantilever_with_tip_load(self) -> None:
        """P = 4.0126 sqrt(E I_y G J) / L^2 (Prandtl; Timoshenko and Gere)."""
        length = 3000.0
        strip = ipe(warping_constant=0.0, second_moment_x=1e12)
        tip = PointLoad(length, force=(0, -1.0, 0))
        expected = 4.0126 * math.sqrt(E * strip.second_moment_y * G * strip.torsion_constant)
        found = factor(strip, length, tip, supports=[fixed(0.0)]) * length**2
        # the printed factor has five digits
        assert found == pytest.approx(expected, rel=1.5e-5)

    def test_axial_load_buckles_about_the_weak_axis(self) -> None:
        length = 6000.0
        push = PointLoad(length, force=(0, 0, -1.0), place=Place("centroid"))
        found = factor(ipe(), length, push)
        assert found == pytest.approx(math.pi**2 * E * ipe().second_moment_y / length**2, rel=1e-5)

    def test_axial_load_buckles_in_torsion(self) -> None:
        """P = (G J + pi^2 E C_w / L^2) / r_0^2, with bending made stiff."""
        length = 6000.0
        section = ipe(second_moment_y=1e12, second_moment_x=1e12, area=1e8)
        push = PointLoad(length, force=(0, 0, -1.0), place=Place("centroid"))
        torsion = (
            G * section.torsion_constant + math.pi**2 * E * section.warping_constant / length**2
        )
        expected = torsion / section.polar_radius_squared
        assert factor(section, length, push) == pytest.approx(expected, rel=2e-5)

    def test_flexural_torsional_buckling_of_a_section_with_one_axis_of_symmetry(self) -> None:
        """(P_x - P)(P_phi - P) r_0^2 = P^2 y_0^2: shear centre beside the centroid along x."""
        length, arm = 6000.0, 60.0
        section = ipe(shear_centre=(arm, 0.0), second_moment_y=1e12, second_moment_x=4e7)
        push = PointLoad(length, force=(0, 0, -1.0), place=Place("centroid"))
        euler = math.pi**2 * E * section.second_moment_x / length**2
        r = section.polar_radius_squared
        twist = (
            G * section.torsion_constant + math.pi**2 * E * section.warping_constant / length**2
        ) / r
        roots = np.roots([1 - arm**2 / r, -(euler + twist), euler * twist])
        # The support reaction and the push act at the centroid.
        ends = [
            Support(z, x="held", y="held", twist="held", z=hold, point=(0.0, 0.0))
            for z, hold in ((0.0, "held"), (length, "free"))
        ]
        found = factor(section, length, push, supports=ends)
        assert found == pytest.approx(float(roots.min()), rel=1e-4)

    def test_where_the_section_is_drawn_is_of_no_account(self) -> None:
        length = 5700.0
        factors = []
        for dx, dy in ((0.0, 0.0), (75.0, 165.0)):
            section = ipe(centroid=(dx, dy), shear_centre=(dx, dy + 30.0), monosymmetry_x=-50.0)
            load = LineLoad(0, length, force=(0, -1.0, 0), place=(dx, dy + 165.0))
            factors.append(factor(section, length, load))
        assert factors[1] == pytest.approx(factors[0], rel=1e-8)

    def test_a_pulled_member_does_not_buckle(self) -> None:
        load = critical_loads(
            Member.prismatic(
                3000.0, ipe(), [fork(0), fork(3000.0)],
                loads=(PointLoad(3000.0, force=(0, 0, 1e3), place=Place("centroid")),),
            )
        )[0]  # fmt: skip
        assert load.factor == math.inf
        assert load.verdict() == "fine"

    def test_a_member_without_stress_does_not_buckle(self) -> None:
        """What shrinks freely has no stress at all: the iteration had nothing to begin with."""
        shrinking = Shrinkage(0.0, 3000.0, 3e-4)
        load = critical_loads(
            Member.prismatic(3000.0, ipe(), [fork(0), fork(3000.0)], imposed=(shrinking,)),
            parts=64,
        )[0]
        assert load.factor == math.inf

    def test_the_mode_bends_sideways_and_twists(self) -> None:
        member = Member.prismatic(
            5700.0, ipe(), [fork(0), fork(5700.0)], loads=uniform_moment(5700.0, 1e6)
        )
        mode = critical_loads(member)[0].mode
        assert mode is not None
        assert np.abs(mode[:, 1]).max() < 1e-6 * np.abs(mode[:, 0]).max()
        middle = len(mode) // 2
        ratio = mode[middle, 5] / mode[middle, 0]
        # u'' E I_y = -M phi for half waves: |phi / u| = P_y / M.
        euler = math.pi**2 * E * ipe().second_moment_y / 5700.0**2
        assert abs(ratio) == pytest.approx(euler / theory(ipe(), 5700.0), rel=1e-3)


class TestSecondOrder:
    """A beam with both a vertical moment and a torque: E I_y u'''' + (M phi)'' = 0,
    E C_w phi'''' - G J phi'' + M u'' = t.

    Stiff in its own plane, so that the torque does not lean on the vertical deflection, as in the
    equations.
    """

    length, moment, torque = 5700.0, 60e6, 300.0

    def reference(self) -> float:
        """phi at midspan by collocation."""
        s, m = ipe(), self.moment
        span = self.length
        # Scaled by G J and the span, T = t L at most.
        gj = G * s.torsion_constant
        cw = E * s.warping_constant / (gj * span**2)
        push = self.torque * span**2 / gj
        tilt = m**2 * span**2 / (E * s.second_moment_y * gj)

        def right(x: np.ndarray, y: np.ndarray) -> np.ndarray:
            phi, tau, b, t = y
            # Both ends free to turn in plan: E I_y u'' = -M phi by statics.
            return np.array([tau, -b / cw, t - tau, -push - tilt * phi])

        x = np.linspace(0, 1, 101)
        start = np.zeros((4, 101))
        found = solve_bvp(
            right, lambda a, b: np.array([a[0], a[2], b[0], b[2]]), x, start, tol=1e-9
        )
        assert found.success
        return float(found.sol(0.5)[0])

    def member(self) -> Member:
        loads = (
            *uniform_moment(self.length, self.moment),
            LineLoad(0, self.length, torque=self.torque),
        )
        stiff = ipe(second_moment_x=1e13)
        return Member.prismatic(self.length, stiff, [fork(0), fork(self.length)], loads=loads)

    def test_twist_grows_as_the_differential_equation_says(self) -> None:
        first = solve(self.member()).at(self.length / 2).phi[0, 0]
        second = solve(self.member(), order="second").at(self.length / 2).phi[0, 0]
        assert second == pytest.approx(self.reference(), rel=1e-5)
        assert second > 1.2 * first

    def test_amplification_is_a_fair_estimate(self) -> None:
        """1/(1 - 1/lambda) is meant for moments below a critical value; M^2 enters here, so the
        growth is nearer 1/(1 - 1/lambda^2) and the estimate is on the safe side."""
        solution = solve(self.member(), order="second")
        load = solution.critical[0]
        first = solve(self.member()).at(self.length / 2).phi[0, 0]
        growth = solution.at(self.length / 2).phi[0, 0] / first
        assert 1 / (1 - load.share**2) == pytest.approx(growth, rel=2e-2)
        assert load.amplification > growth

    def test_minor_axis_moment_is_that_of_the_twisted_section(self) -> None:
        """M_z = phi M_y of design guides comes out of the second order."""
        at = solve(self.member(), order="second").at(self.length / 2)
        assert abs(at.M_y[0, 0]) == pytest.approx(abs(at.phi[0, 0]) * self.moment, rel=1e-3)

    @pytest.mark.parametrize("share", [0.5, 0.9])
    def test_supports_hold_the_applied_torque_and_no_more(self, share: float) -> None:
        """End moments are couples along z: however far the ends turn in plan, statics about z asks
        for the line torque alone."""
        length = 6000.0
        loads = (
            *uniform_moment(length, share * theory(ipe(), length)),
            LineLoad(0, length, torque=200.0),
        )
        member = Member.prismatic(length, ipe(), [fork(0), fork(length)], loads=loads)
        solution = solve(member, order="second")
        held = [r.torque for r in solution.reactions[0]]
        assert held == pytest.approx([-600e3, -600e3], rel=1e-9)
        assert np.abs(solution.at(length / 2).phi).max() > 1.2 * np.abs(
            solve(member).at(length / 2).phi
        )

    def test_load_above_the_shear_centre_adds_torque(self) -> None:
        """A stiff beam on a torsional spring: k phi = P (e + h phi), so phi = P e / (k - P h)."""
        section = ipe(second_moment_x=1e13, second_moment_y=1e13, torsion_constant=1e11)
        height, arm, force, spring = 200.0, 30.0, 1e3, 1e6
        ends = [fork(0, twist=spring / 2), fork(1000.0, twist=spring / 2)]
        load = PointLoad(500.0, force=(0, -force, 0), place=Place(dx=-arm, dy=height))
        member = Member.prismatic(1000.0, section, ends, loads=(load,))
        phi = solve(member, order="second").at(500.0).phi[0, 0]
        assert phi == pytest.approx(force * arm / (spring - force * height), rel=1e-4)
        assert critical_loads(member)[0].factor == pytest.approx(
            spring / (force * height), rel=1e-4
        )

    def test_curved_member_close_to_first_order_under_a_small_load(self) -> None:
        axis = Axis.arc(6000.0, 20000.0)
        load = LineLoad(0, 6000.0, force=(0, -1e-3, 0))
        member = Member.prismatic(axis, ipe(), [fork(0), fork(6000.0)], loads=(load,))
        first, second = solve(member).at(3000.0), solve(member, order="second").at(3000.0)
        assert second.phi == pytest.approx(first.phi, rel=1e-4)
        assert second.v == pytest.approx(first.v, rel=1e-4)


class TestVerdict:
    def member(self, share: float) -> Member:
        length = 5700.0
        moment = share * theory(ipe(), length)
        return Member.prismatic(
            length, ipe(), [fork(0), fork(length)], loads=uniform_moment(length, moment)
        )

    def test_fine(self) -> None:
        solution = with_critical_loads(solve(self.member(0.05)))
        assert not any("critical" in note for note in solution.notes)
        assert solution.critical[0].share == pytest.approx(0.05, rel=1e-4)

    def test_flagged(self) -> None:
        solution = with_critical_loads(solve(self.member(0.2)))
        assert any("20 % of its elastic critical load" in note for note in solution.notes)

    def test_refused(self) -> None:
        with pytest.raises(SolveError, match="solve in second order"):
            with_critical_loads(solve(self.member(0.5)))

    def test_second_order_is_not_refused_below_the_critical_load(self) -> None:
        assert with_critical_loads(solve(self.member(0.5), order="second")).order == "second"

    @pytest.mark.parametrize("order", ["first", "second"])
    def test_beyond_the_critical_load_there_is_no_answer(self, order: str) -> None:
        with pytest.raises(SolveError, match="the member buckles"):
            with_critical_loads(solve(self.member(1.1), order=order))  # type: ignore[arg-type]

    def test_rule_of_the_same_name(self) -> None:
        assert first_order_check(5.0, 100.0).passed
        assert "flagged" in first_order_check(20.0, 100.0).rule
        assert not first_order_check(40.0, 100.0).passed
        assert not first_order_check(140.0, 100.0).passed


def test_loads_far_beyond_the_critical_ones_mean_that_a_support_let_go() -> None:
    """No wall is slender by so much: bearings that uplift leave next to nothing that holds."""
    assert "the member buckles" in CriticalLoad("dead", 0.5, None).buckles
    told = CriticalLoad("lift", 1 / 1817.11, None).buckles
    assert "almost nothing holds the member" in told
    assert "bearings uplift" in told
    told = CriticalLoad("dead", 9e-25, None).buckles
    assert "1e+24 times the elastic critical load" in told
    assert "check their units" in told
