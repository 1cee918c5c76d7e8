"""Parametric profiles against closed formulas."""

from __future__ import annotations

import math

import numpy as np
import pytest
from soapfilm.geometry.errors import GeometryError
from soapfilm.geometry.outline.moments import contour_moments
from soapfilm.geometry.outline.rounded_corner import rounded_polygon
from soapfilm.geometry.profiles.by_name import (
    PROFILES,
)
from soapfilm.geometry.profiles.profile import Profile
from soapfilm.geometry.section import Region

Piece = tuple[float, float, float, float, float]  # sign, x0, y0, x1, y1


def moments(profile: Profile) -> np.ndarray:
    return contour_moments(Region(*profile).contours, (0.0, 0.0))


def boxes(*pieces: Piece) -> np.ndarray:
    """Moments of rectangles added and taken away: the elementary formulas."""
    m = np.zeros((3, 3))
    for sign, x0, y0, x1, y1 in pieces:
        for a in range(3):
            for b in range(3 - a):
                along = (x1 ** (a + 1) - x0 ** (a + 1)) / (a + 1)
                m[a, b] += sign * along * (y1 ** (b + 1) - y0 ** (b + 1)) / (b + 1)
    return m


def spandrel(sign: float, x: float, y: float, r: float, dx: int, dy: int) -> np.ndarray:
    """Moments of the piece between the corner (x, y) of a square of side r and its inscribed arc.

    About the corner's own sides (derived: square less quarter circle):
    area (1 - pi/4) r^2, first moment (5/6 - pi/4) r^3, second (1 - 5 pi/16) r^4,
    product r^4 (1/4 - pi/4 + 2/3 - 1/8) = r^4 (19/24 - pi/4).
    """
    a, s = (1 - math.pi / 4) * r**2, (5 / 6 - math.pi / 4) * r**3
    q, p = (1 - 5 * math.pi / 16) * r**4, (19 / 24 - math.pi / 4) * r**4
    m = np.zeros((3, 3))
    m[0, 0] = a
    m[1, 0], m[0, 1] = x * a + dx * s, y * a + dy * s
    m[2, 0], m[0, 2] = x * x * a + 2 * x * dx * s + q, y * y * a + 2 * y * dy * s + q
    m[1, 1] = x * y * a + x * dy * s + y * dx * s + dx * dy * p
    return sign * m


# -- closed formulas -------------------------------------------------------------------------------
def test_rectangle_and_circle() -> None:
    m = moments(PROFILES["Rectangle"](x_dim=60, y_dim=20))
    assert m == pytest.approx(boxes((1, -30, -10, 30, 10)), rel=1e-14, abs=1e-9)
    m = moments(PROFILES["Circle"](radius=10))
    assert m[0, 0] == pytest.approx(100 * math.pi, rel=1e-14)
    assert m[2, 0] == pytest.approx(math.pi * 1e4 / 4, rel=1e-14)
    m = moments(PROFILES["CircleHollow"](radius=10, wall_thickness=2))
    assert m[0, 2] == pytest.approx(math.pi * (1e4 - 8**4) / 4, rel=1e-14)


@pytest.mark.parametrize("r", [0.0, 4.0, 10.0])
def test_rounded_rectangle(r: float) -> None:
    expected = boxes((1, -30, -10, 30, 10))
    for dx, dy in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        expected += spandrel(-1, 30 * dx, 10 * dy, r, -dx, -dy)
    if r:
        profile = PROFILES["RoundedRectangle"](x_dim=60, y_dim=20, rounding_radius=r)
        assert len(profile.outline) == (6 if r == 10 else 8)  # round ends leave two sides
    else:
        profile = PROFILES["Rectangle"](x_dim=60, y_dim=20)
    assert moments(profile) == pytest.approx(expected, rel=1e-13, abs=1e-9)


def test_rectangle_hollow_with_corners() -> None:
    profile = PROFILES["RectangleHollow"](
        x_dim=200, y_dim=100, wall_thickness=8, inner_fillet_radius=4, outer_fillet_radius=12
    )
    expected = boxes((1, -100, -50, 100, 50), (-1, -92, -42, 92, 42))
    for dx, dy in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        expected += spandrel(-1, 100 * dx, 50 * dy, 12, -dx, -dy)
        expected += spandrel(1, 92 * dx, 42 * dy, 4, -dx, -dy)
    assert moments(profile) == pytest.approx(expected, rel=1e-13, abs=1e-6)


