"""Sections of several materials: exact series, limits, and bounds that still hold."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.planar.overlay import planar_map
from soapfilm.geometry.profiles.by_name import i_shape, rectangle, rectangle_hollow
from soapfilm.geometry.section import Region, Section
from soapfilm.solver.section import solve_section
from soapfilm.solver.section.area.properties import area_properties, shear_ratios
from soapfilm.solver.section.mesh.triangulation import triangulate
from soapfilm.solver.section.torsion.interval import solve_torsion


def material(shear: float, elastic: float = 1.0) -> Material:
    return Material(f"G{shear:g}", elastic_modulus=elastic, shear_modulus=shear)


def layered(width: float, layers: list[tuple[float, float]]) -> Section:
    """Layers (height, G) from the bottom up."""
    regions, y = [], 0.0
    for height, shear in layers:
        outline = Contour([(0, y), (width, y), (width, y + height), (0, y + height)])
        regions.append(Region(outline, material=material(shear)))
        y += height
    return Section(tuple(regions))


def layered_constant(width: float, layers: list[tuple[float, float]]) -> float:
    """G J of bonded layers over G of the first one (derived; the two-layer case is Muskhelishvili's
    compound rectangle, Some Basic Problems, ch. 22, from memory).

    phi = sum over odd n of f(y) sin(n pi x/width), k = n pi/width. In a layer of height h and
    modulus G, f'' - k^2 f = -8 G/(n pi), so with f = F, F' on its two faces, p = 8/(n pi k^2) and
    t = tanh(k h/2): int f dy = p G (h - 2 t/k) + (F + F') t/k, and the inward slope over G at the
    face of F is p k t - F k coth(k h)/G + F' k/(G sinh(k h)). At an interface the inward slopes
    over G of both layers add to zero, outside F = 0: that gives F.
    """
    h, g = np.array(layers, dtype=float).T
    total = 0.0
    for n in range(1, 2001, 2):
        k = n * np.pi / width
        p = 8 / (n * np.pi * k**2)
        t = np.tanh(k * h / 2)
        coth = 1 / np.tanh(k * h)
        csch = 1 / np.sinh(np.minimum(k * h, 300))
        m = len(h) - 1
        matrix = np.diag(coth[:-1] / g[:-1] + coth[1:] / g[1:])
        for j in range(m - 1):
            matrix[j, j + 1] = matrix[j + 1, j] = -csch[j + 1] / g[j + 1]
        inner = np.linalg.solve(matrix, p * (t[:-1] + t[1:])) if m else np.empty(0)
        f = np.concatenate([[0.0], inner, [0.0]])
        area = np.sum(p * g * (h - 2 * t / k) + (f[:-1] + f[1:]) * t / k)
        total += 2 * 2 * width / (n * np.pi) * area
    return total / g[0]


LAYERED = {
    "perpendicular to the long side": (1.0, [(1.0, 1.0), (1.0, 5.0)]),
    "parallel to the long side": (4.0, [(0.5, 1.0), (0.5, 3.0)]),
    "stiff first": (1.0, [(0.7, 1.0), (1.3, 0.01)]),
    "sandwich": (3.0, [(0.1, 1.0), (1.0, 0.002), (0.1, 1.0)]),
    "four layers": (2.0, [(0.3, 1.0), (0.2, 7.0), (0.5, 0.3), (0.4, 2.0)]),
}


def test_series_of_one_layer_is_that_of_the_rectangle(checks: dict) -> None:
    for layers in ([(1.0, 1.0)], [(0.4, 1.0), (0.6, 1.0)], [(0.2, 2.0), (0.3, 2.0), (0.5, 2.0)]):
        assert layered_constant(2.0, layers) == pytest.approx(
            2 * checks["rect_J_2"]["value"], rel=1e-9
        )


@pytest.mark.parametrize("name", LAYERED)
def test_layered_rectangle_by_its_series(name: str) -> None:
    width, layers = LAYERED[name]
    section = layered(width, layers)
    exact = layered_constant(width, layers)
    mesh = triangulate(planar_map(section))
    origin = area_properties(section).centroid
    for order in (2, 3, 5, 8, 12):
        field = solve_torsion(mesh, order, origin, shear_ratios(section))
        assert field.lower <= exact * (1 + 1e-9)
        assert field.upper >= exact * (1 - 1e-9)
    result = solve_section(section, 1e-8)
    assert result.solver.met
    assert result.torsion_constant == pytest.approx(exact, rel=2e-8)
    assert result.is_composite


@pytest.mark.parametrize("shears", [(1.0, 0.2), (1.0, 40.0), (1.0, 3.0, 0.1)])
def test_concentric_rings(shears: tuple) -> None:
    """Every ring turns as a whole: G J = sum G_i I_p,i (exact)."""
    radii = np.linspace(1.0, 2.0, len(shears))
    circles = [Contour.circle((0.3, -0.2), r) for r in radii]
    regions = [Region(circles[0], material=material(shears[0]))]
    for inner, outer, shear in zip(circles[:-1], circles[1:], shears[1:], strict=True):
        regions.append(Region(outer, (inner,), material=material(shear)))
    result = solve_section(Section(tuple(regions)), 1e-7)
    powers = np.concatenate([[0.0], radii]) ** 4
    exact = np.pi / 2 * float(np.diff(powers) @ shears) / shears[0]
    assert result.torsion_constant_lower <= exact * (1 + 1e-13)
    assert result.torsion_constant_upper >= exact * (1 - 1e-13)
    assert result.torsion_constant == pytest.approx(exact, rel=1e-10)
    assert result.warping_constant == pytest.approx(0, abs=1e-9)
    # |tau| = G r: largest on the rim of one of the rings
    worst = max(s * r for s, r in zip(shears, radii, strict=True)) / shears[0]
    assert result.torsion_modulus.value == pytest.approx(exact / worst, rel=1e-6)


def half_and_half(first: Material, second: Material) -> Section:
    """A rectangle cut along a slant, and a round core of the first material in the second."""
    left = Contour([(0, 0), (1.7, 0), (1.2, 1), (0, 1)])
    right = Contour([(1.7, 0), (3, 0), (3, 1), (1.2, 1)])
    core = Contour.circle((2.3, 0.5), 0.2)
    return Section(
        (Region(left, material=first), Region(right, (core,), second), Region(core, (), first))
    )


def test_equal_materials_are_one_body() -> None:
    steel = material(2.0, 5.0)
    parts = solve_section(half_and_half(steel, replace(steel, name="the same")))
    whole = solve_section(Section.single(rectangle(x_dim=3, y_dim=1).outline))
    assert parts.torsion_constant_lower <= whole.torsion_constant_upper
    assert whole.torsion_constant_lower <= parts.torsion_constant_upper
    assert parts.area == pytest.approx(whole.area, rel=1e-12)
    assert parts.warping_constant == pytest.approx(whole.warping_constant, rel=1e-4)
    assert parts.corners == ()
    assert parts.torsion_modulus.value == pytest.approx(whole.torsion_modulus.value, rel=2e-3)


@pytest.mark.parametrize("soft", [1e-3, 1e-6])
def test_a_soft_part_leaves_the_stiff_one_alone(soft: float) -> None:
    """G J of both is that of the stiff part and a little more, of the soft modulus' order."""
    left = Region(Contour([(0, 0), (2, 0), (2, 1), (0, 1)]), material=material(1.0))
    right = Region(Contour([(2, 0), (3, 0), (3, 1), (2, 1)]), material=material(soft))
    both, alone = solve_section(Section((left, right))), solve_section(Section((left,)))
    assert both.torsion_constant_upper >= alone.torsion_constant_lower
    assert both.torsion_constant_lower <= alone.torsion_constant_upper + 20 * soft
    assert both.solver.met


def test_j_is_relative_to_the_first_region() -> None:
    section = half_and_half(material(1.0), material(4.0))
    stiff_first = Section((section.regions[1], section.regions[0], section.regions[2]))
    one, other = solve_section(section), solve_section(stiff_first)
    assert one.torsion_constant == pytest.approx(4 * other.torsion_constant, rel=1e-5)
    assert one.shear_centre == pytest.approx(other.shear_centre, abs=1e-4)


def test_area_properties_are_weighted_by_e_and_torsion_by_g() -> None:
    """Twice the modulus counts as twice the width, about one axis (transformed section)."""
    low = Region(Contour([(0, 0), (2, 0), (2, 1), (0, 1)]), material=material(1.0, 1.0))
    high = Region(Contour([(0, 1), (2, 1), (2, 2), (0, 2)]), material=material(1.0, 3.0))
    result = solve_section(Section((low, high)))
    assert result.area == pytest.approx(2 + 6)
    assert result.area_properties.gross_area == pytest.approx(4)
    y = (2 * 0.5 + 6 * 1.5) / 8
    assert result.centroid == pytest.approx([1, y])
    i_x = 2 / 12 + 2 * (y - 0.5) ** 2 + 6 / 12 + 6 * (1.5 - y) ** 2
    assert result.second_moments.x == pytest.approx(i_x, rel=1e-12)
    # the same G throughout: J of the plain square
    assert result.torsion_constant == pytest.approx(0.140577014955 * 16, rel=1e-5)


def test_shear_centre_of_a_strip_is_its_weighted_centroid() -> None:
    """A thin strip warps as x y, so that int E omega y = 0 puts the pole at int E x / int E, but
    for terms (t/b)^2; of one G it warps alike whatever E is."""
    left = Region(Contour([(0, 0), (4, 0), (4, 0.1), (0, 0.1)]), material=material(1.0, 1.0))
    right = Region(Contour([(4, 0), (10, 0), (10, 0.1), (4, 0.1)]), material=material(1.0, 5.0))
    result = solve_section(Section((left, right)), 1e-7)
    centre = (4 * 2 + 30 * 7) / 34
    assert result.centroid[0] == pytest.approx(centre, rel=1e-12)
    assert result.shear_centre == pytest.approx([centre, 0.05], abs=2e-3)
    # C_w = int E (x - x_C)^2 y^2 dA to the same order
    second = 4**3 / 12 + 4 * (centre - 2) ** 2 + 5 * (6**3 / 12 + 6 * (7 - centre) ** 2)
    assert result.warping_constant == pytest.approx(second * 0.1**3 / 12, rel=2e-2)


def test_a_filled_tube_gains_little_and_a_bonded_flange_is_one_i() -> None:
    tube = rectangle_hollow(x_dim=100, y_dim=60, wall_thickness=4)
    core = Region(tube.holes[0].reversed(), material=material(0.1))
    wall = Region(tube.outline, tube.holes, material(1.0))
    hollow, filled = solve_section(Section((wall,))), solve_section(Section((wall, core)))
    assert filled.torsion_constant_lower > hollow.torsion_constant_upper
    assert filled.cells == ()
    solid = solve_section(Section((replace(core, material=material(1.0)),)))
    # fields of both parts apart are an admissible pair: GJ is at least their sum
    assert filled.torsion_constant_upper > (
        hollow.torsion_constant_lower + 0.1 * solid.torsion_constant_lower
    )
    whole = i_shape(overall_width=100, overall_depth=200, web_thickness=6, flange_thickness=10)
    plates = [(-50, -100, 50, -90), (-3, -90, 3, 90), (-50, 90, 50, 100)]
    parts = tuple(
        Region(Contour([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])) for x0, y0, x1, y1 in plates
    )
    one, three = solve_section(whole.section()), solve_section(Section(parts))
    assert one.torsion_constant_lower <= three.torsion_constant_upper
    assert three.torsion_constant_lower <= one.torsion_constant_upper


@pytest.mark.parametrize(("degrees", "ratio"), [(60, 5.0), (60, 0.2), (30, 20.0), (75, 0.02)])
def test_exponent_where_a_slanting_interface_meets_the_border(degrees: float, ratio: float) -> None:
    """Two wedges a and pi - a on a straight border: G1 tan(k a) + G2 tan(k (pi - a)) = 0 (derived
    by separation of variables); the stress is unbounded when the smallest k is below one."""
    a = np.deg2rad(degrees)
    top = 1 + 1 / np.tan(a)
    left = Region(Contour([(-2, 0), (1, 0), (top, 1), (-2, 1)]), material=material(ratio))
    right = Region(Contour([(1, 0), (4, 0), (4, 1), (top, 1)]), material=material(1.0))
    result = solve_section(Section((left, right)))
    k = np.linspace(0.3, 1.7, 200_001)
    # at the lower end of the interface the left wedge spans pi - a, at the upper one a
    exponents = []
    for first, second in ((np.pi - a, a), (a, np.pi - a)):
        f = ratio * np.sin(k * first) * np.cos(k * second) + np.sin(k * second) * np.cos(k * first)
        exponents.append(float(k[np.flatnonzero(np.diff(np.sign(f)))[0]]))
    expected = sorted(e for e in exponents if e < 0.996)
    assert len(expected) == 1
    assert sorted(c.exponent for c in result.corners) == pytest.approx(expected, abs=1e-4)
    assert result.torsion_modulus.value is None
    assert "interface" in result.torsion_modulus.reason


@pytest.mark.parametrize("ratio", [0.2, 1e-2, 1e-5])
def test_exponent_of_four_quarters(ratio: float) -> None:
    """Squares like a chessboard around a point: k = 4/pi arctan(sqrt(G1/G2)) (Kellogg, Appl. Anal.
    4 (1975) 101; from memory, and as the transfer of four quarter turns gives it)."""
    squares = [((0, 0), 1.0), ((-1, 0), ratio), ((-1, -1), 1.0), ((0, -1), ratio)]
    regions = tuple(
        Region(Contour([(x, y), (x + 1, y), (x + 1, y + 1), (x, y + 1)]), material=material(g))
        for (x, y), g in squares
    )
    corner = solve_section(Section(regions), 1e-3).corners[0]
    assert corner.point == pytest.approx((0, 0), abs=1e-12)
    assert corner.exponent == pytest.approx(4 / np.pi * np.arctan(np.sqrt(ratio)), rel=1e-3)
