"""Distortion of a rectangular box beside the beam-on-elastic-foundation analogy (Wright,
Abdel-Samad and Robinson, J. Struct. Div. ASCE 94 ST7, 1968; constants derived) and a folded
plate."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.course import Course, MemberPart
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import LineLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.support import fork

from .sections import classical, reduced

#: Middle lines 2000 x 1500, flanges 16 and webs 10 thick.
BOX = ("box", 2010.0, 1516.0, 16.0, 10.0)


@pytest.mark.parametrize(
    ("length", "gamma", "sigma"),
    [(20_000.0, 0.00126597, 2.41764), (30_000.0, 0.00290319, 2.48495)],
)
def test_sine_loads_on_the_webs(length: float, gamma: float, sigma: float) -> None:
    """+-1 N/mm sin(pi z / L) on the webs: change of the corner angle and stress at the corners by
    an independent folded plate, which includes shear strain; 2 % beside any shell solution."""
    z = np.linspace(0.0, length, 17)
    q = np.sin(np.pi * z / length)
    loads = [
        LineLoad(a, b, (0, -side * p, 0), (0, -side * r, 0), place=(side * 1000.0, 0.0))
        for a, b, p, r in zip(z[:-1], z[1:], q[:-1], q[1:], strict=True)
        for side in (-1, 1)
    ]
    segment = Segment(0, length, classical(*BOX).constants)
    member = Member(Axis.straight(length), (segment,), (fork(0.0), fork(length)), loads=loads)
    section = reduced(*BOX)
    solution = solve_deforming(member, Course((MemberPart(0, length, section, section),)))
    corners = [(-1000, -750), (1000, -750), (1000, 750), (-1000, 750)]
    u, v = solution.displacement(corners, [length / 2])[0, :, :2, 0].T
    level = (v[1] - v[0] + v[2] - v[3]) / 2 / 2000
    upright = -(u[3] - u[0] + u[2] - u[1]) / 2 / 1500
    assert abs(level - upright) == pytest.approx(gamma, rel=0.02)
    # At the corner itself the walls' transverse bending adds Poisson's share: from the flange's
    # middle line, where the stress runs straight.
    near, far = solution.stress([(900, 750), (600, 750)], [length / 2])[0, :, 2, 0]
    assert abs(near + (near - far) / 3) == pytest.approx(sigma, rel=0.02)
