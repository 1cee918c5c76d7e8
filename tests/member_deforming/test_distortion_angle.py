"""Distortion as the theory of thin walls measures it: the angle of the outline and its bimoment."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.course import Course, MemberPart
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import LineLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.support import fork

from .sections import classical, reduced

#: Middle lines 2000 x 1500, flanges 16 and webs 10 thick.
BOX = ("box", 2010.0, 1516.0, 16.0, 10.0)
LENGTH = 30_000.0


@pytest.fixture(scope="module")
def box() -> DeformingSolution:
    load = LineLoad(0.0, LENGTH, (0, -10.0, 0), place=(1000.0, 758.0))
    segment = Segment(0, LENGTH, classical(*BOX).constants)
    member = Member(Axis.straight(LENGTH), (segment,), (fork(0.0), fork(LENGTH)), loads=(load,))
    section = reduced(*BOX)
    return solve_deforming(member, Course((MemberPart(0, LENGTH, section, section),)))


def test_the_angle_is_that_of_the_corners(box: DeformingSolution) -> None:
    corners = [(-1005, -758), (1005, -758), (1005, 758), (-1005, 758)]
    z = [2_000.0, 9_000.0, 15_000.0]
    u, v = np.moveaxis(box.displacement(corners, z)[:, :, :2, 0], 2, 0)
    level = (v[:, 1] - v[:, 0] + v[:, 2] - v[:, 3]) / 2 / 2010
    upright = (u[:, 3] - u[:, 0] + u[:, 2] - u[:, 1]) / 2 / 1516
    assert box.distortion_angle(z)[0][:, 0] == pytest.approx(level + upright, rel=1e-9)


def test_the_bimoment_is_the_curvature_of_the_angle(box: DeformingSolution) -> None:
    """-E I_D gamma'', with I_D = b^2 h^2 (b t_f + h t_w) / 96 of thin walls (derived; the beam on
    an elastic foundation of Wright, Abdel-Samad and Robinson, 1968)."""
    inertia = 2000.0**2 * 1500.0**2 * (2000 * 16 + 1500 * 10) / 96
    step = 500.0
    z = 15_000.0 + step * np.array([-1.0, 0.0, 1.0])
    angle, bimoment = box.distortion_angle(z)
    curvature = (angle[0] - 2 * angle[1] + angle[2]) / step**2
    assert bimoment[1, 0] == pytest.approx(-210e3 * inertia * curvature[0], rel=0.03)


def test_bimoments_are_zero_where_ends_may_warp(box: DeformingSolution) -> None:
    ends = box.distortion_angle([0.0, LENGTH], "left")[1]
    largest = np.abs(box.distortion_angle(np.linspace(0, LENGTH, 31))[1]).max()
    assert np.abs(ends).max() < 1e-3 * largest


def test_a_solid_bar_does_not_distort() -> None:
    assert reduced("rectangle", 100.0, 150.0).distortion is None
