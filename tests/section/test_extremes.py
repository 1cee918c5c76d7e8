"""Sections at the ends of what is possible: scales, slenderness, near contacts, many parts."""

from __future__ import annotations

from time import perf_counter

import numpy as np
import pytest
from soapfilm.geometry.errors import GeometryError, InputError
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.profiles.by_name import c_shape, i_shape, rectangle, rectangle_hollow
from soapfilm.geometry.section import Section
from soapfilm.solver.section import SectionResult, solve_section

SQUARE_J = 0.140577014955  # of the unit square, see `test_exact_bounds`


def holds(result: SectionResult, exact: float, doubt: float = 1e-10) -> bool:
    low, high = result.torsion_constant_lower, result.torsion_constant_upper
    return low * (1 - doubt) <= exact <= high * (1 + doubt)


@pytest.mark.parametrize("scale", [1e-12, 1e-4, 1.0, 1e4, 1e12])
def test_any_unit(scale: float) -> None:
    result = solve_section(rectangle(x_dim=scale, y_dim=scale).section())
    assert result.solver.met
    assert holds(result, SQUARE_J * scale**4)
    assert result.plastic_torque.value == pytest.approx(scale**3 / 3, rel=1e-4)


@pytest.mark.parametrize("far", [1e3, 1e6])
def test_far_from_the_origin(far: float) -> None:
    section = rectangle(x_dim=1, y_dim=1).section().placed(Placement.move(far, -far))
    result = solve_section(section)
    # the corners themselves carry a rounding of far * 1e-16
    assert holds(result, SQUARE_J, 1e-10 + far * 1e-15)
    np.testing.assert_allclose(result.shear_centre, [far, -far], atol=1e-8 + far * 1e-15)


@pytest.mark.parametrize("slender", [1e2, 1e3, 1e4, 1e5, 1e6])
def test_slender_strips(slender: float) -> None:
    """b t^3/3 (1 - 0.63025 t/b): the series of `test_exact_bounds` for t much thinner than b."""
    result = solve_section(rectangle(x_dim=slender, y_dim=1).section())
    assert result.solver.met
    assert holds(result, slender / 3 * (1 - 0.630249 / slender), 1e-8)
    # two thirds of the thickness, less of the ends
    assert result.mean_lever_arm == pytest.approx(2 / 3, rel=1 / slender + 1e-4)


@pytest.mark.parametrize("thickness", [1.0, 0.1])
def test_thin_wall_in_a_deep_section(thickness: float) -> None:
    """1 mm and 0.1 mm in 200 mm: lipped channel, I and tube."""
    t = thickness
    lipped = c_shape(
        depth=200, width=75, wall_thickness=t, girth=20, internal_fillet_radius=2 * t
    ).section()
    i = i_shape(overall_width=100, overall_depth=200, web_thickness=t, flange_thickness=t).section()
    tube = rectangle_hollow(x_dim=100, y_dim=200, wall_thickness=t).section()
    for section, expected in (
        (lipped, (200 + 2 * 75 + 2 * 20 - 4 * t) * t**3 / 3),
        (i, (2 * 100 + 200) * t**3 / 3),
        (tube, 2 * t * ((100 - t) * (200 - t)) ** 2 / (300 - 2 * t)),
    ):
        result = solve_section(section)
        assert result.solver.met
        assert result.torsion_constant == pytest.approx(expected, rel=0.03 * t + 0.004)


def test_wide_deck() -> None:
    """12 m of millimetres: a twin-cell deck with thin ends; area by hand, J near Bredt's."""
    half = [(-6000, -180), (-3000, -400), (-2400, -1500)]
    outline = [*half, *((-x, y) for x, y in reversed(half)), (6000, 0), (-6000, 0)]
    holes = [
        Contour([(-2200, -1350), (-150, -1350), (-150, -250), (-2700, -250)]),
        Contour([(150, -1350), (2200, -1350), (2700, -250), (150, -250)]),
    ]
    result = solve_section(Section.single(Contour(outline), holes))
    assert result.solver.met
    deck = 12000 * 180 + 2 * 3000 * 220 / 2 + 6000 * 220 + (6000 + 4800) / 2 * 1100
    hollow = 2 * (2050 + 2550) / 2 * 1100
    assert result.area == pytest.approx(deck - hollow, rel=1e-12)
    assert len(result.cells) == 2
    assert result.cells[0].shear_flow_per_torque == pytest.approx(
        result.cells[1].shear_flow_per_torque, rel=1e-6
    )
    perimeter = 5400 + 4800 + 2 * np.hypot(550, 1275)  # of the middle lines, walls 150 to 300
    enclosed = (5400 + 4600) / 2 * 1290
    assert 4 * enclosed**2 / (perimeter / 150) < result.torsion_constant
    assert result.torsion_constant < 4 * enclosed**2 / (perimeter / 300)


