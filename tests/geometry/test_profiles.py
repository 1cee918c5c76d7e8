"""Parametric profiles against closed formulas, tables of rolled shapes, and every limit."""

from __future__ import annotations

import math
import pickle
from collections.abc import Mapping

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.geometry.checks.validate import check as check_section
from soapfilm.geometry.errors import GeometryError, InputError
from soapfilm.geometry.outline.moments import contour_moments
from soapfilm.geometry.outline.rounded_corner import rounded_polygon
from soapfilm.geometry.profiles.by_name import (
    PROFILES,
    build_profile,
    ifc_name,
    profile_attributes,
    profile_named,
)
from soapfilm.geometry.profiles.dimension import DimensionError
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


# -- names -----------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("I", "IShape"),
        ("i-shape", "IShape"),
        ("IfcIShapeProfileDef", "IShape"),
        ("IFCISHAPEPROFILEDEF", "IShape"),
        ("channel", "UShape"),
        ("angle", "LShape"),
        ("lipped channel", "CShape"),
        ("rectangle hollow", "RectangleHollow"),
        ("Circle", "Circle"),
    ],
)
def test_names(name: str, key: str) -> None:
    assert profile_named(name) == key


def test_attributes_are_those_of_the_standard() -> None:
    names = {key: [a.ifc for a in profile_attributes(key)] for key in PROFILES}
    assert names["UShape"] == [
        "Depth",
        "FlangeWidth",
        "WebThickness",
        "FlangeThickness",
        "FilletRadius",
        "EdgeRadius",
        "FlangeSlope",
        "thickness_at",
    ]
    assert names["Trapezium"] == ["BottomXDim", "TopXDim", "YDim", "TopXOffset"]
    assert names["Ellipse"] == ["SemiAxis1", "SemiAxis2", "deviation"]
    assert {ifc_name(n) for n in ("x_dim", "semi_axis1")} == {"XDim", "SemiAxis1"}


# -- errors ----------------------------------------------------------------------------------------
I300 = {"OverallWidth": 150, "OverallDepth": 300, "WebThickness": 7.1, "FlangeThickness": 10.7}
U200 = {"Depth": 200, "FlangeWidth": 75, "WebThickness": 8.5, "FlangeThickness": 11.5}
T100 = {"Depth": 100, "FlangeWidth": 80, "WebThickness": 8, "FlangeThickness": 10}
C200 = {"Depth": 200, "Width": 75, "WallThickness": 2, "Girth": 20}
BOX = {"XDim": 200, "YDim": 100, "WallThickness": 8}


