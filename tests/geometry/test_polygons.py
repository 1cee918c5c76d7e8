"""shapely polygons and WKT in and out, and chords recognised as the arcs they stand for."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.errors import FileFormatError, GeometryError, UnitError
from soapfilm.geometry.outline.arc_runs import recognise_arcs
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.outline.polygons import (
    region_polygons,
    section_from_polygon,
    section_from_wkt,
    with_arcs,
)
from soapfilm.geometry.profiles.by_name import build_profile
from soapfilm.geometry.section import Section

BOX = {"XDim": 200, "YDim": 100, "WallThickness": 8}
ROUND = BOX | {"InnerFilletRadius": 4, "OuterFilletRadius": 12}


# -- polygons --------------------------------------------------------------------------------------
def test_polygon_with_a_hole() -> None:
    square = shapely.box(0, 0, 100, 60).difference(shapely.box(20, 20, 40, 40))
    section = section_from_polygon(square, unit="mm", name="deck")
    (region,) = section.regions
    assert (section.name, section.unit, len(region.holes)) == ("deck", "mm", 1)
    assert region.area() == 100 * 60 - 20 * 20
    check(section)


def test_multipolygon_makes_regions() -> None:
    pair = shapely.MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(2, 0, 3, 1)])
    assert [r.area() for r in section_from_polygon(pair).regions] == [1, 1]


def test_heights_are_left_out() -> None:
    polygon = shapely.Polygon([(0, 0, 5), (1, 0, 5), (0, 1, 5)])
    assert section_from_polygon(polygon).regions[0].outline.points.shape == (3, 2)


@pytest.mark.parametrize(
    ("geometry", "message"),
    [
        (shapely.Point(0, 0), "comes from a Polygon or MultiPolygon, not from a Point"),
        (shapely.Polygon(), "the Polygon is empty"),
        (shapely.MultiPolygon(), "the MultiPolygon is empty"),
        ("POLYGON", "not from a str"),
        (None, "not from a NoneType"),
    ],
)
def test_other_geometry(geometry: object, message: str) -> None:
    with pytest.raises(GeometryError, match=message):
        section_from_polygon(geometry)


def test_unknown_unit() -> None:
    with pytest.raises(UnitError, match="length unit 'furlong' is not known"):
        section_from_polygon(shapely.box(0, 0, 1, 1), unit="furlong")


def test_wkt() -> None:
    text = "POLYGON ((0 0, 100 0, 100 60, 0 60, 0 0), (20 20, 40 20, 40 40, 20 40, 20 20))"
    section = section_from_wkt(text, "mm", name="deck")
    assert section.regions[0].area() == 5600
    assert (section.name, section.unit) == ("deck", "mm")


@pytest.mark.parametrize(
    ("text", "unit", "error", "message"),
    [
        ("POLYGON ((0 0, 1 0, 1 1, 0 0))", "", UnitError, "names no length unit"),
        ("POLYGON ((0 0, 1 0, 1 1, 0 0))", "yd", UnitError, "length unit 'yd' is not known"),
        ("POLYGON ((0 0, 1 0", "mm", FileFormatError, "cannot be read as WKT"),
        ("", "mm", FileFormatError, "the text is empty"),
        ("POINT (1 2)", "mm", FileFormatError, "no outline"),
    ],
)
def test_wkt_errors(text: str, unit: str, error: type[Exception], message: str) -> None:
    with pytest.raises(error, match=message):
        section_from_wkt(text, unit)


@pytest.mark.parametrize("deviation", [1.0, 1e-2, 1e-4])
def test_section_to_polygons_stays_within_the_deviation(deviation: float) -> None:
    section = build_profile("RectangleHollow", ROUND).section(unit="mm")
    (polygon,) = region_polygons(section, deviation)
    length = sum(c.length() for c in section.contours())
    assert polygon.is_valid
    assert polygon.area == pytest.approx(section.regions[0].area(), abs=deviation * length)
    with pytest.raises(GeometryError, match="deviation must be a positive length"):
        region_polygons(section, 0)


# -- arcs ------------------------------------------------------------------------------------------
@pytest.mark.parametrize("segments", [8, 16, 33])
def test_a_buffered_point_is_a_circle(segments: int) -> None:
    disc = shapely.Point(3, -2).buffer(50, quad_segs=segments)
    height = 50 * (1 - math.cos(math.pi / 4 / segments))
    section = section_from_polygon(disc, unit="mm", arcs_within=1.01 * height)
    outline = section.regions[0].outline
    assert len(outline) == 2
    assert outline.area() == pytest.approx(math.pi * 2500, rel=1e-13)
    count = 4 * segments
    assert section.notes == (
        f"{count} chords recognised as 2 arcs; the outline moved by at most {height:.2g} mm",
    )


def test_rounded_box_comes_back_exactly() -> None:
    section = build_profile("RectangleHollow", ROUND).section(unit="mm")
    (polygon,) = region_polygons(section, 0.01)
    back = section_from_polygon(polygon, unit="mm", arcs_within=0.02)
    for c, original in zip(back.contours(), section.contours(), strict=True):
        assert (len(c), np.count_nonzero(c.bulges)) == (8, 4)
        assert c.area() == pytest.approx(original.area(), rel=1e-12)
        assert c.length() == pytest.approx(original.length(), rel=1e-12)
        quarter = math.copysign(math.tan(math.pi / 8), original.area())
        assert c.bulges[c.bulges != 0] == pytest.approx(np.full(4, quarter), rel=1e-9)
    assert "recognised as 8 arcs; the outline moved by at most 0.00" in back.notes[0]
    check(back)


def test_arcs_of_two_radii_part_where_they_meet() -> None:
    # a half circle of radius 30, and a quarter of radius 10 tangent to it at (60, 0)
    c = Contour([(60, 0), (0, 0), (50, -10)], [1.0, 0.0, math.tan(math.pi / 8)])
    chords = Contour(c.polyline(0.02))
    new, found = recognise_arcs(chords, 0.03)
    assert np.count_nonzero(new.bulges) == 2
    assert new.area() == pytest.approx(c.area(), rel=1e-9)
    assert 0.01 < found <= 0.021


@pytest.mark.parametrize("start", range(0, 40, 7))
def test_the_first_vertex_may_lie_on_an_arc(start: int) -> None:
    points = build_profile("RoundedRectangle", {"XDim": 60, "YDim": 20, "RoundingRadius": 10})
    chords = points.outline.polyline(0.02)
    new, _ = recognise_arcs(Contour(np.roll(chords, -start, axis=0)), 0.03)
    assert np.count_nonzero(new.bulges) == 2
    assert len(new) == 4
    assert new.area() == pytest.approx(points.outline.area(), rel=1e-12)


def test_rounded_coordinates_are_forgiven_within_the_deviation() -> None:
    disc = shapely.Point(0, 0).buffer(50, quad_segs=16)
    rough = shapely.transform(disc, lambda p: np.round(p, 2))
    outline = section_from_polygon(rough, arcs_within=0.1).regions[0].outline
    assert np.count_nonzero(outline.bulges) == len(outline) <= 4
    assert outline.area() == pytest.approx(math.pi * 2500, rel=2e-4)


def test_clockwise_holes_keep_their_direction() -> None:
    ring = shapely.Point(0, 0).buffer(50, 16).difference(shapely.Point(0, 0).buffer(40, 16))
    section = section_from_polygon(ring, arcs_within=0.1)
    assert section.regions[0].area() == pytest.approx(math.pi * 900, rel=1e-12)


@pytest.mark.parametrize("sides", [3, 4, 5, 6, 8, 10])
def test_regular_polygons_stay_polygons(sides: int) -> None:
    turn = 2 * np.pi * np.arange(sides) / sides
    polygon = Contour(np.stack([np.cos(turn), np.sin(turn)], axis=1))
    new, found = recognise_arcs(polygon, 10.0)
    assert (new.is_polygon, found) == (True, 0.0)


def test_polygonal_profiles_stay_as_they_are() -> None:
    outline = build_profile(
        "I",
        {"OverallWidth": 150, "OverallDepth": 300, "WebThickness": 7, "FlangeThickness": 11},
    ).outline
    new, found = recognise_arcs(outline, 0.1)
    assert np.array_equal(np.sort(new.points, axis=0), np.sort(outline.points, axis=0))
    assert found == 0.0
    section = with_arcs(Section.single(outline, unit="mm"), 0.1)
    assert section.notes == ("no chords recognised as arcs within 0.1 mm",)


def test_true_arcs_are_kept() -> None:
    c = Contour.circle((0, 0), 5)
    assert recognise_arcs(c, 0.1) == (c, 0.0)


def test_a_deviation_must_be_positive() -> None:
    with pytest.raises(GeometryError, match="deviation must be a positive length, got nan"):
        recognise_arcs(Contour([(0, 0), (1, 0), (0, 1)]), float("nan"))


@settings(max_examples=60, deadline=None)
@given(
    st.floats(0.5, 40),
    st.floats(1e-4, 5e-3),
    st.floats(-3, 3),
    st.floats(0.01, 100),
    st.integers(0, 200),
)
def test_any_rounded_rectangle_comes_back(
    radius: float, share: float, angle: float, scale: float, start: int
) -> None:
    shape = {"XDim": 100, "YDim": 90, "RoundingRadius": radius}
    outline = build_profile("RoundedRectangle", shape).outline.placed(
        Placement.rotate(angle).then(Placement.scale(scale))
    )
    deviation = share * radius * scale
    chords = np.roll(outline.polyline(deviation), start, axis=0)
    new, found = recognise_arcs(Contour(chords), 1.1 * deviation)
    assert np.count_nonzero(new.bulges) == 4
    assert new.area() == pytest.approx(outline.area(), rel=1e-9)
    assert found <= 1.1 * deviation


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.floats(0.3, 3.0), min_size=3, max_size=40),
    st.floats(1e-3, 0.3),
)
def test_no_outline_moves_further_than_told(radii: list[float], deviation: float) -> None:
    turn = 2 * np.pi * np.arange(len(radii)) / len(radii)
    points = np.stack([np.cos(turn), np.sin(turn)], axis=1) * np.array(radii)[:, None]
    old = Contour(points)
    new, found = recognise_arcs(old, deviation)
    assert found <= deviation
    fine = shapely.LinearRing(new.polyline(1e-4 * deviation))
    chords = shapely.LinearRing(points)
    assert fine.hausdorff_distance(chords) <= found * 1.0001 + 1e-3 * deviation
