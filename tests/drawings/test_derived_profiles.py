"""IFC profiles made from others: what they are made of counts, and how."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest
from soapfilm.geometry.drawings import read_drawing
from soapfilm.geometry.errors import FileFormatError

DATA = Path(__file__).parents[1] / "data" / "drawings"
Make = Callable[..., Path]


def _area(path: Path) -> float:
    return sum(region.area() for region in read_drawing(path).regions)


def test_a_derived_profile_is_scaled_turned_and_moved() -> None:
    """100 x 50 times 2, x upward, about (7, 9)."""
    section = read_drawing(DATA / "derived.ifc")
    assert section.bounds() == pytest.approx((7 - 50, 9 - 100, 7 + 50, 9 + 100))
    assert _area(DATA / "derived.ifc") == pytest.approx(20_000)


def test_a_mirrored_profile_has_its_upright_leg_on_the_right() -> None:
    section = read_drawing(DATA / "mirrored.ifc")
    # an L stands with its heel at the lower left; its mirror image has it at the lower right
    points = section.regions[0].outline.points
    assert min(abs(points - (50, -75)).sum(axis=1)) < 1e-9
    assert points[points[:, 1] > 70][:, 0].min() > 40


def test_different_scales_make_a_circle_an_ellipse(ifc: Make) -> None:
    path = ifc(
        "#10=IFCCIRCLEPROFILEDEF(.AREA.,'c',$,10.);\n"
        "#11=IFCCARTESIANPOINT((0.,0.));\n"
        "#12=IFCCARTESIANTRANSFORMATIONOPERATOR2DNONUNIFORM($,$,#11,2.,3.);\n"
        "#13=IFCDERIVEDPROFILEDEF(.AREA.,'d',#10,#12,$);\n"
    )
    assert read_drawing(path).bounds() == pytest.approx((-20, -30, 20, 30), rel=1e-6)
    assert _area(path) == pytest.approx(math.pi * 20 * 30, rel=1e-6)


def test_a_scale_of_zero_is_refused(ifc: Make) -> None:
    path = ifc(
        "#10=IFCCIRCLEPROFILEDEF(.AREA.,'c',$,10.);\n"
        "#11=IFCCARTESIANPOINT((0.,0.));\n"
        "#12=IFCCARTESIANTRANSFORMATIONOPERATOR2D($,$,#11,0.);\n"
        "#13=IFCDERIVEDPROFILEDEF(.AREA.,'d',#10,#12,$);\n"
    )
    with pytest.raises(FileFormatError, match="scale must be positive"):
        read_drawing(path)


def test_a_centre_line_has_its_thickness(ifc: Make) -> None:
    """An angle of two walls 100 long at their middle, 8 thick: its area by hand."""
    path = ifc(
        "#10=IFCCARTESIANPOINT((0.,100.));\n#11=IFCCARTESIANPOINT((0.,0.));\n"
        "#12=IFCCARTESIANPOINT((100.,0.));\n#13=IFCPOLYLINE((#10,#11,#12));\n"
        "#14=IFCCENTERLINEPROFILEDEF(.AREA.,'a',#13,8.);\n"
    )
    assert _area(path) == pytest.approx(2 * 100 * 8)
    assert read_drawing(path).bounds() == pytest.approx((-4, -4, 100, 100))


def test_a_closed_centre_line_is_a_tube(ifc: Make) -> None:
    points = "".join(
        f"#{10 + k}=IFCCARTESIANPOINT(({x}.,{y}.));\n"
        for k, (x, y) in enumerate([(0, 0), (100, 0), (100, 60), (0, 60)])
    )
    path = ifc(
        points + "#20=IFCPOLYLINE((#10,#11,#12,#13,#10));\n"
        "#21=IFCCENTERLINEPROFILEDEF(.AREA.,'t',#20,10.);\n"
    )
    assert _area(path) == pytest.approx(110 * 70 - 90 * 50)
