"""Bending shear against closed forms: Saint-Venant flexure with Poisson's ratio."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section
from soapfilm.solver.section.elements.integrals import stations_at
from soapfilm.solver.section.mesh.location import locate
from soapfilm.solver.section.stress.components import COMPONENTS
from soapfilm.solver.section.stress.extremes import Search

from .shapes import box, channel, circle, i_section, material, rectangle, solved

V_Y = np.eye(8)[4]


def shear_at(units, point) -> np.ndarray:
    """Shear stress (2,) per unit V_y at a point."""
    t, xi, eta = locate(units.field.mesh, np.array([point], dtype=float))
    stations = stations_at(units.field.mesh, units.field.order, xi, eta, t)
    return units.evaluate(stations, t).combined(V_Y)[1][0, 0]


def rectangle_edge_factor(width: float, depth: float, nu: float, x_share: float) -> float:
    """tau_zy / (3 V / 2 A) on the neutral axis at x = x_share * width/2, by the series of
    Timoshenko & Goodier, Theory of Elasticity, 3rd ed. (1970), art. 124 (from memory; derived again
    by hand)."""
    a, b, x = width / 2, depth / 2, x_share * width / 2
    n = np.arange(1, 200)
    with np.errstate(over="ignore"):
        decay = 1 / np.cosh(np.minimum(n * np.pi * b / a, 700))
    terms = (-1.0) ** n / n**2 * np.cos(n * np.pi * x / a) * decay
    return 1 + nu / (1 + nu) / b**2 * (x**2 - a**2 / 3 - 4 * a**2 / np.pi**2 * terms.sum())


@pytest.mark.parametrize("nu", [0.0, 0.25, 0.5])
@pytest.mark.parametrize(("width", "depth"), [(1, 2), (1, 1), (2, 1), (4, 1)])
def test_rectangle_shear_follows_the_series(width: float, depth: float, nu: float) -> None:
    accuracy = 1e-8  # of J, an energy: fields are then good to its square root
    units = solved(rectangle(width, depth, nu), accuracy)
    mean = 1 / (width * depth)
    for share in (0.0, 0.5, 1.0):
        wanted = 1.5 * mean * rectangle_edge_factor(width, depth, nu, share)
        found = shear_at(units, (share * width / 2, 0.0))
        assert found[1] == pytest.approx(wanted, rel=accuracy**0.5)
        assert abs(found[0]) < accuracy**0.5 * mean


@pytest.mark.parametrize("nu", [0.0, 0.3, 0.5])
def test_circle_shear_is_exact(nu: float) -> None:
    """tau at the centre (3 + 2 nu)/(8 (1 + nu)) V R^2/I, at the ends of the horizontal diameter
    (1 + 2 nu)/(4 (1 + nu)) V R^2/I (Timoshenko & Goodier, 3rd ed., art. 121, from memory)."""
    units = solved(circle(2.0, nu), 1e-10)
    inertia = np.pi * 2.0**4 / 4
    centre = (3 + 2 * nu) / (8 * (1 + nu)) * 4 / inertia
    side = (1 + 2 * nu) / (4 * (1 + nu)) * 4 / inertia
    assert shear_at(units, (0, 0)) == pytest.approx([0, centre], abs=2e-9)
    assert shear_at(units, (2, 0)) == pytest.approx([0, side], abs=2e-9)
    greatest = Search.over(units).extreme(V_Y, COMPONENTS["shear"], 1)
    assert greatest.value == pytest.approx(max(centre, side), rel=1e-8)


@pytest.mark.parametrize("nu", [0.0, 0.25, 0.5])
def test_axes_of_symmetry_do_not_couple(nu: float) -> None:
    """Factors of rectangles are checked in `benchmarks.checks.bending_shear`."""
    flexibility = solved(rectangle(2, 1, nu)).shear_flexibility()
    assert abs(flexibility[0, 1]) < 1e-9 * flexibility[0, 0]


@pytest.mark.parametrize("nu", [0.0, 0.3, 0.5])
def test_circle_shear_factor(nu: float) -> None:
    """Energy factor 6 (1 + nu)^2/(7 + 14 nu + 8 nu^2) (derived; Renton, Int. J. Solids Struct. 27
    (1991) 1387); one solution answers for every nu."""
    units = solved(circle(1.5, 0.2), 1e-10)
    wanted = 6 * (1 + nu) ** 2 / (7 + 14 * nu + 8 * nu**2)
    assert 1 / units.shear_flexibility(nu)[0, 0] / units.result.area == pytest.approx(
        wanted, rel=1e-9
    )


def test_shear_factors_approach_cowpers_for_thin_tubes() -> None:
    """Cowper, J. Appl. Mech. 33 (1966) 335-340 (from memory): round tube 2 (1 + nu)/(4 + 3 nu).

    His definition is not the energy's: at nu = 0 both give 1/2 for the thin round tube, so the
    energy's value must approach it as the wall thins.
    """
    off = []
    for wall in (0.2, 0.1, 0.05):
        section = Section.single(
            Contour.circle((0, 0), 1 + wall / 2),
            [Contour.circle((0, 0), 1 - wall / 2)],
            material=material(0.0),
        )
        units = solved(section)
        off.append(abs(1 / units.shear_flexibility()[0, 0] / units.result.area - 0.5))
    assert off[0] > 3.5 * off[1] > 3.5**2 * off[2]
    assert off[2] < 1e-3


def test_flexural_centre_without_poissons_ratio_is_the_shear_centre() -> None:
    """The semicircle; its centre at nu = 0.3 is checked in `benchmarks.checks.bending_shear`."""
    section = Section.single(Contour([[1, 0], [-1, 0]], [1.0, 0.0]), material=material(0.3))
    units = solved(section, 1e-8)
    assert units.flexural_shear_centre(0.0) == pytest.approx(units.result.shear_centre, abs=1e-7)


def test_thin_i_web_shear_tends_to_vq_over_it() -> None:
    """Common practice: tau = V Q/(I t) in the web, as walls thin."""
    off = []
    for t in (4.0, 2.0, 1.0):
        units = solved(i_section(100, 200, t, t, nu=0.0), 1e-5)
        h, b = 200.0, 100.0
        inertia = t * h**3 / 12 + 2 * b * t * (h / 2) ** 2
        for y in (0.0, 50.0):
            q = b * t * h / 2 + t * (h / 2 - y) * (h / 2 + y) / 2
            off.append(abs(shear_at(units, (0, y))[1] * inertia * t / q - 1))
    assert off[0] > 1.7 * off[2] > 1.7**2 * off[4]
    assert max(off[4:]) < 0.01


def test_thin_channel_flange_flow_is_linear() -> None:
    """Thin-wall theory: the flange's flow grows linearly from its tip, q = V t h s/(2 I)."""
    t, b, h = 1.0, 60.0, 120.0
    units = solved(channel(b, h, t, nu=0.0), 1e-5)
    inertia = units.result.second_moments.x
    for s in (15.0, 30.0, 45.0):
        found = shear_at(units, (b - s, h / 2))
        assert abs(found[0]) == pytest.approx(s * h / (2 * inertia), rel=0.01)


def test_thin_box_flow_is_zero_at_the_axis_of_symmetry() -> None:
    units = solved(box(100, 200, 2.0, nu=0.0), 1e-5)
    inertia = units.result.second_moments.x
    q_web = 200 * 100 / 4 + (200 / 2) ** 2 / 2  # first moment over t of half of one half
    assert abs(shear_at(units, (0, 100))[0]) < 1e-3 / (2 * 100 * 2.0)
    assert shear_at(units, (50, 0))[1] == pytest.approx(q_web / inertia, rel=0.01)