@pytest.mark.parametrize(
    ("name", "values", "message"),
    [
        ("Rectangle", {"XDim": 0, "YDim": 5}, "XDim 0 mm must be a positive number"),
        ("Rectangle", {"XDim": math.nan, "YDim": 5}, "XDim nan mm must be a positive"),
        ("Rectangle", {"XDim": math.inf, "YDim": 5}, "XDim inf mm must be a positive"),
        ("Rectangle", {"XDim": "5", "YDim": 5}, "XDim '5' must be a positive number"),
        (
            "RoundedRectangle",
            {"XDim": 60, "YDim": 20, "RoundingRadius": 12},
            "RoundingRadius 12 mm does not fit: at most 10 mm on a side",
        ),
        (
            "CircleHollow",
            {"Radius": 5, "WallThickness": 5},
            "WallThickness 5 mm must be less than Radius, 5 mm",
        ),
        (
            "RectangleHollow",
            BOX | {"WallThickness": 60},
            "WallThickness 60 mm must be less than half of YDim, 50 mm",
        ),
        (
            "RectangleHollow",
            BOX | {"OuterFilletRadius": 40},
            "OuterFilletRadius 40 mm cuts through the wall at the corners: less than 27.313 mm",
        ),
        (
            "RectangleHollow",
            BOX | {"InnerFilletRadius": 43},
            "InnerFilletRadius 43 mm does not fit: at most 42 mm on an inner side",
        ),
        (
            "I",
            I300 | {"FilletRadius": 80},
            "FilletRadius 80 mm does not fit: at most 71.45 mm between web and flange edge",
        ),
        (
            "I",
            I300 | {"OverallDepth": 100, "FilletRadius": 40},
            "FilletRadius 40 mm does not fit: at most 39.3 mm along the web, between the flanges",
        ),
        (
            "I",
            I300 | {"FilletRadius": 68, "FlangeEdgeRadius": 5},
            "FilletRadius 68 mm does not fit: at most 66.45 mm between web and flange edge",
        ),
        (
            "I",
            I300 | {"FlangeEdgeRadius": 11},
            "FlangeEdgeRadius 11 mm does not fit: at most 10.7 mm on the flange's edge",
        ),
        ("I", I300 | {"FilletRadius": -1}, "FilletRadius -1 mm must be zero (sharp) or a positive"),
        ("I", I300 | {"FlangeSlope": -0.1}, "FlangeSlope -5.729578 deg must be at least 0"),
        (
            "I",
            I300 | {"FlangeSlope": 0.5},
            "FlangeSlope 28.64789 deg leaves nothing of FlangeThickness at the free edge; less "
            "than 16.673 deg does",
        ),
        (
            "I",
            I300 | {"WebThickness": 150},
            "WebThickness 150 mm must be less than OverallWidth, 150 mm",
        ),
        (
            "I",
            I300 | {"FlangeThickness": 150},
            "FlangeThickness 150 mm leaves no web in OverallDepth; less than 150 mm does",
        ),
        ("I", I300 | {"thickness_at": 80}, "thickness_at 80 mm must lie between the flange's edge"),
        (
            "AsymmetricI",
            {
                "BottomFlangeWidth": 200,
                "OverallDepth": 50,
                "WebThickness": 10,
                "BottomFlangeThickness": 20,
                "TopFlangeWidth": 100,
                "TopFlangeThickness": 60,
            },
            "TopFlangeThickness 60 mm leaves no web in OverallDepth; less than 30 mm does",
        ),
        (
            "AsymmetricI",
            {
                "BottomFlangeWidth": 200,
                "OverallDepth": 5,
                "WebThickness": 10,
                "BottomFlangeThickness": 20,
                "TopFlangeWidth": 100,
            },
            "OverallDepth 5 mm is taken up by the flanges; make it larger",
        ),
        ("U", U200 | {"FilletRadius": 70}, "FilletRadius 70 mm does not fit: at most 66.5 mm"),
        ("U", U200 | {"Depth": 20}, "FlangeThickness 11.5 mm leaves no web in Depth; less than 10"),
        (
            "L",
            {"Depth": 100, "Width": 60, "Thickness": 60},
            "Thickness 60 mm must be less than Width, 60 mm",
        ),
        (
            "L",
            {"Depth": 100, "Thickness": 10, "EdgeRadius": 12},
            "EdgeRadius 12 mm does not fit: at most 10 mm on a leg's toe",
        ),
        ("T", T100 | {"WebEdgeRadius": 5}, "WebEdgeRadius 5 mm does not fit: at most 4 mm on the"),
        ("T", T100 | {"FlangeThickness": 100}, "FlangeThickness 100 mm must be less than Depth"),
        ("T", T100 | {"WebSlope": 0.3}, "WebSlope 17.18873 deg leaves nothing of WebThickness"),
        (
            "Z",
            {"Depth": 100, "FlangeWidth": 50, "WebThickness": 7, "FlangeThickness": 50},
            "FlangeThickness 50 mm leaves no web in Depth; less than 50 mm does",
        ),
        (
            "C",
            C200 | {"InternalFilletRadius": 19},
            "InternalFilletRadius 19 mm does not fit: at most 18 mm inside lips and walls",
        ),
        ("C", C200 | {"Girth": 100}, "Girth 100 mm must be less than half of Depth, 100 mm"),
        ("C", C200 | {"Girth": 2}, "WallThickness 2 mm must be less than Girth, 2 mm"),
        (
            "Ellipse",
            {"SemiAxis1": 20, "SemiAxis2": 10, "deviation": 1e-10},
            "deviation 1e-10 mm must lie between 1e-10 and a tenth",
        ),
        (
            "Trapezium",
            {"BottomXDim": 1, "TopXDim": 1, "YDim": 1, "TopXOffset": math.nan},
            "TopXOffset nan mm must be a number",
        ),
    ],
)
def test_limits_are_told(name: str, values: Mapping[str, float], message: str) -> None:
    with pytest.raises(GeometryError) as caught:
        build_profile(name, values, "mm")
    assert message in str(caught.value)


