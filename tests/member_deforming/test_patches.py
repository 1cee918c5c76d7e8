"""States that the functions hold exactly: extension, bending and torsion of Saint-Venant, constant
along the member, come back to rounding."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.course import Course, MemberPart
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.support import Support

from .sections import classical, reduced

BAR = ("rectangle", 100.0, 150.0)
LENGTH, E, NU = 2000.0, 210_000.0, 0.3
AREA, I_X = 100.0 * 150.0, 100.0 * 150.0**3 / 12
POINTS = [(-50.0, 75.0), (20.0, 75.0), (50.0, -30.0), (10.0, 12.0)]

#: Twist and x are held by springs, so that no plate holds the section's contraction.
HOLDS = Support(
    0.0, x=1e12, y="held", z="held", bend_x="held", bend_y="held", twist=1e12, warping="free"
)


def pulled(**load) -> DeformingSolution:
    segment = Segment(0, LENGTH, classical(*BAR).constants)
    ends = PointLoad(LENGTH, **load)
    member = Member(Axis.straight(LENGTH), (segment,), (HOLDS,), loads=(ends,))
    section = reduced(*BAR)
    return solve_deforming(member, Course((MemberPart(0, LENGTH, section, section),)))


def test_extension() -> None:
    solution = pulled(force=(0, 0, 3e5))
    stress = solution.stress(POINTS, [0.0, 700.0, LENGTH], "left")[..., 0]
    sigma = 3e5 / AREA
    assert stress[..., 2] == pytest.approx(sigma, rel=1e-8)
    assert np.abs(np.delete(stress, 2, axis=2)).max() < 1e-8 * sigma
    moved = solution.displacement([(50.0, 0.0), (-50.0, 0.0)], [700.0])[0, :, :, 0]
    assert moved[:, 2] == pytest.approx(sigma / E * 700, rel=1e-8)
    assert moved[0, 0] - moved[1, 0] == pytest.approx(-NU * sigma / E * 100, rel=1e-8)


def test_bending() -> None:
    moment = 4e6
    solution = pulled(moment=(moment, 0, 0))
    stress = solution.stress(POINTS, [0.0, 700.0, LENGTH], "left")[..., 0]
    exact = moment / I_X * np.array(POINTS)[:, 1]
    for row in stress:
        assert row[:, 2] == pytest.approx(exact, rel=1e-8)
    assert np.abs(np.delete(stress, 2, axis=2)).max() < 1e-8 * np.abs(exact).max()
    v = solution.movement("centroid", [LENGTH])[1][0, 0]
    assert v == pytest.approx(-moment * LENGTH**2 / (2 * E * I_X), rel=1e-6)


def test_torsion() -> None:
    """J of a rectangle by Saint-Venant's series: 0.1958 b^3 a for a / b = 1.5 (Timoshenko and
    Goodier, Theory of Elasticity; here summed)."""
    torque = 2e6
    solution = pulled(moment=(0, 0, torque))
    n = np.arange(1, 400, 2)
    b, a = 100.0, 150.0
    j = a * b**3 / 3 * (1 - 192 * b / np.pi**5 / a * (np.tanh(n * np.pi * a / 2 / b) / n**5).sum())
    rate = torque / (E / 2 / (1 + NU) * j)
    twist = solution.twist([500.0, 1000.0, 1500.0])[:, 0]
    steps = np.diff(twist) / 500
    assert steps[0] == pytest.approx(steps[1], rel=1e-8)
    # The section's own shape functions are good to some 1e-4, on the stiff side.
    assert 0.9995 * rate < steps[0] < rate
    stress = solution.stress(POINTS, [0.0, 700.0, LENGTH], "left")[..., 0]
    size = np.abs(stress).max()
    assert np.abs(stress - stress[0]).max() < 1e-8 * size
    assert np.abs(stress[..., [0, 1, 2, 5]]).max() < 1e-8 * size
