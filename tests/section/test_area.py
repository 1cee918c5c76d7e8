"""Area properties: elementary formulas, the sign of I_xy, sides of the moduli, mass, Wagner."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.moments import area_and_first_moments, contour_moments
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.profiles.by_name import circle, l_shape, rectangle, t_shape
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.area.properties import area_properties


def test_triangle() -> None:
    """b h^3/36, h b^3/36 + ..., and I_xy = -b^2 h^2/72 of a right triangle (elementary)."""
    b, h = 3.0, 2.0
    p = area_properties(Section.single(Contour([(0, 0), (b, 0), (0, h)])))
    assert p.area == pytest.approx(b * h / 2)
    assert p.centroid == pytest.approx([b / 3, h / 3])
    m = p.second_moments
    assert (m.x, m.y) == pytest.approx((b * h**3 / 36, h * b**3 / 36))
    assert m.xy == pytest.approx(-(b**2) * h**2 / 72)
    mean, half = (m.x + m.y) / 2, (m.x - m.y) / 2
    assert m.major == pytest.approx(mean + np.hypot(half, m.xy))
    # tan 2a = -2 I_xy/(I_x - I_y), on the branch of the larger moment
    assert np.tan(2 * m.angle) == pytest.approx(-2 * m.xy / (m.x - m.y))
    e = p.elastic_moduli
    assert (e.x_top, e.x_bottom) == pytest.approx((m.x / (2 * h / 3), m.x / (h / 3)))
    assert (e.y_right, e.y_left) == pytest.approx((m.y / (2 * b / 3), m.y / (b / 3)))


def test_circle_and_quarter() -> None:
    p = area_properties(circle(radius=2).section())
    assert p.second_moments.x == pytest.approx(np.pi * 4, rel=1e-13)
    assert p.radii_of_gyration == pytest.approx([1, 1, 1, 1], rel=1e-13)
    assert p.second_moments.angle == 0.0
    quarter = Section.single(Contour([(0, 0), (1, 0), (0, 1)], [0, np.tan(np.pi / 8), 0]))
    q = area_properties(quarter)
    assert q.centroid == pytest.approx([4 / (3 * np.pi)] * 2, rel=1e-13)
    assert q.second_moments.x == pytest.approx(np.pi / 16 - 4 / (9 * np.pi), rel=1e-12)
    # about the corner I_xy = 1/8
    c = q.centroid
    assert q.second_moments.xy + q.area * c[0] * c[1] == pytest.approx(1 / 8, rel=1e-12)


def test_principal_axes_of_an_angle() -> None:
    """Equal legs: 45 degrees; the elastic moduli hold at the farthest fibres about these axes."""
    section = l_shape(depth=100, thickness=10).section()
    p = area_properties(section)
    assert abs(p.second_moments.angle_deg) == pytest.approx(45)
    centre = tuple(map(float, p.centroid))
    turned = area_properties(section.placed(Placement.rotate(-p.second_moments.angle, centre)))
    assert turned.second_moments.xy == pytest.approx(0, abs=1e-6 * p.second_moments.x)
    e = turned.elastic_moduli
    assert p.elastic_moduli.major == pytest.approx(min(e.x_top, e.x_bottom), rel=1e-9)
    assert p.elastic_moduli.minor == pytest.approx(min(e.y_right, e.y_left), rel=1e-9)


def test_mass_needs_every_density() -> None:
    low = Contour([(0, 0), (2, 0), (2, 1), (0, 1)])
    high = Contour([(0, 1), (2, 1), (2, 3), (0, 3)])
    dense, dark = Material("dense", density=5.0), Material("dark")
    both = Section((Region(low, material=dense), Region(high, material=Material("x", density=2.0))))
    assert area_properties(both).mass_per_length == pytest.approx(5 * 2 + 2 * 4)
    some = Section((Region(low, material=dense), Region(high, material=dark)))
    assert area_properties(some).mass_per_length is None


def test_perimeter_counts_holes_and_arcs() -> None:
    hole = Contour.circle((0, 0), 0.5)
    section = Section.single(rectangle(x_dim=4, y_dim=2).outline, [hole])
    assert solve_section(section).perimeter == pytest.approx(12 + np.pi, rel=1e-12)


def test_wagner_constant_of_a_tee() -> None:
    """beta_x = int y (x^2 + y^2) dA/I_x - 2 y_S, the integral over its two rectangles by hand; the
    shear centre of thin plates lies where their middle lines meet."""
    b, t, d, w = 120.0, 4.0, 150.0, 3.0
    tee = t_shape(depth=d, flange_width=b, web_thickness=w, flange_thickness=t)
    result = solve_section(tee.section(), 1e-7)
    y0, y1 = result.section.bounds()[1], result.section.bounds()[3]
    plates = [(b, y1 - t, y1), (w, y0, y1 - t)]
    y, weight = np.polynomial.legendre.leggauss(4)
    third = 0.0
    for width, low, high in plates:
        at = (low + high) / 2 + (high - low) / 2 * y - result.centroid[1]
        row = weight * (high - low) / 2 * (at**3 * width + at * width**3 / 12)
        third += float(row.sum())
    pole = result.shear_centre[1] - result.centroid[1]
    expected = third / result.second_moments.x - 2 * pole
    assert result.monosymmetry[0] == pytest.approx(expected, rel=1e-10)
    assert pole == pytest.approx(y1 - t / 2 - result.centroid[1], abs=0.1)
    assert result.monosymmetry[1] == pytest.approx(0, abs=1e-6 * b)


@pytest.mark.parametrize("bulge", [1.0, -0.3, 0.99, 2.5, 1e-3, 1e-7, 0.0])
def test_first_moments_in_closed_form_agree_with_quadrature(bulge: float) -> None:
    """Half circles, hollows, more than half circles and arcs that are nearly straight."""
    contour = Contour([[0, 0], [4, 0], [4, 3], [1, 5]], [bulge / 3, 0, 0, bulge / 2])
    area, first = area_and_first_moments([contour], np.array([3.0, 7.0]))
    by_rule = contour_moments([contour], (3.0, 7.0), 1)
    assert area == pytest.approx(by_rule[0, 0], rel=1e-14)
    np.testing.assert_allclose(first, [by_rule[1, 0], by_rule[0, 1]], rtol=0, atol=1e-13 * 7 * area)
