"""Curves that are no circles: followed by arcs within the stated deviation, which is reported."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from ezdxf.math import BSpline
from soapfilm.geometry.drawings import read_drawing
from soapfilm.geometry.drawings.curves import bezier, elliptic_edges, spline_edges
from soapfilm.geometry.errors import FileFormatError, GeometryError
from soapfilm.geometry.outline.biarc import curve_arcs
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.section import Section

Make = Callable[..., Path]


def reported(section: Section) -> float:
    (note,) = (n for n in section.notes if "followed by" in n)
    return float(re.search(r"within (\S+) ", note)[1])  # type: ignore[index]


def off(points: Any, outline: Contour) -> float:
    """Largest distance of points from a contour, its chords far closer than any deviation here."""
    vertices = outline.polyline(1e-9)
    chords = np.stack([vertices, np.roll(vertices, -1, axis=0)], axis=1)
    tree = shapely.STRtree(shapely.linestrings(chords))  # a search, not every chord for each point
    _, found = tree.query_nearest(
        shapely.points(np.asarray(points)), return_distance=True, all_matches=False
    )
    return float(np.max(found))


@pytest.mark.parametrize("deviation", [None, 0.1, 1e-3])
def test_ellipse(dxf: Make, deviation: float | None) -> None:
    section = read_drawing(dxf(lambda m: m.add_ellipse((5, 6), (80, 60), 0.4)), deviation=deviation)
    outline = section.regions[0].outline
    allowed = deviation or 1e-6 * math.hypot(160, 160)
    t = np.linspace(0, 2 * np.pi, 4001)
    u, v = np.array([80, 60]), 0.4 * np.array([-60, 80])
    ellipse = np.outer(np.cos(t), u) + np.outer(np.sin(t), v)
    found = off(np.add(ellipse, [5, 6]), outline)
    assert found <= reported(section) * 1.02 <= 1.02 * allowed
    assert found > 0.3 * reported(section)
    # signs of the deviation alternate: the area is far closer than deviation times circumference
    assert outline.area() == pytest.approx(math.pi * 100 * 40, abs=0.3 * found * outline.length())


def test_ellipse_of_equal_axes_is_a_circle(dxf: Make) -> None:
    section = read_drawing(dxf(lambda m: m.add_ellipse((0, 0), (3, 4), 1.0)))
    assert section.notes == ()
    assert len(section.regions[0].outline) == 2
    assert section.regions[0].area() == pytest.approx(25 * math.pi, rel=1e-14)


def test_part_of_an_ellipse_meets_its_chord(dxf: Make) -> None:
    def draw(space: Any) -> None:
        space.add_ellipse((0, 0), (10, 0), 0.5, math.pi / 6, math.pi)
        space.add_line((-10, 0), (10 * math.cos(math.pi / 6), 5 * math.sin(math.pi / 6)))

    # an affine image of the segment of a circle of radius 1 over 150 degrees
    sweep = 5 * math.pi / 6
    area = 50 * (sweep - math.sin(sweep)) / 2
    assert read_drawing(dxf(draw)).regions[0].area() == pytest.approx(area, rel=1e-6)


def closed_spline(space: Any) -> None:
    control = [(0, 0, 0), (100, 0, 0), (120, 60, 0), (40, 90, 0), (-20, 50, 0)]
    space.add_spline(degree=3).set_closed(control, degree=3)


def rational_spline(space: Any) -> None:
    spline = space.add_spline(degree=2)
    s = math.sqrt(0.5)
    spline.set_open_rational(
        [(1, 0, 0), (1, 1, 0), (0, 1, 0), (-1, 1, 0), (-1, 0, 0)], [1, s, 1, s, 1], degree=2
    )
    spline.knots = [0, 0, 0, 1, 1, 2, 2, 2]
    space.add_line((-1, 0), (1, 0))


def spline_by_fit_points(space: Any) -> None:
    space.add_spline([(0, 0), (50, 20), (100, 0), (60, 60), (0, 0)])


@pytest.mark.parametrize("draw", [closed_spline, spline_by_fit_points])
@pytest.mark.parametrize("deviation", [0.5, 1e-3])
def test_spline_against_points_of_another_library(
    dxf: Make, draw: Callable[[Any], None], deviation: float
) -> None:
    import ezdxf

    path = dxf(draw)
    section = read_drawing(path, deviation=deviation)
    tool: BSpline = ezdxf.readfile(path).modelspace()[0].construction_tool()
    knots = tool.knots()
    ends = knots[tool.order - 1], knots[-tool.order]
    points = [tuple(p)[:2] for p in tool.points(np.linspace(*ends, 3001))]
    found = off(points, section.regions[0].outline)
    assert found <= 1.02 * reported(section) <= 1.02 * deviation
    assert found > 0.1 * reported(section)


def test_rational_half_circle_is_an_exact_one(dxf: Make) -> None:
    """A half circle as a rational spline of degree 2: biarcs of a circle are the circle."""
    section = read_drawing(dxf(rational_spline))
    assert section.regions[0].area() == pytest.approx(math.pi / 2, rel=1e-12)
    assert reported(section) < 1e-14


def test_svg_bezier_against_its_own_polynomial(svg: Make) -> None:
    section = read_drawing(svg('<path d="M0 0C30 -40 70 -40 90 0S 40 60 0 0z"/>'), deviation=1e-3)
    t = np.linspace(0, 1, 1001)[:, None]
    points = []
    for p in ([(0, 0), (30, 40), (70, 40), (90, 0)], [(90, 0), (110, -40), (40, -60), (0, 0)]):
        a, b, c, d = (np.array(q) for q in p)
        curve = a * (1 - t) ** 3 + 3 * b * t * (1 - t) ** 2 + 3 * c * t**2 * (1 - t) + d * t**3
        points.append(curve)
    found = off(np.vstack(points), section.regions[0].outline)
    assert 0.1 * reported(section) < found <= 1.02 * reported(section) <= 1.02e-3


def test_deviation_falls_with_the_cube_of_the_length() -> None:
    """Arcs needed for a tenth of the deviation: 10^(1/3) = 2.15 times as many, in steps of two."""
    _, _, curves = elliptic_edges((0, 0), (10, 0), (0, 4), 0.0, np.pi / 2)
    counts = [len(curve_arcs(curves[0], (0.0, 1.0), 10.0**-k).bulges) for k in range(3, 10)]
    growth = (counts[-1] / counts[0]) ** (1 / 6)
    assert growth == pytest.approx(10 ** (1 / 3), rel=0.1)


def test_biarcs_are_smooth_and_keep_the_ends() -> None:
    curve = bezier([(0, 0), (10, 30), (40, -20), (50, 10)])
    points, bulges, worst = curve_arcs(curve, (0.0, 1.0), 1e-4)
    np.testing.assert_array_equal(points[[0, -1]], [(0, 0), (50, 10)])
    assert 0 < worst <= 1e-4
    d = np.diff(points, axis=0)
    heading, half = np.arctan2(d[:, 1], d[:, 0]), 2 * np.arctan(bulges)
    kinks = (heading[1:] - half[1:]) - (heading[:-1] + half[:-1])
    np.testing.assert_allclose(kinks, 0, atol=1e-9)


@pytest.mark.parametrize(
    "control",
    [
        [(0, 0), (0, 0), (10, 10), (10, 0)],  # no derivative at the start
        [(0, 0), (10, 10), (10, 0), (10, 0)],  # nor at the end
        [(0, 0), (12, 10), (-2, 10), (10, 0)],  # a loop
        [(0, 0), (10, 10), (0, 10), (10, 0)],  # a cusp inside
        [(0, 0), (4, 2), (6, 3), (10, 5)],  # a straight line
        [(0, 0), (20, 10), (-10, -5), (10, 5)],  # a line run back and forth
        [(0, 0), (0, 0), (0, 0), (10, 5)],
    ],
)
def test_awkward_bezier_curves(control: list[tuple[float, float]]) -> None:
    curve = bezier(control)
    points, bulges, worst = curve_arcs(curve, (0.0, 0.5, 1.0), 1e-4)
    assert worst <= 1e-4
    assert np.isfinite(points).all()
    assert np.isfinite(bulges).all()
    samples = curve(np.linspace(0, 1, 2001))[0]
    runs = [
        Contour([p, q], [b, 0.0]).polyline(1e-9) if b else np.array([p, q])
        for p, q, b in zip(points[:-1], points[1:], bulges, strict=True)
    ]
    line = shapely.MultiLineString(runs)
    assert shapely.distance(shapely.points(samples), line).max() <= 1.05e-4


def test_a_straight_bezier_is_two_straight_edges() -> None:
    points, bulges, worst = curve_arcs(bezier([(0, 0), (4, 2), (6, 3), (10, 5)]), (0, 0.5, 1), 1e-6)
    assert bulges.tolist() == [0.0, 0.0]
    assert worst < 1e-14
    assert len(points) == 3


def test_an_impossible_deviation_is_refused() -> None:
    with pytest.raises(GeometryError, match="too many arcs near"):
        curve_arcs(bezier([(0, 0), (10, 30), (40, -20), (50, 10)]), (0.0, 1.0), 1e-300)
    with pytest.raises(GeometryError, match="positive length, got -1"):
        curve_arcs(bezier([(0, 0), (1, 1)]), (0.0, 1.0), -1)


@pytest.mark.parametrize(
    ("knots", "degree", "weights", "message"),
    [
        ([0, 0, 1, 1], 3, None, "8 rising knots, got 4"),
        ([0, 0, 0, 0, 1, 1, 0, 1], 3, None, "rising knots"),
        ([0, 0, 0, 0, 1, 1, 1, np.nan], 3, None, "rising knots"),
        ([0] * 8, 3, None, "no length"),
        ([0, 0, 0, 0, 1, 1, 1, 1], 3, [1, 1, 0, 1], "weights must be positive"),
        ([0, 0, 0, 0, 1, 1, 1, 1], 3, [1, 1, 1], "weights must be positive"),
        ([0, 0, 0, 0, 1, 1, 1, 1], 99, None, "degree 99 with 4 control points"),
        ([0, 0, 0, 0, 1, 1, 1, 1], 0, None, "degree 0"),
    ],
)
def test_what_is_no_spline(
    knots: list[float], degree: int, weights: list[float] | None, message: str
) -> None:
    with pytest.raises(FileFormatError, match=message):
        spline_edges([(0, 0), (1, 2), (3, 1), (4, 0)], knots, degree, weights)


def test_a_spline_with_corners_keeps_them() -> None:
    """Knots as often as the degree break the tangent; the pieces end there exactly."""
    control = [(0, 0), (1, 2), (3, 1), (4, 4), (6, 0), (7, 3), (9, 0)]
    points, _, curves = spline_edges(control, [0, 0, 0, 0, 1, 1, 1, 2, 2, 2, 2], 3, None)
    np.testing.assert_allclose(points, [(0, 0), (4, 4), (9, 0)], atol=1e-12)
    np.testing.assert_allclose(curves[0](np.array([1.0]))[1], [[3, 9]], atol=1e-12)
    np.testing.assert_allclose(curves[1](np.array([0.0]))[1], [[6, -12]], atol=1e-12)
