"""Names and attributes of parametric profiles, and every limit of them told in words."""

from __future__ import annotations

import math
import pickle
from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st
from soapfilm.geometry.errors import GeometryError, InputError
from soapfilm.geometry.profiles.by_name import (
    PROFILES,
    build_profile,
    ifc_name,
    profile_attributes,
    profile_named,
)
from soapfilm.geometry.profiles.dimension import DimensionError
from soapfilm.geometry.profiles.profile import Profile


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
