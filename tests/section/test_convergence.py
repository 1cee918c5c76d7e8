"""The interval shrinks at the rates that theory gives.

Energy of a field with r^lambda at a vertex (lambda = pi/angle): by order p on a fixed mesh
p^(-4 lambda), by uniform cuts h^(2 min(p, lambda)), by layers and order together exponential (Gui &
Babuska, Numer. Math. 49 (1986) 577; Szabo & Babuska, Finite Element Analysis, Wiley 1991, ch. 4).
"""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.planar.overlay import planar_map
from soapfilm.geometry.profiles.by_name import circle, circle_hollow, rectangle
from soapfilm.geometry.section import Region, Section, Slit
from soapfilm.solver.section import Limits, solve_section
from soapfilm.solver.section.mesh.corner_layers import cut_toward
from soapfilm.solver.section.mesh.refinement import split_edges
from soapfilm.solver.section.mesh.section_mesh import SectionMesh
from soapfilm.solver.section.mesh.triangulation import triangulate
from soapfilm.solver.section.torsion.interval import solve_torsion
from soapfilm.solver.section.torsion.sharp_corner import vertex_exponents

L_DOMAIN = Section.single(Contour([(0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)]))
SLIT_BAR = Section((Region(Contour.circle((0, 0), 1.0)),), slits=(Slit(((0.0, 0.0), (1.0, 0.0))),))
SQUARE = rectangle(x_dim=1, y_dim=1).section()
TRIANGLE = Section.single(Contour([(0, 0), (1, 0), (0.5, np.sqrt(0.75))]))
#: The smallest exponent of each: 270, 360 and 90 degrees.
EXPONENTS = {"L": (L_DOMAIN, 2 / 3), "slit": (SLIT_BAR, 1 / 2), "square": (SQUARE, 2.0)}


def width(mesh: SectionMesh, order: int) -> float:
    return solve_torsion(mesh, order, np.zeros(2), np.ones(1)).relative_width


@pytest.mark.parametrize("name", EXPONENTS)
def test_order_alone_converges_algebraically_at_a_corner(name: str) -> None:
    section, exponent = EXPONENTS[name]
    mesh = triangulate(planar_map(section))
    orders = np.arange(5, 13)
    slope, _ = np.polyfit(np.log(orders), np.log([width(mesh, p) for p in orders]), 1)
    assert slope == pytest.approx(-4 * exponent, rel=0.12)


@pytest.mark.parametrize("order", [2, 3, 4])
@pytest.mark.parametrize("name", EXPONENTS)
def test_uniform_cuts_converge_with_the_exponent(name: str, order: int) -> None:
    section, exponent = EXPONENTS[name]
    mesh = triangulate(planar_map(section))
    widths = []
    for _ in range(5):
        widths.append(width(mesh, order))
        mesh = split_edges(mesh, np.arange(len(mesh.edges)))
    rate = np.log2(widths[3] / widths[4])
    assert rate == pytest.approx(2 * min(order, exponent), abs=0.35)


def test_uniform_cuts_of_a_polynomial_solution() -> None:
    """phi of the equilateral triangle is a cubic: order 2 gains 2^4 a cut, order 3 is exact."""
    mesh = triangulate(planar_map(TRIANGLE))
    widths = []
    for _ in range(5):
        widths.append(width(mesh, 2))
        mesh = split_edges(mesh, np.arange(len(mesh.edges)))
    assert widths[3] / widths[4] == pytest.approx(16, rel=0.05)
    assert width(mesh, 3) < 2e-12  # the allowance for rounding


@pytest.mark.parametrize(("name", "factor"), [("L", 0.3), ("slit", 0.25), ("square", 0.2)])
def test_layers_with_growing_order_converge_exponentially(name: str, factor: float) -> None:
    """One layer more with each order more: the width falls by a steady factor."""
    section, _ = EXPONENTS[name]
    mesh = triangulate(planar_map(section))
    corners = np.flatnonzero(np.isfinite(vertex_exponents(mesh, np.ones(1))[0]))
    widths = []
    for order in range(2, 10):
        mesh = cut_toward(mesh, corners)
        widths.append(width(mesh, order))
    ratios = np.divide(widths[1:], widths[:-1])
    assert (ratios < factor).all(), ratios


@pytest.mark.parametrize("order", [2, 3, 4, 8])
def test_round_bars_and_tubes_gain_two_digits_an_order(order: int) -> None:
    """phi is a quadratic, though not one of a curved triangle's own coordinates."""
    for profile in (circle(radius=1), circle_hollow(radius=1, wall_thickness=0.3)):
        mesh = triangulate(planar_map(profile.section()))
        assert width(mesh, order) < {2: 2e-3, 3: 1e-5, 4: 1e-7, 8: 2e-12}[order]


@pytest.mark.parametrize("accuracy", [1e-3, 1e-5, 1e-7, 1e-9])
@pytest.mark.parametrize("name", EXPONENTS)
def test_accuracy_asked_is_reached(name: str, accuracy: float) -> None:
    section, _ = EXPONENTS[name]
    result = solve_section(section, accuracy)
    assert result.solver.met
    assert result.solver.reached <= accuracy
    low, high = result.torsion_constant_lower, result.torsion_constant_upper
    assert 2 * (high - low) / (high + low) == pytest.approx(result.solver.reached)


def test_limits_stop_refinement_and_say_what_was_reached() -> None:
    result = solve_section(SLIT_BAR, 1e-9, limits=Limits(rounds=1))
    assert not result.solver.met
    assert 1e-9 < result.solver.reached < 1e-4
    low, high = result.torsion_constant_lower, result.torsion_constant_upper
    assert low < 0.8780556851 < high  # sector of 360 degrees, see `test_exact_bounds`
