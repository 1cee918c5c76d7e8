"""GeoJSON and WKT: what shapely writes is read back exactly."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from soapfilm.geometry.drawings import read_drawing
from soapfilm.geometry.drawings.geojson import read_geojson
from soapfilm.geometry.drawings.wkt import read_wkt
from soapfilm.geometry.errors import FileFormatError, GeometryError, UnitError

Make = Callable[..., Path]
PLATE = shapely.box(0, 0, 100, 50).difference(shapely.box(20, 10, 40, 30))
BOTH = shapely.MultiPolygon([PLATE, shapely.Polygon([(100, 0), (130, 0), (100, 50)])])


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6)), min_size=4, max_size=12))
def test_shapely_coordinates_come_back_to_the_last_digit(points: list[tuple[float, float]]) -> None:
    ring = shapely.Polygon(points)
    expected = shapely.get_coordinates(ring).tolist()
    as_json = read_geojson(shapely.to_geojson(ring).encode(), "mm").strokes[0]
    # shapely itself writes WKT with 16 digits, one too few
    digits = ", ".join(f"{x!r} {y!r}" for x, y in expected)
    as_text = read_wkt(f"POLYGON (({digits}))".encode(), "mm").strokes[0]
    assert as_json.points.tolist() == as_text.points.tolist() == expected


@pytest.mark.parametrize("suffix", ["wkt", "geojson", "json"])
def test_polygons_with_holes(text: Make, suffix: str) -> None:
    content = BOTH.wkt if suffix == "wkt" else shapely.to_geojson(BOTH)
    plate, wedge = read_drawing(text(f"deck.{suffix}", content), unit="in").regions
    assert shapely.Polygon(plate.outline.points, [h.points for h in plate.holes]).equals(PLATE)
    assert wedge.area() == 750


def test_a_polygon_fills_anothers_hole(text: Make) -> None:
    """Each polygon says by itself what is solid: the core is no hole in the plate."""
    core = shapely.box(20, 10, 40, 30)
    section = read_drawing(text("a.wkt", f"{PLATE.wkt}\n{core.wkt}"), unit="mm")
    assert [r.area() for r in section.regions] == [4600, 400]


def test_several_geometries_and_lines(text: Make) -> None:
    lines = "LINESTRING(0 0,10 0,10 10);\nLINESTRING (0 0, 10 10)\nPOLYGON EMPTY"
    assert read_drawing(text("a.wkt", lines), unit="mm").regions[0].area() == 50
    nested = (
        "GEOMETRYCOLLECTION(MULTILINESTRING((0 0,9 0,9 9),(9 9,0 0)), "
        "POLYGON Z((20 0 1,30 0 1,20 9 1,20 0 1)))"
    )
    regions = read_drawing(text("b.wkt", nested), unit="mm").regions
    assert sorted(r.area() for r in regions) == [40.5, 45]


def test_features_name_their_parts(text: Make) -> None:
    features = [
        {"type": "Feature", "properties": p, "geometry": shapely.geometry.mapping(g)}
        for p, g in zip(({"layer": "plate"}, {"name": "wedge"}), BOTH.geoms, strict=True)
    ]
    features.append({"type": "Feature", "properties": None, "geometry": None})
    whole = {"type": "FeatureCollection", "length_unit": "ft", "features": features}
    section = read_drawing(text("parts.geojson", json.dumps(whole)))
    assert [r.name for r in section.regions] == ["plate", "wedge"]
    assert section.unit == "ft"
    assert section.name == "parts"


def test_units_must_be_named(text: Make) -> None:
    with pytest.raises(UnitError, match="WKT has no place for it"):
        read_drawing(text("a.wkt", PLATE.wkt))
    with pytest.raises(UnitError, match='unless it carries "length_unit"'):
        read_drawing(text("a.geojson", shapely.to_geojson(PLATE)))


def test_overlapping_polygons(text: Make) -> None:
    other = shapely.box(90, 10, 120, 20)
    with pytest.raises(
        GeometryError, match=r"Polygon 1 and Polygon 2 overlap.*near \(100.0, [12]0.0\) mm"
    ):
        read_drawing(text("a.wkt", f"{PLATE.wkt}\n{other.wkt}"), unit="mm")


@pytest.mark.parametrize(
    ("content", "message"),
    [
        ("hello", "cannot be read as WKT"),
        ("POLYGON((0 0,1 0,1 1))", "cannot be read as WKT .*closed"),
        ("POINT(0 0)", "Point 1 is no outline"),
        ("CURVEPOLYGON(CIRCULARSTRING(0 0,1 1,0 0))", "curved WKT types are not read; use DXF"),
        ("POLYGON((0 0,nan 0,1 1,0 0))", "not a usable coordinate"),
        (1000 * "(", "nested parentheses"),
        ("POLYGON((" + "0 0," * 70_000 + "0 0))", "60000 points"),
        ("POLYGON EMPTY", "no lines, arcs or curves"),
        (b"\xff\xfe\x00P", "cannot be read as WKT"),
    ],
)
def test_what_is_no_wkt(text: Make, content: str | bytes, message: str) -> None:
    with pytest.raises(FileFormatError, match=message):
        read_drawing(text("bad.wkt", content), unit="mm")


@pytest.mark.parametrize(
    ("content", "message"),
    [
        ("{", "not valid JSON"),
        ("[]", "one object"),
        ("[" * 100_000, "nested too deep"),
        ("[" * 200_000, "120000 lists"),
        ("{}", "of type 'None'"),
        ('{"type":"Point","coordinates":[0,0]}', "of type 'Point'"),
        ('{"type":["Polygon"]}', "of type"),
        ('{"type":"FeatureCollection"}', "needs a list of features"),
        ('{"type":"FeatureCollection","features":[1]}', "expected a GeoJSON object, found '1'"),
        ('{"type":"Polygon"}', "expected a list of coordinates, found 'None'"),
        ('{"type":"Polygon","coordinates":[[]]}', "has 0 positions"),
        ('{"type":"Polygon","coordinates":[[[0,0],[1,"x"]]]}', "position is two numbers"),
        ('{"type":"Polygon","coordinates":[[[0,0],[1,true]]]}', "position is two numbers"),
        ('{"type":"Polygon","coordinates":[[[0,0],[1]]]}', "position is two numbers"),
        ('{"type":"Polygon","coordinates":[[[0,0],[1e999,1],[2,3]]]}', "not a usable coordinate"),
        ('{"type":"Polygon","length_unit":3}', "must be a text"),
        (b"\xff\xfe\x00", "not valid JSON"),
        (40 * '{"type":"GeometryCollection","geometries":[' + 40 * "]}", "nested collections"),
    ],
)
def test_what_is_no_geojson(text: Make, content: str | bytes, message: str) -> None:
    with pytest.raises(FileFormatError, match=message):
        read_drawing(text("bad.geojson", content), unit="mm")