@pytest.mark.parametrize(
    ("name", "values", "message"),
    [
        ("Trapez", {}, "profile 'Trapez' is not known; use for example Trapezium"),
        ("??", {}, "profile '??' is not known; use Rectangle, RoundedRectangle"),
        ("I", I300 | {"FiletRadius": 5}, "IShape has no attribute 'FiletRadius'; did you mean Fil"),
        ("I", I300 | {"zzz": 5}, "IShape has no attribute 'zzz'; it has OverallWidth, OverallDep"),
        ("I", {"OverallWidth": 5}, "IShape needs OverallDepth and WebThickness and FlangeThick"),
    ],
)
def test_names_are_corrected(name: str, values: Mapping[str, float], message: str) -> None:
    with pytest.raises(InputError) as caught:
        build_profile(name, values)
    assert message in str(caught.value)


def test_python_errors_use_python_names_and_travel_between_processes() -> None:
    with pytest.raises(DimensionError) as caught:
        PROFILES["LShape"](depth=100, thickness=10, fillet_radius=95)
    text = "fillet_radius 95 does not fit: at most 90 between heel and toe"
    assert str(caught.value) == text
    assert str(pickle.loads(pickle.dumps(caught.value))) == text


@given(st.floats(1e-6, 1e6), st.floats(1.0001, 3))
def test_the_limit_offered_fits(size: float, excess: float) -> None:
    def build(radius: float) -> Profile:
        return PROFILES["IShape"](
            overall_width=size,
            overall_depth=1.7 * size,
            web_thickness=size / 7,
            flange_thickness=size / 9,
            fillet_radius=radius,
        )

    with pytest.raises(DimensionError) as caught:
        build(3 / 7 * size * excess)
    offered = float(str(caught.value).split("at most ")[1].split()[0])
    build(offered)
    assert offered == pytest.approx(3 / 7 * size, rel=1e-4)


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


# -- any parameters: refused, or a valid outline ---------------------------------------------------
def ranges(name: str) -> tuple[float, float]:
    """Sizes that mostly fit together, by the kind of dimension."""
    if name.endswith("slope"):
        return 0.0, 0.12
    if name.endswith("thickness"):
        return 1.0, 20.0
    if name.endswith(("fillet_radius", "edge_radius", "rounding_radius")):
        return 0.0, 12.0
    if name == "girth":
        return 21.0, 25.0
    if name == "deviation":
        return 1e-3, 1e-1
    if name == "top_x_offset":
        return -300.0, 300.0
    return 60.0, 600.0


@st.composite
def parameters(draw: st.DrawFn, key: str, spread: float) -> dict[str, float]:
    """One value an attribute; `spread` widens every range to both sides by that factor."""
    names = [a.python for a in profile_attributes(key) if a.python != "thickness_at"]
    values = {}
    for name in names:
        low, high = ranges(name)
        values[name] = draw(st.floats(low / spread, high * spread))
    return values


def assert_valid(profile: Profile) -> None:
    check_section(profile.section())
    x0, y0, x1, y1 = profile.outline.bounds()
    size = max(x1 - x0, y1 - y0)
    assert profile.outline.area() > 0  # anticlockwise as built
    assert (x0 + x1, y0 + y1) == pytest.approx((0, 0), abs=1e-9 * size)  # centred
    region = Region(*profile)
    rings = [shapely.Polygon(c.polyline(1e-4 * size)).area for c in region.contours]
    assert region.area() > 0
    assert region.area() == pytest.approx(rings[0] - sum(rings[1:]), abs=1e-3 * size**2)


@pytest.mark.parametrize("key", PROFILES)
def test_sensible_parameters_give_valid_outlines(key: str) -> None:
    built = []

    @settings(max_examples=40, deadline=None)
    @given(parameters(key, 1.0))
    def check(values: dict[str, float]) -> None:
        try:
            profile = PROFILES[key](**values)
        except DimensionError:
            return
        built.append(key)
        assert_valid(profile)

    check()
    assert len(built) >= 4, "too few of the sensible parameters fit together"


@pytest.mark.parametrize("key", PROFILES)
def test_wild_parameters_are_refused_or_valid(key: str) -> None:
    @settings(max_examples=40, deadline=None)
    @given(parameters(key, 8.0))
    def check(values: dict[str, float]) -> None:
        try:
            profile = PROFILES[key](**values)
        except DimensionError:
            return
        assert_valid(profile)

    check()