@pytest.mark.parametrize(("r", "e"), [(0, 0), (15, 0), (0, 5), (15, 5)])
def test_i_shape(r: float, e: float) -> None:
    profile = PROFILES["IShape"](
        overall_width=150,
        overall_depth=300,
        web_thickness=8,
        flange_thickness=11,
        fillet_radius=r,
        flange_edge_radius=e,
    )
    expected = boxes((1, -75, -150, 75, 150), (-1, -75, -139, -4, 139), (-1, 4, -139, 75, 139))
    for dx, dy in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        expected += spandrel(1, 4 * dx, 139 * dy, r, dx, -dy)
        expected += spandrel(-1, 75 * dx, 139 * dy, e, -dx, dy)
    assert moments(profile) == pytest.approx(expected, rel=1e-13, abs=1e-6)
    a, h, b, tw, tf = 150.0, 300.0, 150.0, 8.0, 11.0
    # Area and second moment as handbooks print them for a doubly symmetric I (e = 0).
    if e == 0:
        area = 2 * a * tf + (h - 2 * tf) * tw + (4 - math.pi) * r**2
        inertia = (b * h**3 - (b - tw) * (h - 2 * tf) ** 3) / 12
        inertia += 0.03 * r**4 + 0.2146 * r**2 * (h - 2 * tf - 0.4468 * r) ** 2
        assert moments(profile)[0, 0] == pytest.approx(area, rel=1e-14)
        assert moments(profile)[0, 2] == pytest.approx(inertia, rel=1e-5)  # printed constants


def test_asymmetric_i_shape() -> None:
    profile = PROFILES["AsymmetricIShape"](
        bottom_flange_width=200,
        overall_depth=400,
        web_thickness=10,
        bottom_flange_thickness=20,
        bottom_flange_fillet_radius=12,
        bottom_flange_edge_radius=6,
        top_flange_width=120,
        top_flange_thickness=14,
        top_flange_fillet_radius=18,
        top_flange_edge_radius=3,
    )
    expected = boxes((1, -100, -200, 100, -180), (1, -5, -180, 5, 186), (1, -60, 186, 60, 200))
    for dx in (-1, 1):
        expected += spandrel(1, 5 * dx, -180, 12, dx, 1) + spandrel(1, 5 * dx, 186, 18, dx, -1)
        expected += spandrel(-1, 100 * dx, -180, 6, -dx, -1)
        expected += spandrel(-1, 60 * dx, 186, 3, -dx, 1)
    assert moments(profile) == pytest.approx(expected, rel=1e-13, abs=1e-5)


def test_asymmetric_i_with_equal_flanges_is_the_symmetric_one() -> None:
    one = PROFILES["AsymmetricIShape"](
        bottom_flange_width=150,
        overall_depth=300,
        web_thickness=8,
        bottom_flange_thickness=11,
        top_flange_width=150,
        bottom_flange_slope=0.1,
        top_flange_slope=0.1,
    )
    other = PROFILES["IShape"](
        overall_width=150,
        overall_depth=300,
        web_thickness=8,
        flange_thickness=11,
        flange_slope=0.1,
    )
    assert np.array_equal(one.outline.points, other.outline.points)


def test_u_shape() -> None:
    profile = PROFILES["UShape"](
        depth=200,
        flange_width=80,
        web_thickness=9,
        flange_thickness=12,
        fillet_radius=10,
        edge_radius=5,
    )
    expected = boxes((1, -40, -100, 40, 100), (-1, -31, -88, 40, 88))
    for dy in (-1, 1):
        expected += spandrel(1, -31, 88 * dy, 10, 1, -dy) + spandrel(-1, 40, 88 * dy, 5, -1, dy)
    assert moments(profile) == pytest.approx(expected, rel=1e-13, abs=1e-6)


