"""Tables of lateral buckling, columns without symmetry, and a ring.

Coefficients by chi = L^2 G J / (E C_w) (Timoshenko & Gere, Theory of Elastic Stability, 1961,
tables 6-3, 6-5 and 6-6; end moments: ENV 1993-1-1 table F.1.1; print from memory) hold for members
that deform on an I-section, where chi is large enough for a beam: at chi = 4 its flanges buckle by
themselves first. The classical theory is held to all of them in `benchmarks/checks`.

Rings by the classical theory are in `benchmarks/checks/rings.py`.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from soapfilm.geometry.profiles.open import l_shape
from soapfilm.geometry.profiles.solid import circle
from soapfilm.geometry.profiles.symmetric import i_shape
from soapfilm.geometry.section import Section
from soapfilm.solver.member.beam.analysis import critical_loads
from soapfilm.solver.member.critical.member_buckling import member_buckling
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.support import Support, fixed, fork

from .members import STEEL, E, G, Load, factor, section, squeezed

#: Its web keeps its shape, its flanges are wide enough for a long characteristic length.
WIDE = i_shape(overall_depth=210, overall_width=200, flange_thickness=10, web_thickness=16).section(
    material=STEEL
)


def length_of(s: SectionConstants, chi: float) -> float:
    stiff = s.elastic_modulus * s.warping_constant
    return math.sqrt(chi * stiff / (s.shear_modulus * s.torsion_constant))


def loading(kind: str, length: float, psi: float = 0.0) -> tuple[list[Load], list[Support]]:
    """Unit moment at one end and psi times it at the other, or unit loads at the centroid."""
    forks = [fork(0.0), fork(length)]
    if kind == "ends":
        moments = [PointLoad(0.0, moment=(1.0, 0, 0)), PointLoad(length, moment=(-psi, 0, 0))]
        return [*moments], forks
    if kind == "middle":
        return [PointLoad(length / 2, force=(0, -1.0, 0), place=(0.0, 0.0))], forks
    if kind == "tip":
        return [PointLoad(length, force=(0, -1.0, 0), place=(0.0, 0.0))], [fixed(0.0)]
    return [LineLoad(0, length, (0, -1.0 / length, 0), place=(0.0, 0.0))], forks


def coefficient(kind: str, chi: float, length: float, s: SectionConstants, found: float) -> float:
    """C_1 of end moments, else P L^2 / sqrt(E I_y G J)."""
    root = math.sqrt(s.elastic_modulus * s.second_moment_y * s.shear_modulus * s.torsion_constant)
    if kind == "ends":
        return found * length / (root * math.pi * math.sqrt(1 + math.pi**2 / chi))
    return found * length**2 / root


@pytest.mark.parametrize(
    ("kind", "psi", "chi", "value", "within"),
    [
        ("ends", -0.5, 400, 2.36255034, 4e-3),
        ("uniform", 0.0, 80, 30.0861976, 2e-3),
        ("tip", 0.0, 40, 5.68754683, 1e-2),
    ],
)
def test_tables_by_sections_that_deform(
    kind: str, psi: float, chi: float, value: float, within: float
) -> None:
    """Shear and the bending of flanges and web, left out of the tables, lower the factor."""
    s = section(WIDE).constants
    length = length_of(s, chi)
    loads, supports = loading(kind, length, psi)
    found = factor(WIDE, length, loads, supports=supports)
    assert coefficient(kind, chi, length, s, found) == pytest.approx(value, rel=within)
    assert coefficient(kind, chi, length, s, found) < value


def column_loads(
    moduli: tuple[float, float], moments: tuple[float, float], torsion: tuple[float, float],
    area: float, centre: tuple[float, float], length: float,
) -> np.ndarray:  # fmt: skip
    """(P - P_x)(P - P_y)(P - P_t) r_0^2 - P^2 y_0^2 (P - P_x) - P^2 x_0^2 (P - P_y) = 0 in
    principal axes, between hinges that leave warping free (Timoshenko & Gere, 5.6)."""
    e, g = moduli
    squared = sum(moments) / area + centre[0] ** 2 + centre[1] ** 2
    p_x, p_y = (math.pi**2 * e * i / length**2 for i in moments)
    p_t = (g * torsion[0] + math.pi**2 * e * torsion[1] / length**2) / squared
    x, y, t = (np.poly1d([1.0, -p]) for p in (p_x, p_y, p_t))
    square = np.poly1d([1.0, 0.0, 0.0])
    cubic = x * y * t * squared - square * x * centre[1] ** 2 - square * y * centre[0] ** 2
    return np.sort(cubic.roots.real)


def test_an_unsymmetrical_column_of_a_section_that_deforms() -> None:
    """An angle of unequal legs by the cubic of its own constants; its legs bend a little."""
    angle: Section = l_shape(depth=120, width=80, thickness=8).section(material=STEEL)
    solved, length = section(angle).result, 3000.0
    assert solved is not None
    m = solved.second_moments
    c, s = math.cos(m.angle), math.sin(m.angle)
    x, y = solved.shear_centre - solved.centroid
    exact = column_loads(
        (E, G), (m.major, m.minor), (solved.torsion_constant, solved.warping_constant),
        solved.area, (c * x + s * y, c * y - s * x), length,
    )  # fmt: skip
    assert factor(angle, length, squeezed(length)) == pytest.approx(exact[0], rel=5e-3)


def test_a_ring_under_a_radial_load_that_keeps_its_direction() -> None:
    """Out of its plane at q R^3 / (E I) = 9 / (4 + E I / (G J)) (Timoshenko & Gere, 7.9; derived by
    energy), 1.698 for a round bar: held at the four nodes of that mode, it buckles so before it
    does in its plane."""
    outline = circle(radius=10).section(material=STEEL)
    axis, radius = Axis.ring(500.0), 500.0
    s, quarter = section(outline).constants, axis.length / 4
    supports = [
        Support(k * quarter, y="held", z="held" if k < 3 else "free", point=(0.0, 0.0))
        for k in range(4)
    ]
    load = LineLoad(0, axis.length, (1.0, 0, 0), place=(0.0, 0.0))
    made = Member(axis, (Segment(0, axis.length, s),), tuple(supports), loads=(load,))
    known = {"section": section(outline)}
    deforming = member_buckling(solve_deforming(made, course_of(made, known, 2)), known)
    bending = E * s.second_moment_x
    exact = 9 / (4 + bending / (G * s.torsion_constant))
    assert exact == pytest.approx(1.69811321, rel=1e-6)
    for found in (critical_loads(made)[0].factor, deforming.factors[0].factor):
        assert found * radius**3 / bending == pytest.approx(exact, rel=1e-3)
