"""A ring on supports, of a section too stout to distort: statics of the circular arc, and virtual
work for its deflections.

Between supports 2 th apart, s from the middle: under a load w per length
M = w R^2 (th cos s / sin th - 1) and T = w R^2 (th sin s / sin th - s), as in the table of Hassoun
and Al-Manaseer, Structural Concrete, to which the classical beam is held; under P at the middle of
every bay M = P R / 2 (tan(th / 2) cos s - sin s) and
T = P R / 2 (tan(th / 2) sin s - 1 + cos s), derived.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.course import Course, MemberPart, arc_ratio
from soapfilm.solver.member.deforming.reactions import reactions
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.support import Support

from .sections import classical, reduced

BAR, ORIGIN = ("rectangle", 100.0, 150.0), (0.0, 0.0)
RADIUS, Q, P = 3000.0, 5.0, 1000.0


def moment(s: np.ndarray, th: float) -> tuple[np.ndarray, np.ndarray]:
    """(2, m) moment and torque under Q per length, s >= 0."""
    size = Q * RADIUS**2
    return size * (th * np.cos(s) / math.sin(th) - 1), size * (th * np.sin(s) / math.sin(th) - s)


def under_points(s: np.ndarray, th: float) -> tuple[np.ndarray, np.ndarray]:
    """The same under P at the middles."""
    size, slope = P * RADIUS / 2, math.tan(th / 2)
    return size * (slope * np.cos(s) - np.sin(s)), size * (slope * np.sin(s) - 1 + np.cos(s))


@pytest.mark.parametrize(("bays", "side"), [(3, 1.0), (4, -1.0)])
def test_a_ring_on_supports(bays: int, side: float) -> None:
    axis = Axis.ring(side * RADIUS)
    length, th = axis.length, math.pi / bays
    constants = classical(*BAR).constants
    loads = (
        LineLoad(0, length, force=(0, -Q, 0), place=ORIGIN, case="line"),
        *(
            PointLoad((k + 0.5) * length / bays, (0, -P, 0), place=ORIGIN, case="points")
            for k in range(bays)
        ),
    )
    held = tuple(Support(k * length / bays, x="held", y="held", point=ORIGIN) for k in range(bays))
    member = Member(axis, (Segment(0, length, constants),), held, loads=loads)
    straight = reduced(*BAR)
    bent = straight.curved(-side * RADIUS)
    part = MemberPart(0, length, straight, bent, arc_ratio(side / RADIUS, 0.0))
    found = solve_deforming(member, Course((part,)))

    s = th * np.array([0.2, 0.5, 0.8])
    z = (s / (2 * th) + 0.5) * length / bays
    told = found.resultants(z)
    e, g = constants.elastic_modulus, constants.shear_modulus
    stiffness = (e * constants.second_moment_x, g * constants.torsion_constant)
    x, w = np.polynomial.legendre.leggauss(30)
    inner, weight = th * (x + 1) / 2, th * w / 2 * RADIUS
    one = under_points(inner, th)
    for name, exact, shear in (
        ("line", moment, Q * RADIUS * inner),
        ("points", under_points, P / 2 + 0 * inner),
    ):
        column = found.column(name)
        m, t = exact(s, th)
        # M and T are statics: what the section does changes them by nothing.
        assert -told.M_x[:, column] == pytest.approx(m, abs=1e-6 * abs(m).max())
        assert np.abs(told.T[:, column]) == pytest.approx(abs(t), abs=1e-6 * abs(t).max())
        own = exact(inner, th)
        work = sum(weight @ (a * b) / k for a, b, k in zip(own, one, stiffness, strict=True))
        work += weight @ (shear * P / 2) / (5 / 6 * g * constants.area)
        down = -found.movement(ORIGIN, [length / bays / 2])[1][0, column]
        assert down == pytest.approx(2 * work / P, rel=5e-3)
    share = [r.force[1] for r in reactions(found, found.column("line"))]
    assert share == pytest.approx([Q * length / bays] * bays, rel=1e-9)