@pytest.mark.parametrize("width", [None, 60])
def test_l_shape(width: float | None) -> None:
    profile = PROFILES["LShape"](
        depth=100, width=width, thickness=10, fillet_radius=12, edge_radius=6
    )
    x, y = -(width or 100) / 2, -50
    expected = boxes((1, x, y, -x, y + 10), (1, x, y + 10, x + 10, 50))
    expected += spandrel(1, x + 10, y + 10, 12, 1, 1)
    expected += spandrel(-1, -x, y + 10, 6, -1, -1) + spandrel(-1, x + 10, 50, 6, -1, -1)
    assert moments(profile) == pytest.approx(expected, rel=1e-13, abs=1e-6)


def test_t_shape() -> None:
    profile = PROFILES["TShape"](
        depth=120,
        flange_width=100,
        web_thickness=9,
        flange_thickness=12,
        fillet_radius=11,
        flange_edge_radius=5,
        web_edge_radius=3,
    )
    expected = boxes((1, -50, 48, 50, 60), (1, -4.5, -60, 4.5, 48))
    for dx in (-1, 1):
        expected += spandrel(1, 4.5 * dx, 48, 11, dx, -1) + spandrel(-1, 50 * dx, 48, 5, -dx, 1)
        expected += spandrel(-1, 4.5 * dx, -60, 3, -dx, 1)
    assert moments(profile) == pytest.approx(expected, rel=1e-13, abs=1e-6)


def test_z_shape() -> None:
    profile = PROFILES["ZShape"](
        depth=100,
        flange_width=55,
        web_thickness=7,
        flange_thickness=8,
        fillet_radius=8,
        edge_radius=4,
    )
    # bottom flange to the right, top flange to the left
    expected = boxes((1, -3.5, -50, 51.5, -42), (1, -51.5, 42, 3.5, 50), (1, -3.5, -42, 3.5, 42))
    for s in (-1, 1):
        expected += spandrel(1, 3.5 * s, -42 * s, 8, s, s)
        expected += spandrel(-1, 51.5 * s, -42 * s, 4, -s, -s)
    assert moments(profile) == pytest.approx(expected, rel=1e-13, abs=1e-6)
    assert moments(profile)[1, 1] < 0


@pytest.mark.parametrize("r", [0, 3])
def test_c_shape(r: float) -> None:
    profile = PROFILES["CShape"](
        depth=200, width=75, wall_thickness=2, girth=20, internal_fillet_radius=r
    )
    expected = boxes(
        (1, -37.5, -100, 37.5, 100),
        (-1, -35.5, -98, 35.5, 98),
        (-1, 35.5, -80, 37.5, 80),
    )
    outer = r + 2 if r else 0
    for dy in (-1, 1):
        for dx in (-1, 1):
            expected += spandrel(-1, 37.5 * dx, 100 * dy, outer, -dx, -dy)
            expected += spandrel(1, 35.5 * dx, 98 * dy, r, -dx, -dy)
    assert moments(profile) == pytest.approx(expected, rel=1e-13, abs=1e-6)
    # A bend keeps the wall: its length along the middle of the wall times t is the area.
    if r:
        straight = (200 - 10) + 2 * (75 - 10) + 2 * (20 - 5)
        assert moments(profile)[0, 0] == pytest.approx(2 * (straight + 4 * math.pi / 2 * (r + 1)))


def test_trapezium() -> None:
    profile = PROFILES["Trapezium"](bottom_x_dim=20, top_x_dim=10, y_dim=12, top_x_offset=-4)
    assert profile.outline.bounds() == (-12, -6, 12, 6)  # centred on its box
    m = moments(profile)
    assert m[0, 0] == pytest.approx(180, rel=1e-14)
    height = m[0, 1] / m[0, 0] + 6
    assert height == pytest.approx(12 / 3 * (20 + 2 * 10) / (20 + 10), rel=1e-14)