@pytest.mark.parametrize("gap", [1e-2, 1e-4, 1e-6])
def test_hole_close_to_the_edge(gap: float) -> None:
    """A wall of 1e-6 in a unit square: J lies between the notched and the drilled square's."""
    radius = 0.1
    square = rectangle(x_dim=1, y_dim=1).outline
    hole = Contour.circle((0, 0.5 - radius - gap), radius)
    result = solve_section(Section.single(square, [hole]))
    assert result.solver.met
    # without the wall where it is thinner than twice the gap: a notch with the circle's long arc
    y, half = 0.5 - 2 * gap, np.arcsin(np.sqrt(radius**2 - (radius - gap) ** 2) / radius)
    b = radius * np.sin(half)
    corners = [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (b, 0.5), (b, y), (-b, y), (-b, 0.5)]
    bulges = [0, 0, 0, 0, -np.tan((np.pi - half) / 2), 0, 0, 0]
    notch = Contour([*corners, (-0.5, 0.5)], bulges)
    notched = solve_section(Section.single(notch))
    assert notched.torsion_constant_lower <= result.torsion_constant_upper
    assert result.torsion_constant_upper <= SQUARE_J
    assert notched.torsion_constant == pytest.approx(result.torsion_constant, rel=3 * gap**0.5)


@pytest.mark.parametrize("bulge", [1e-3, 0.01, 0.06, 0.2])
@pytest.mark.parametrize("both", [False, True])
def test_flat_segments_and_lenses(bulge: float, both: bool) -> None:
    """Two points, one or both edges arcs. Thin: J = int t^3/3 ds, t = 4 f s (1 - s) of rise f."""
    lens = Section.single(Contour([(0, 0), (1, 0)], [bulge, bulge if both else 0.0]))
    result = solve_section(lens)
    assert result.solver.met
    rise = bulge / 2 * (2 if both else 1)
    thin = (4 * rise) ** 3 / 3 / 140  # int s^3 (1 - s)^3 ds = 1/140
    assert result.torsion_constant == pytest.approx(thin, rel=6 * bulge + 1e-3)


def test_needle() -> None:
    """A wedge of 1 : 1000: J = int t^3/3 ds = t^3/12, t at its thick end."""
    result = solve_section(Section.single(Contour([(0, 0), (1, 0), (1, 1e-3)])))
    assert result.solver.met
    assert result.torsion_constant == pytest.approx(1e-9 / 12, rel=2e-3)


def wavy(vertices: int) -> Section:
    a = np.linspace(0, 2 * np.pi, vertices, endpoint=False)
    r = 1 + 0.2 * np.sin(7 * a)
    return Section.single(Contour(np.stack([r * np.cos(a), r * np.sin(a)], axis=1)))


def test_an_outline_of_many_vertices_grows_inward() -> None:
    """Triangles as small as the edges stay near them: their number follows the border's."""
    few, many = solve_section(wavy(400)), solve_section(wavy(1600))
    assert few.solver.elements < 12 * 400
    assert many.solver.elements < 12 * 1600
    # chords lie inside the bulges and outside the bays, by 1/n^2
    assert few.torsion_constant == pytest.approx(many.torsion_constant, rel=5e-4)
    assert many.solver.met


@pytest.mark.slow
def test_ten_thousand_vertices() -> None:
    begin = perf_counter()
    constants = [solve_section(wavy(n), 1e-6).torsion_constant for n in (400, 1600)]
    result = solve_section(wavy(10_000))
    assert result.solver.met
    # chords are off by 1/n^2: sixteen times less with four times as many, but for the last's own
    off = np.subtract(constants, result.torsion_constant)
    assert off[0] / off[1] == pytest.approx((25**2 - 1) / (6.25**2 - 1), rel=0.3)
    # 30 s on a quiet machine; it took hours while triangles filled the inside
    assert perf_counter() - begin < 240


@pytest.mark.slow
def test_two_hundred_holes() -> None:
    begin = perf_counter()
    holes = [Contour.circle((i, j), 0.3) for i in range(20) for j in range(10)]
    plate = Contour([(-1, -1), (20, -1), (20, 10), (-1, 10)])
    result = solve_section(Section.single(plate, holes))
    assert result.solver.met
    assert len(result.cells) == 200
    assert result.area == pytest.approx(21 * 11 - 200 * np.pi * 0.09, rel=1e-12)
    np.testing.assert_allclose(result.shear_centre, [9.5, 4.5], atol=1e-3)
    solid = solve_section(Section.single(plate))
    assert result.torsion_constant < solid.torsion_constant
    assert perf_counter() - begin < 180


def test_accuracy_out_of_range_is_refused() -> None:
    for accuracy in (0.0, 1e-15, 1.0, float("nan"), -1e-5):
        with pytest.raises(InputError, match="accuracy lies between"):
            solve_section(rectangle(x_dim=1, y_dim=1).section(), accuracy)


def test_invalid_sections_are_refused_before_meshing() -> None:
    bow = Contour([(0, 0), (1, 1), (1, 0), (0, 1)])
    with pytest.raises(GeometryError, match="crosses itself"):
        solve_section(Section.single(bow))
