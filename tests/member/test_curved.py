"""Members curved in plan: closed forms of statics and virtual work, rings, and an independent chain
of straights.

The closed forms are derived (statics of the circular arc; Timoshenko, Roark ch. 9 family, Nakai and
Yoo, Dabrowski carry them from memory).
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
import pytest
from scipy.integrate import quad
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.model.axis import Arc, Axis, Straight
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import bearing_pair, fixed, fork

from benchmarks.checks.curved_members import ON_AXIS, arc_span, plain, ring, uniform
from benchmarks.checks.formulas.hand_method import radius_method_torque

from .frame import chain
from .models import check


def figures() -> Mapping[str, float]:
    return check("arc_udl_M")[1]


class TestArcBetweenForks:
    def test_uniform_load(self) -> None:
        """M = q R^2 (cos psi / cos alpha - 1), T = q R^2 (sin psi / cos alpha - psi), all along."""
        i = figures()
        q, radius, alpha, length = i["q_kN_per_m"], i["R_m"], i["half_angle_rad"], i["arc_L_m"]
        solution = arc_span(uniform(q, length))
        z = np.linspace(0, length, 23)
        psi = (z - length / 2) / radius
        found = solution.at(z)
        moment = q * radius**2 * (np.cos(psi) / math.cos(alpha) - 1)
        torque = q * radius**2 * (np.sin(psi) / math.cos(alpha) - psi)
        assert found.sagging[:, 0] == pytest.approx(moment, abs=1e-12 * moment.max())
        assert np.abs(found.T[:, 0]) == pytest.approx(np.abs(torque), abs=1e-12 * moment.max())
        # On the face that looks along +z the support's push appears with its sign turned.
        assert found.V_y[0, 0] == pytest.approx(-q * radius * alpha, rel=1e-12)

    def test_it_twists_outward(self) -> None:
        """The centre lies on the +x side, so the outer edge at -x goes down: phi turns x toward
        +y."""
        solution = arc_span(uniform(20.0, 30.0))
        assert solution.at(15.0).phi[0, 0] > 0

    def test_uniform_load_off_the_axis(self) -> None:
        """Load at radius R + e, counted per axis length: M = R (qR + qe)(cos psi/cos al - 1),
        support torque qR [(R + e) tan al - R al]."""
        i = figures()
        q, radius, alpha, length = i["q_kN_per_m"], i["R_m"], i["half_angle_rad"], i["arc_L_m"]
        e = 1.7
        solution = arc_span(uniform(q, length, (-e, 0.0)))
        moment = radius * (q * radius + q * e) * (1 / math.cos(alpha) - 1)
        torque = q * radius * ((radius + e) * math.tan(alpha) - radius * alpha)
        assert solution.at(length / 2).sagging[0, 0] == pytest.approx(moment, rel=1e-12)
        # The closed form's torque is about the axis point; so is the fork's.
        assert abs(solution.reactions[0][0].moment[2]) == pytest.approx(torque, rel=1e-12)

    def test_load_counted_along_its_own_line_is_longer_outside(self) -> None:
        i = figures()
        along = LineLoad(0, i["arc_L_m"], force=(0, -1, 0), place=(-2.0, 0), measured_along="line")
        weight = sum(r.force[1] for r in arc_span(along).reactions[0])
        assert weight == pytest.approx(i["arc_L_m"] * (1 + 2.0 / i["R_m"]), rel=1e-12)

    def test_point_load_at_midspan(self) -> None:
        """M = (P R / 2) tan al, end torque (P R / 2)(sec al - 1)."""
        _, i = check("arc_P_twist")
        length, radius, alpha = i["arc_L_m"], i["R_m"], i["half_angle_rad"]
        solution = arc_span(PointLoad(length / 2, force=(0, -i["P_kN"], 0), place=ON_AXIS))
        middle = solution.at(length / 2)
        half = i["P_kN"] * radius / 2
        assert middle.sagging[0, 0] == pytest.approx(half * math.tan(alpha), rel=1e-12)
        assert abs(solution.reactions[0][0].torque) == pytest.approx(
            half * (1 / math.cos(alpha) - 1), rel=1e-11
        )

    def test_radius_method_is_low_by_what_is_said(self) -> None:
        """M/R method: q L^3 / (24 R), P L^2 / (16 R); 3.6 % and 3.7 % low at L/R = 0.6
        (derived)."""
        _, i = check("arc_udl_MR")
        approximate = radius_method_torque(i["arc_L_m"], i["R_m"], uniform=i["q_kN_per_m"])
        exact = abs(arc_span(uniform(i["q_kN_per_m"], i["arc_L_m"])).reactions[0][0].torque)
        assert 1 - approximate / exact == pytest.approx(0.036, abs=5e-4)
        point = radius_method_torque(i["arc_L_m"], i["R_m"], point=1.0)
        load = PointLoad(i["arc_L_m"] / 2, force=(0, -1, 0), place=ON_AXIS)
        assert 1 - point / abs(arc_span(load).reactions[0][0].torque) == pytest.approx(
            0.037, abs=1e-3
        )


@pytest.mark.parametrize("alpha", [0.05, 0.3, 1.0, 1.5])
@pytest.mark.parametrize("ratio", [0.2, 2.0, 30.0])
def test_arc_with_fixed_ends(alpha: float, ratio: float) -> None:
    """M = X cos psi - q R^2 (1 - cos psi), T = X sin psi - q R^2 (psi - sin psi), X by virtual
    work."""
    radius, q, ei = 7.0, 3.0, 5.0e3
    gj = ei / ratio
    axis = Axis.arc(2 * alpha * radius, -radius)
    ends = [fixed(0), fixed(axis.length)]
    member = Member.prismatic(axis, plain(ei, gj), ends, loads=(uniform(q, axis.length),))
    cos, sin = math.cos, math.sin
    top = quad(
        lambda p: q * radius**2 * ((1 - cos(p)) * cos(p) / ei + (p - sin(p)) * sin(p) / gj),
        0,
        alpha,
    )[0]
    below = quad(lambda p: cos(p) ** 2 / ei + sin(p) ** 2 / gj, 0, alpha)[0]
    middle = top / below
    solution = solve(member)
    z = np.linspace(0, axis.length, 11)
    psi = (z - axis.length / 2) / radius
    found = solution.at(z)
    moment = middle * np.cos(psi) - q * radius**2 * (1 - np.cos(psi))
    torque = middle * np.sin(psi) - q * radius**2 * (psi - np.sin(psi))
    size = np.abs(moment).max()
    assert found.sagging[:, 0] == pytest.approx(moment, abs=1e-8 * size)
    assert np.abs(found.T[:, 0]) == pytest.approx(np.abs(torque), abs=1e-8 * size)


class TestRing:
    """A full circle on n supports: M = w r^2 (th cos s / sin th - 1), T = w r^2 (th sin s / sin th
    - s).

    The table of Hassoun and Al-Manaseer is in `benchmarks.checks.curved_members`.
    """

    @pytest.mark.parametrize("n", [2, 3, 4, 6, 8, 12])
    def test_moments_and_torques(self, n: int) -> None:
        radius = 5.0
        solution = ring(n, plain(3.0, 0.7), radius)
        th = math.pi / n
        length = 2 * math.pi * radius
        s = np.linspace(-th, th, 41)
        z = (s / (2 * th) + 0.5) * length / n
        found = solution.at(z[1:-1])
        moment = th * np.cos(s) / math.sin(th) - 1
        torque = th * np.sin(s) / math.sin(th) - s
        assert found.sagging[:, 0] / radius**2 == pytest.approx(moment[1:-1], abs=1e-11)
        assert np.abs(found.T[:, 0]) / radius**2 == pytest.approx(np.abs(torque[1:-1]), abs=1e-11)
        share = [r.force[1] for r in solution.reactions[0]]
        assert share == pytest.approx([length / n] * n, rel=1e-11)

    def test_warping_smooths_the_torque_but_not_the_sums(self) -> None:
        solution = ring(6, plain(3.0, 0.7, 4.0))
        share = [r.force[1] for r in solution.reactions[0]]
        assert share == pytest.approx([2 * math.pi * 5 / 6] * 6, rel=1e-10)
        # Bending moment and torque stay those of statics and symmetry.
        assert -solution.at(0.0).sagging[0, 0] / 25 == pytest.approx(
            check("ring_6")[0][0], rel=1e-7
        )


@pytest.mark.parametrize("sign", [1, -1])
def test_arc_against_a_chain_of_straights(sign: int) -> None:
    """A plain three-dimensional frame of straight beams converges to the arc with the square of
    their number."""
    radius, length = 20.0 * sign, 26.0
    axis = Axis((Straight(4.0), Arc(length, radius), Straight(6.0)))
    section = SectionConstants(
        30e6, 12e6, 0.8, 0.12, 0.4, 0.2, centroid=(0, 0), shear_centre=(0, 0)
    )
    loads = (
        PointLoad(11.0, force=(3.0, -50.0, 8.0), place=(0.7, 0.2)),
        LineLoad(0, axis.length, force=(0, -4.0, 0), place=(-0.3, 0)),
    )
    supports = [fixed(0.0), fork(20.0, bend_x="held"), fixed(axis.length)]
    solution = solve(Member.prismatic(axis, section, supports, loads=loads))
    z = [8.0, 11.0, 26.0]
    exact = solution.at(z)
    errors = []
    for parts in (60, 120):
        moved = chain(axis, section, loads, supports, parts, z)
        ours = np.stack([exact.u, exact.v, exact.w, exact.theta_x, exact.theta_y, exact.phi])[
            ..., 0
        ]
        size = np.abs(ours).max(axis=1, keepdims=True)
        errors.append(np.abs(moved.T - ours) / size)
    assert errors[1].max() < 1.5e-3
    assert errors[0].max() / errors[1].max() == pytest.approx(4, rel=0.25)


def test_bearing_pair_holds_torque_by_its_couple() -> None:
    i = figures()
    axis = Axis.arc(i["arc_L_m"], i["R_m"])
    spacing = 3.0
    ends = [bearing_pair(z, spacing, holds_down=True) for z in (0.0, axis.length)]
    load = uniform(i["q_kN_per_m"], axis.length)
    member = Member.prismatic(axis, plain(i["EI"], i["GJ"]), ends, loads=(load,))
    reaction = solve(member).reactions[0][0]
    left, right = (b.force for b in reaction.bearings)
    assert left + right == pytest.approx(i["q_kN_per_m"] * axis.length / 2, rel=1e-12)
    assert abs(left - right) * spacing / 2 == pytest.approx(check("arc_udl_T")[0], rel=1e-7)
    # The centre lies toward +x: the outer bearing, at -x, bears more.
    assert left > right


def test_a_straight_and_an_arc_of_huge_radius_agree() -> None:
    section = SectionConstants(
        2e5, 8e4, 5e3, 4e7, 9e6, 3e5, 6e10, centroid=(5, 9), shear_centre=(-20, 30)
    )
    answers = []
    for axis in (Axis.straight(6000.0), Axis.arc(6000.0, 1e12)):
        load = LineLoad(1000, 5000, force=(0.3, -2.0, 0), place=(40, 100))
        member = Member.prismatic(axis, section, [fork(0), fork(6000)], loads=(load,))
        answers.append(solve(member).at([1500.0, 3000.0]))
    for word in ("u", "v", "phi", "M_x", "M_y", "T", "B"):
        a, b = (getattr(answer, word) for answer in answers)
        assert b == pytest.approx(a, rel=1e-6, abs=1e-7 * np.abs(a).max())


def test_a_ring_that_does_not_close_is_refused() -> None:
    from soapfilm.geometry.errors import InputError

    with pytest.raises(InputError, match="does not close"):
        Axis((Arc(30.0, 5.0),), closed=True)
