"""IFC profile definitions, against the parametric profiles themselves and areas by hand."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from soapfilm.geometry.drawings import read_drawing
from soapfilm.geometry.drawings.ifc_curves import bulge_through
from soapfilm.geometry.drawings.step import Enum, Ref, Typed, parse_values
from soapfilm.geometry.errors import FileFormatError, GeometryError, InputError, UnitError
from soapfilm.geometry.profiles.by_name import build_profile

Make = Callable[..., Path]

PROFILES = [
    (
        "IShape",
        [150, 300, 7.1, 10.7, 15, 2, 0.05],
        "OverallWidth OverallDepth WebThickness "
        "FlangeThickness FilletRadius FlangeEdgeRadius FlangeSlope",
    ),
    (
        "AsymmetricIShape",
        [200, 300, 8, 12, 10, 150, 10, 6, 1, 0.02, 2, 0.03],
        "BottomFlangeWidth OverallDepth WebThickness BottomFlangeThickness "
        "BottomFlangeFilletRadius TopFlangeWidth TopFlangeThickness TopFlangeFilletRadius "
        "BottomFlangeEdgeRadius BottomFlangeSlope TopFlangeEdgeRadius TopFlangeSlope",
    ),
    (
        "LShape",
        [150, 90, 10, 12, 6, 0.01],
        "Depth Width Thickness FilletRadius EdgeRadius LegSlope",
    ),
    (
        "UShape",
        [200, 75, 8.5, 11.5, 11.5, 6, 0.08],
        "Depth FlangeWidth WebThickness FlangeThickness FilletRadius EdgeRadius FlangeSlope",
    ),
    (
        "ZShape",
        [160, 70, 8, 11, 10, 5],
        "Depth FlangeWidth WebThickness FlangeThickness FilletRadius EdgeRadius",
    ),
    (
        "TShape",
        [100, 100, 11, 11, 11, 5, 3, 0.03, 0.02],
        "Depth FlangeWidth WebThickness FlangeThickness FilletRadius FlangeEdgeRadius "
        "WebEdgeRadius WebSlope FlangeSlope",
    ),
    ("CShape", [200, 75, 2.5, 20, 4], "Depth Width WallThickness Girth InternalFilletRadius"),
    ("Rectangle", [200, 100], "XDim YDim"),
    ("RoundedRectangle", [200, 100, 9], "XDim YDim RoundingRadius"),
    (
        "RectangleHollow",
        [200, 100, 8, 4, 12],
        "XDim YDim WallThickness InnerFilletRadius OuterFilletRadius",
    ),
    ("Circle", [50], "Radius"),
    ("CircleHollow", [50, 4], "Radius WallThickness"),
    ("Trapezium", [100, 60, 40, 15], "BottomXDim TopXDim YDim TopXOffset"),
]


@pytest.mark.parametrize(("name", "numbers", "attributes"), PROFILES)
def test_parameterised_profiles(
    ifc: Make, name: str, numbers: list[float], attributes: str
) -> None:
    values = ",".join(f"{n}." if isinstance(n, int) else str(n) for n in numbers)
    path = ifc(f"#10=IFC{name.upper()}PROFILEDEF(.AREA.,'P',$,{values});")
    section = read_drawing(path)
    expected = build_profile(name, dict(zip(attributes.split(), numbers, strict=True)))
    (region,) = section.regions
    assert section.unit == "mm"
    for got, want in zip(region.contours, (expected.outline, *expected.holes), strict=True):
        np.testing.assert_array_equal(got.points, want.oriented(got.area() > 0).points)
        np.testing.assert_array_equal(got.bulges, want.oriented(got.area() > 0).bulges)


def test_position_turns_and_moves(ifc: Make) -> None:
    path = ifc(
        "#7=IFCDIRECTION((0.,2.));#8=IFCAXIS2PLACEMENT2D(#9,#7);#9=IFCCARTESIANPOINT((10.,20.));"
        "#10=IFCTRAPEZIUMPROFILEDEF(.AREA.,$,#8,100.,60.,40.,0.);"
    )
    # a quarter turn to the left: x along y
    points = read_drawing(path).regions[0].outline.points
    np.testing.assert_allclose(
        sorted(points.tolist()), [[-10, -30], [-10, 30], [30, -30], [30, 70]], atol=1e-12
    )


def test_ellipse_profile(ifc: Make) -> None:
    section = read_drawing(ifc("#10=IFCELLIPSEPROFILEDEF(.AREA.,'E',$,10.,5.);"))
    assert section.regions[0].area() == pytest.approx(50 * math.pi, rel=1e-6)
    assert "arcs within" in section.notes[0]


def test_older_schema_ends_with_centres_of_gravity(ifc: Make) -> None:
    old = ifc(
        "#10=IFCASYMMETRICISHAPEPROFILEDEF(.AREA.,'P',$,200.,300.,8.,12.,10.,150.,10.,6.,140.);"
        "#11=IFCLSHAPEPROFILEDEF(.AREA.,'L',$,150.,90.,10.,12.,6.,$,50.,20.);"
        "#12=IFCISHAPEPROFILEDEF(.AREA.,'I',$,150.,300.,7.1,10.7,15.);",
        "IFC2X3",
    )
    areas = [read_drawing(old, profile=p).regions[0].area() for p in ("P", "L", "I")]
    by_hand = [
        200 * 12 + 150 * 10 + 278 * 8 + (4 - math.pi) / 2 * (100 + 36),
        150 * 10 + 80 * 10 + (1 - math.pi / 4) * (144 - 2 * 36),
        2 * 150 * 10.7 + 278.6 * 7.1 + (4 - math.pi) * 225,
    ]
    assert areas == pytest.approx(by_hand, rel=1e-12)


def test_indexed_curve_with_arc_and_void(ifc: Make) -> None:
    path = ifc(
        "#10=IFCARBITRARYPROFILEDEFWITHVOIDS(.AREA.,'A',#11,(#12));"
        "#11=IFCINDEXEDPOLYCURVE(#13,(IFCLINEINDEX((1,2)),IFCARCINDEX((2,3,4)),"
        "IFCLINEINDEX((4,5,1))),.F.);"
        "#13=IFCCARTESIANPOINTLIST2D(((0.,0.),(100.,0.),(125.,25.),(100.,50.),(0.,50.)));"
        "#12=IFCCIRCLE(#14,10.);#14=IFCAXIS2PLACEMENT2D(#15,$);#15=IFCCARTESIANPOINT((40.,25.));"
    )
    region = read_drawing(path).regions[0]
    assert region.area() == pytest.approx(5000 + math.pi * (625 / 2 - 100), rel=1e-14)
    assert region.outline.bulges.tolist() == pytest.approx([0, 1, 0, 0], rel=1e-15)


def test_indexed_curve_without_segments_and_polyline(ifc: Make) -> None:
    path = ifc(
        "#10=IFCARBITRARYPROFILEDEFWITHVOIDS(.AREA.,$,#11,(#12));"
        "#11=IFCINDEXEDPOLYCURVE(#13,$,$);"
        "#13=IFCCARTESIANPOINTLIST2D(((0.,0.),(9.,0.),(9.,9.),(0.,9.),(0.,0.)));"
        "#12=IFCPOLYLINE((#21,#22,#23,#21));#21=IFCCARTESIANPOINT((1.,1.));"
        "#22=IFCCARTESIANPOINT((3.,1.));#23=IFCCARTESIANPOINT((3.,3.));"
    )
    assert read_drawing(path).regions[0].area() == 81 - 2


@pytest.mark.parametrize(
    "trims",
    [
        "(IFCPARAMETERVALUE(0.)),(IFCPARAMETERVALUE(180.)),.T.,.PARAMETER.",
        "(#21,IFCPARAMETERVALUE(1.)),(#20),.T.,.CARTESIAN.",
        "(IFCPARAMETERVALUE(180.)),(IFCPARAMETERVALUE(0.)),.F.,.PARAMETER.",
    ],
)
def test_composite_curve_of_trimmed_parts(ifc: Make, trims: str) -> None:
    """A half circle on a line, in degrees; the line runs by parameter."""
    path = ifc(
        "#10=IFCARBITRARYCLOSEDPROFILEDEF(.AREA.,'A',#11);#11=IFCCOMPOSITECURVE((#12,#13),.F.);"
        "#12=IFCCOMPOSITECURVESEGMENT(.CONTINUOUS.,.T.,#14);"
        "#13=IFCCOMPOSITECURVESEGMENT(.CONTINUOUS.,.F.,#15);"
        f"#14=IFCTRIMMEDCURVE(#16,{trims});#16=IFCCIRCLE(#17,10.);"
        "#17=IFCAXIS2PLACEMENT2D(#18,$);#18=IFCCARTESIANPOINT((0.,0.));"
        "#15=IFCTRIMMEDCURVE(#30,(IFCPARAMETERVALUE(0.)),(IFCPARAMETERVALUE(4.)),.T.,.PARAMETER.);"
        "#30=IFCLINE(#20,#31);#31=IFCVECTOR(#32,5.);#32=IFCDIRECTION((1.,0.));"
        "#20=IFCCARTESIANPOINT((-10.,0.));#21=IFCCARTESIANPOINT((10.,0.));"
    )
    degrees = path.read_text().replace(
        "#3=IFCSIUNIT(*,.PLANEANGLEUNIT.,$,.RADIAN.);",
        "#3=IFCCONVERSIONBASEDUNIT(#4,.PLANEANGLEUNIT.,'DEGREE',#5);",
    )
    path.write_text(degrees)
    region = read_drawing(path).regions[0]
    assert region.area() == pytest.approx(50 * math.pi, rel=1e-13)
    assert region.outline.bounds() == pytest.approx((-10, 0, 10, 10), abs=1e-12)


def test_composite_profile(ifc: Make) -> None:
    path = ifc(
        "#10=IFCCOMPOSITEPROFILEDEF(.AREA.,'both',(#11,#12),$);"
        "#11=IFCRECTANGLEPROFILEDEF(.AREA.,$,$,10.,5.);"
        "#12=IFCRECTANGLEPROFILEDEF(.AREA.,$,#13,10.,5.);#13=IFCAXIS2PLACEMENT2D(#14,$);"
        "#14=IFCCARTESIANPOINT((0.,5.));"
    )
    assert [r.area() for r in read_drawing(path).regions] == [50, 50]
    assert read_drawing(path).bounds() == (-5, -2.5, 5, 7.5)


def test_one_of_several_profiles(ifc: Make) -> None:
    two = ifc(
        "#10=IFCCIRCLEPROFILEDEF(.AREA.,'bar 20',$,10.); /* not 'this; one' */"
        "#11=IFCCIRCLEPROFILEDEF(.AREA.,'it''s 30',$,15.);"
    )
    with pytest.raises(InputError, match=r"several profiles; .*: #10 bar 20, #11 it's 30"):
        read_drawing(two)
    with pytest.raises(InputError, match="no profile 'x'"):
        read_drawing(two, profile="x")
    for name, radius in [("bar 20", 10), ("#10", 10), ("it's 30", 15)]:
        assert read_drawing(two, profile=name).bounds()[2] == radius


@pytest.mark.parametrize(
    ("length", "unit"), [(".MILLI.,.METRE.", "mm"), (".CENTI.,.METRE.", "cm"), ("$,.METRE.", "m")]
)
def test_si_units(ifc: Make, length: str, unit: str) -> None:
    circle = "#10=IFCCIRCLEPROFILEDEF(.AREA.,$,$,10.);"
    assert read_drawing(ifc(circle, length=length)).unit == unit


def test_customary_and_missing_units(ifc: Make) -> None:
    path = ifc("#10=IFCCIRCLEPROFILEDEF(.AREA.,$,$,10.);")
    whole = path.read_text()
    si = "#2=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);"
    path.write_text(whole.replace(si, "#2=IFCCONVERSIONBASEDUNIT(#4,.LENGTHUNIT.,'INCH',#5);"))
    assert read_drawing(path).unit == "in"
    path.write_text(whole.replace(si, "#2=IFCSIUNIT(*,.LENGTHUNIT.,.KILO.,.METRE.);"))
    with pytest.raises(UnitError, match="'kilo metre' is not known"):
        read_drawing(path)
    path.write_text(whole.replace("IFCUNITASSIGNMENT", "IFCNOTHING"))
    with pytest.raises(UnitError, match="assigns no length unit"):
        read_drawing(path)
    assert read_drawing(path, unit="mm").unit == "mm"


@pytest.mark.parametrize(
    ("instances", "message"),
    [
        ("", "holds no profile"),
        ("#10=IFCARBITRARYOPENPROFILEDEF(.CURVE.,$,#11);", "it has IFCARBITRARYOPENPROFILEDEF"),
        (
            "#10=IFCARBITRARYCLOSEDPROFILEDEF(.AREA.,$,#11);",
            "refers to #11, which it does not hold",
        ),
        ("#10=IFCARBITRARYCLOSEDPROFILEDEF(.AREA.,$,$);", "lacks a reference"),
        (
            "#10=IFCARBITRARYCLOSEDPROFILEDEF(.AREA.,$,#11);#11=IFCBSPLINECURVE(3);",
            "IFCBSPLINECURVE is no curve that can be read",
        ),
        (
            "#10=IFCARBITRARYCLOSEDPROFILEDEF(.AREA.,$,#11);#11=IFCINDEXEDPOLYCURVE(#12,"
            "(IFCLINEINDEX((1,9))),.F.);#12=IFCCARTESIANPOINTLIST2D(((0.,0.),(1.,0.)));",
            "names no points of its list of 2",
        ),
        (
            "#10=IFCARBITRARYCLOSEDPROFILEDEF(.AREA.,$,#11);#11=IFCPOLYLINE((#12,#12));"
            "#12=IFCCARTESIANPOINT((0.,0.,3.));",
            "is not in the plane",
        ),
        ("#10=IFCCIRCLEPROFILEDEF(.AREA.,$,$,'ten');", "lacks a number"),
        ("#10=IFCCIRCLEPROFILEDEF(.AREA.,$,$,(1.);", "parentheses .* do not match"),
        ("#10=IFCCIRCLEPROFILEDEF(.AREA.,$,$,1.5.2);", "cannot be read at"),
        ("#10=IFCCIRCLEPROFILEDEF(.AREA.,'x,$,1.);", "never ends"),
        ("#10=IFCCIRCLEPROFILEDEF(" + 50 * "(" + 50 * ")" + ");", "nested lists"),
        ("#10=IFCCOMPOSITEPROFILEDEF(.AREA.,'a',(#10),$);", "holds no profile"),
        (
            "#9=IFCCOMPOSITEPROFILEDEF(.AREA.,'a',(#10),$);"
            "#10=IFCCOMPOSITEPROFILEDEF(.AREA.,'a',(#11),$);"
            "#11=IFCCOMPOSITEPROFILEDEF(.AREA.,'a',(#10),$);",
            "nested profiles",
        ),
    ],
)
def test_what_cannot_be_read(ifc: Make, instances: str, message: str) -> None:
    with pytest.raises(FileFormatError, match=message):
        read_drawing(ifc(instances))


def test_dimensions_that_do_not_fit(ifc: Make) -> None:
    with pytest.raises(GeometryError, match="Radius -10 must be"):
        read_drawing(ifc("#10=IFCCIRCLEPROFILEDEF(.AREA.,'A',$,-10.);"))
    with pytest.raises(InputError, match="needs WallThickness"):
        read_drawing(ifc("#10=IFCCIRCLEHOLLOWPROFILEDEF(.AREA.,'A',$,10.,$);"))


def test_lists_that_come_to_nothing_are_not_followed_for_ever(ifc: Make) -> None:
    """Each level refers nine times to the next: 9^20 visits without a single curve."""
    levels = "".join(
        f"#{k}=IFCCOMPOSITEPROFILEDEF(.AREA.,'a',({','.join(9 * [f'#{k + 1}'])}),$);"
        for k in range(10, 30)
    )
    with pytest.raises(FileFormatError, match="100000 references to follow"):
        read_drawing(ifc(f"{levels}#30=IFCCOMPOSITEPROFILEDEF(.AREA.,'a',(),$);"))


def test_truncated_files(ifc: Make) -> None:
    path = ifc("#10=IFCCIRCLEPROFILEDEF(.AREA.,'A',$,10.);")
    path.write_text(path.read_text()[:-10])
    with pytest.raises(FileFormatError, match="truncated"):
        read_drawing(path)
    path.write_text("hello")
    with pytest.raises(FileFormatError, match="not a STEP file"):
        read_drawing(path)


def test_values() -> None:
    text = "('it''s; (',#12,.AREA.,$,*,-1.5E-3,7,IFCX((1.,2.)),())"
    assert parse_values(text, "#1") == [
        "it's; (",
        Ref(12),
        Enum("AREA"),
        None,
        None,
        -1.5e-3,
        7.0,
        Typed("IFCX", [[1.0, 2.0]]),
        [],
    ]


@pytest.mark.parametrize("degrees", [-300, -180, -90, -1, 1, 90, 180, 270, 350])
def test_bulge_of_an_arc_through_three_points(degrees: float) -> None:
    t = np.radians(degrees) * np.array([0, 0.3, 1])
    points = np.stack([np.cos(t), np.sin(t)], axis=1)
    assert bulge_through(points, "arc") == pytest.approx(
        math.tan(math.radians(degrees) / 4), rel=1e-9
    )


def test_three_points_that_make_no_arc() -> None:
    with pytest.raises(FileFormatError, match="do not make one"):
        bulge_through(np.array([[0, 0], [1, 0], [0, 0]]), "#5 CURVE")


def test_names_are_shown_in_one_line(ifc: Make) -> None:
    two = ifc("#10=IFCCIRCLEPROFILEDEF(.AREA.,'a\nb',$,1.);#11=IFCCIRCLEPROFILEDEF(.AREA.,$,$,2.);")
    with pytest.raises(InputError, match=r"#10 a b, #11$"):
        read_drawing(two)
    assert read_drawing(two, profile="a b").bounds()[2] == 1