@pytest.mark.parametrize("deviation", [1e-2, 1e-4, 1e-6])
def test_ellipse_within_its_deviation(deviation: float) -> None:
    profile = PROFILES["Ellipse"](semi_axis1=20, semi_axis2=10, deviation=deviation)
    points = profile.outline.polyline(1e-3 * deviation)
    level = np.hypot(points[:, 0] / 20, points[:, 1] / 10)
    slope = np.hypot(points[:, 0] / 400, points[:, 1] / 100) / level
    assert (np.abs(level - 1) / slope).max() < 1.01 * deviation
    # Area between the two curves is at most perimeter (48.44) times deviation.
    assert moments(profile)[0, 0] == pytest.approx(200 * math.pi, abs=48.44 * deviation)
    assert moments(profile)[1, 0] == pytest.approx(0, abs=1e-11)
    assert f"{len(profile.outline)} arcs that leave it by at most" in profile.notes[0]
    assert 0 < profile.deviation <= deviation
    assert profile.section().deviation == profile.deviation
    # tangents run on smoothly from arc to arc
    c = profile.outline
    turn = np.angle(np.exp(1j * np.diff(np.angle((c.ends - c.points) @ [1, 1j]), append=0)))
    half = 2 * np.arctan(c.bulges)
    assert turn[:-1] == pytest.approx((half[:-1] + half[1:]), abs=1e-9)


def test_a_round_ellipse_is_the_circle() -> None:
    m = moments(PROFILES["Ellipse"](semi_axis1=3, semi_axis2=3))
    assert m[2, 0] == pytest.approx(math.pi * 81 / 4, rel=1e-13)


@pytest.mark.parametrize("slope", [0.0, 0.05, 0.14])
def test_slope_keeps_the_area_of_a_flange_measured_at_mid_outstand(slope: float) -> None:
    i = PROFILES["IShape"](
        overall_width=90,
        overall_depth=200,
        web_thickness=8,
        flange_thickness=11,
        flange_slope=slope,
    )
    assert moments(i)[0, 0] == pytest.approx(8 * 200 + 4 * 41 * 11, rel=1e-14)
    u = PROFILES["UShape"](
        depth=200, flange_width=75, web_thickness=9, flange_thickness=11, flange_slope=slope
    )
    assert moments(u)[0, 0] == pytest.approx(9 * 200 + 2 * 66 * 11, rel=1e-14)


def test_l_slope_turns_the_inner_faces() -> None:
    outline = PROFILES["LShape"](depth=100, width=80, thickness=10, leg_slope=0.06).outline
    p = outline.points
    inner, toe_x, toe_y = p[3], p[2], p[4]
    assert (toe_x - inner)[1] / (toe_x - inner)[0] == pytest.approx(-math.tan(0.06))
    assert (toe_y - inner)[0] / (toe_y - inner)[1] == pytest.approx(-math.tan(0.06))
    middle = (80 + 10) / 2 - 40
    height = np.interp(middle, [inner[0], toe_x[0]], [inner[1], toe_x[1]]) + 50
    assert height == pytest.approx(10)


# -- rounding any polygon --------------------------------------------------------------------------
def test_rounding_a_regular_polygon_to_its_incircle() -> None:
    turn = 2 * np.pi * np.arange(7) / 7
    c = rounded_polygon(np.stack([np.cos(turn), np.sin(turn)], axis=1), math.cos(math.pi / 7))
    assert len(c) == 7
    assert c.area() == pytest.approx(math.pi * math.cos(math.pi / 7) ** 2, rel=1e-12)


@pytest.mark.parametrize(
    ("points", "radius", "message"),
    [
        ([(0, 0), (4, 0), (4, 0), (0, 3)], 0, "two corners coincide at (4, 0)"),
        ([(0, 0), (4, 0), (2, 0), (2, 3)], 0.1, "folds back on itself at (4, 0)"),
        ([(0, 0), (4, 0), (0, 3)], [0, -1, 0], "corner radii must be zero or positive, got -1"),
        ([(0, 0), (4, 0), (0, 3)], 2, "radius 2 does not fit: at most 1"),
        ([(0, 0), (4, 0), (0, 3)], [0.5, 0, 3], "radius 3 does not fit: at most 1.25 between po"),
    ],
)
def test_rounding_errors(points: list, radius: float, message: str) -> None:  # type: ignore[type-arg]
    with pytest.raises(GeometryError) as caught:
        rounded_polygon(points, radius)
    assert message in str(caught.value)
