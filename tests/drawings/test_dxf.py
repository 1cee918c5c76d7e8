"""DXF: every kind of entity, units, layers, blocks, and what is refused."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import numpy as np
import pytest
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.drawings import read_drawing
from soapfilm.geometry.errors import FileFormatError, GeometryError, UnitError
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.moments import contour_moments

Make = Callable[..., Path]
SQUARE = [(0, 0), (100, 0), (100, 50), (0, 50)]


def box(space: Any, layer: str = "0") -> None:
    space.add_lwpolyline(SQUARE, close=True, dxfattribs={"layer": layer})


def test_lines_and_arcs_are_chained_and_exact(dxf: Make) -> None:
    def slot(space: Any) -> None:
        space.add_line((100, 50), (0, 50))
        space.add_arc((100, 25), 25, 270, 90)
        space.add_line((0, 0), (100, 0))
        space.add_arc((0, 25), 25, 90, 270)

    section = read_drawing(dxf(slot))
    assert section.unit == "mm"
    assert section.name == "drawing"
    assert section.notes == ()
    (region,) = section.regions
    assert region.area() == pytest.approx(100 * 50 + math.pi * 25**2, rel=1e-14)
    assert sorted(map(tuple, region.outline.points)) == [(0, 0), (0, 50), (100, 0), (100, 50)]
    check(section)


def test_bulges_agree_with_arcs(dxf: Make) -> None:
    """The same slot, once by the bulge of a half circle, once by arcs."""
    rows = [(0, 0, 0), (100, 0, 1), (100, 50, 0), (0, 50, 1)]
    section = read_drawing(dxf(lambda m: m.add_lwpolyline(rows, format="xyb", close=True)))
    outline = section.regions[0].outline
    np.testing.assert_array_equal(outline.points, [r[:2] for r in rows])
    np.testing.assert_array_equal(outline.bulges, [r[2] for r in rows])
    assert outline.area() == pytest.approx(5000 + math.pi * 625, rel=1e-14)


def test_circle_is_the_circle(dxf: Make) -> None:
    outline = read_drawing(dxf(lambda m: m.add_circle((3, 4), 5))).regions[0].outline
    expected = Contour.circle((3, 4), 5)
    np.testing.assert_allclose(outline.points, expected.points, atol=1e-15)
    np.testing.assert_allclose(outline.bulges, expected.bulges, rtol=1e-15)


def test_old_polylines_and_open_ones_whose_ends_meet(dxf: Make) -> None:
    def draw(space: Any) -> None:
        space.add_polyline2d([(0, 0, 0), (10, 0, 0.5), (10, 10, 0)], format="xyb", close=True)
        space.add_polyline3d([(20, 0, 7), (30, 0, 7), (30, 10, 7)], close=True)
        space.add_lwpolyline([(40, 0), (50, 0), (50, 10), (40, 0)])

    first, second, third = read_drawing(dxf(draw)).regions
    np.testing.assert_array_equal(first.outline.bulges, [0, 0.5, 0])
    np.testing.assert_array_equal(second.outline.points, [(20, 0), (30, 0), (30, 10)])
    assert third.area() == 50


@pytest.mark.parametrize("version", ["R12", "R2000", "R2018"])
def test_versions(dxf: Make, version: str) -> None:
    def draw(space: Any) -> None:
        for a, b in zip(SQUARE, SQUARE[1:] + SQUARE[:1], strict=True):
            space.add_line(a, b, dxfattribs={"layer": "träger"})

    # R12 has no place for units
    section = read_drawing(dxf(draw, version=version), unit="mm")
    assert section.regions[0].area() == 5000
    assert section.regions[0].name == "träger"


@pytest.mark.parametrize(("code", "unit"), [(1, "in"), (2, "ft"), (4, "mm"), (5, "cm"), (6, "m")])
def test_units_of_the_header(dxf: Make, code: int, unit: str) -> None:
    assert read_drawing(dxf(box, code)).unit == unit


def test_missing_unknown_and_contradicting_units(dxf: Make) -> None:
    with pytest.raises(
        UnitError, match=r"\$INSUNITS unset\); give one with --unit, like --unit mm"
    ):
        read_drawing(dxf(box, 0))
    with pytest.raises(UnitError, match=r"\$INSUNITS is 3"):
        read_drawing(dxf(box, 3))
    assert read_drawing(dxf(box, 0), unit="in").unit == "in"
    assert read_drawing(dxf(box, 0), unit="in").notes == ()
    asked = read_drawing(dxf(box, 1), unit="mm")
    assert asked.unit == "mm"
    assert asked.notes == ("drawing: the file declares in; read in mm as asked",)
    with pytest.raises(UnitError, match="'furlong' is not known; use one of mm"):
        read_drawing(dxf(box), unit="furlong")


def test_layers_are_parts(dxf: Make) -> None:
    inner = [(10, 10), (90, 10), (90, 40), (10, 40)]

    def tube(space: Any) -> None:
        box(space, "steel")
        space.add_lwpolyline(inner, close=True, dxfattribs={"layer": "steel"})
        space.add_lwpolyline(inner, close=True, dxfattribs={"layer": "grout"})

    grout = Material("grout", 3e4, 0.2)
    path = dxf(tube)
    section = read_drawing(path, materials={"grout": grout})
    steel, core = section.regions
    assert (steel.name, core.name) == ("steel", "grout")
    assert steel.area() == 5000 - 2400
    assert core.material == grout
    assert not steel.material.specified
    # a shared border is one and the same contour, so the parts are bonded
    np.testing.assert_array_equal(
        sorted(map(tuple, steel.holes[0].points)), sorted(map(tuple, core.outline.points))
    )
    check(section)
    assert read_drawing(path, layers=["grout"]).regions[0].area() == 2400


def test_a_part_drawn_inside_another_takes_its_place(dxf: Make) -> None:
    """A concrete block around a steel tube: block, wall and the concrete inside the tube."""

    def encased(space: Any) -> None:
        box(space, "concrete")
        for a, b in [(10, 10), (20, 15)]:
            corners = [(a, b), (100 - a, b), (100 - a, 50 - b), (a, 50 - b)]
            space.add_lwpolyline(corners, close=True, dxfattribs={"layer": "steel"})

    section = read_drawing(dxf(encased), materials={"steel": Material(name="steel")})
    assert [(r.name, r.area()) for r in section.regions] == [
        ("concrete", 5000.0 - 80 * 30),
        ("steel", 80.0 * 30 - 60 * 20),
        ("concrete", 60.0 * 20),
    ]
    assert "steel is embedded in concrete" in section.notes[0]
    check(section)


def test_a_layer_of_voids_makes_holes(dxf: Make) -> None:
    def draw(space: Any) -> None:
        box(space, "deck")
        space.add_circle((50, 25), 20, dxfattribs={"layer": "HOLES"})
        space.add_circle((50, 25), 5, dxfattribs={"layer": "deck"})

    deck, island = read_drawing(dxf(draw)).regions
    assert deck.area() == pytest.approx(5000 - 400 * math.pi)
    assert island.area() == pytest.approx(25 * math.pi)


def test_two_layers_must_not_claim_the_same_area(dxf: Make) -> None:
    def draw(space: Any) -> None:
        box(space, "steel")
        box(space, "concrete")

    with pytest.raises(
        GeometryError, match=r"'steel' and 'concrete' both claim .* \(0.0, 0.0\) mm"
    ):
        read_drawing(dxf(draw))


def test_blocks_turned_mirrored_and_scaled(dxf: Make) -> None:
    def draw(space: Any) -> None:
        block = space.doc.blocks.new("plate")
        box(block)
        block.add_arc((50, 25), 5, 0, 180)
        block.add_line((45, 25), (55, 25))
        space.add_blockref(
            "plate",
            (30, 40),
            dxfattribs={"xscale": -2, "yscale": 2, "rotation": 30, "layer": "left"},
        )

    section = read_drawing(dxf(draw))
    region = section.regions[0]
    assert region.name == "left"
    assert region.area() == pytest.approx(4 * (5000 - 12.5 * math.pi), rel=1e-13)
    # x -> -2 x, y -> 2 y, then a turn by 30 degrees and the move: the far corner by hand
    c, s = math.cos(math.pi / 6), math.sin(math.pi / 6)
    corner = (30 - 200 * c - 100 * s, 40 - 200 * s + 100 * c)
    assert np.hypot(*(region.outline.points - corner).T).min() < 1e-12
    assert not section.notes


def test_unevenly_scaled_blocks_make_ellipses(dxf: Make) -> None:
    def draw(space: Any) -> None:
        space.doc.blocks.new("hole").add_circle((7, 2), 1)
        space.add_blockref("hole", (3, 4), dxfattribs={"xscale": 2, "yscale": 3})

    section = read_drawing(dxf(draw))
    assert section.regions[0].area() == pytest.approx(6 * math.pi, rel=1e-6)
    assert "arcs within" in section.notes[0]


def test_arrays_of_blocks(dxf: Make) -> None:
    def draw(space: Any) -> None:
        space.doc.blocks.new("bar").add_circle((0, 0), 1)
        array = {"row_count": 2, "row_spacing": 10, "column_count": 3, "column_spacing": 20}
        space.add_blockref("bar", (0, 0), dxfattribs=array)

    centres = [np.mean(r.outline.points, axis=0) for r in read_drawing(dxf(draw)).regions]
    assert sorted(tuple(np.round(c, 12)) for c in centres) == [
        (x, y) for x in (0, 20, 40) for y in (0, 10)
    ]


def test_entities_seen_from_below(dxf: Make) -> None:
    """Extrusion (0, 0, -1): x runs to the left."""

    def draw(space: Any) -> None:
        down = {"extrusion": (0, 0, -1)}
        rows = [(0, 0, 0), (-100, 0, -1), (-100, 50, 0), (0, 50, -1)]
        space.add_lwpolyline(rows, format="xyb", close=True, dxfattribs=down)
        space.add_circle((-50, 25), 10, dxfattribs=down)
        space.add_ellipse((20, 25), (5, 0), 0.4, 0, math.pi, dxfattribs=down)
        space.add_line((15, 25), (25, 25))

    region = read_drawing(dxf(draw)).regions[0]
    assert region.outline.bounds() == pytest.approx((-25, 0, 125, 50), abs=1e-12)
    circle, half = region.holes
    assert circle.bounds() == pytest.approx((40, 15, 60, 35))
    # minor axis = extrusion x major axis: the half ellipse hangs down
    assert half.bounds() == pytest.approx((15, 23, 25, 25), abs=1e-3)


def test_hidden_layers_and_other_kinds_are_named(dxf: Make) -> None:
    def draw(space: Any) -> None:
        space.doc.layers.add("off").off()
        space.doc.layers.add("cold").freeze()
        box(space)
        box(space, "off")
        space.add_circle((0, 0), 9, dxfattribs={"layer": "cold"})
        space.add_text("deck")
        space.add_point((1, 1))

    section = read_drawing(dxf(draw))
    assert len(section.regions) == 1
    expected = "drawing: not read: 1 POINT, 1 TEXT, 1 hidden CIRCLE, 1 hidden LWPOLYLINE"
    assert section.notes == (expected,)


def test_slit_layers(dxf: Make) -> None:
    def draw(space: Any) -> None:
        box(space)
        space.add_lwpolyline(
            [(20, 25, 0.2), (80, 25, 0)], format="xyb", dxfattribs={"layer": "Slit_1"}
        )

    section = read_drawing(dxf(draw))
    (slit,) = section.slits
    assert slit.points == ((20.0, 25.0), (80.0, 25.0))
    assert slit.bulges == (0.2,)
    assert slit.name == "Slit_1"
    check(section)


@pytest.mark.parametrize(
    ("draw", "message"),
    [
        (lambda m: m.add_line((0, 0, 0), (1, 0, 5)), "LINE .* runs from z = 0 to 5; flatten"),
        (
            lambda m: m.add_circle((0, 0), 5, dxfattribs={"extrusion": (1, 0, 0)}),
            "CIRCLE .* does not lie in the x-y plane",
        ),
        (lambda m: m.add_polyface(), "is a mesh, not an outline"),
        (lambda m: m.add_text("only"), "no lines, arcs or curves"),
        (lambda m: m.add_circle((0, 0), 0), "two positive radii"),
        (lambda m: m.add_circle((0, 1e30), 1), "not a usable coordinate"),
        (
            lambda m: m.add_lwpolyline([(0, 0, 1e9), (1, 0, 0)], format="xyb", close=True),
            "bulge 1e[+]09 is not usable",
        ),
    ],
)
def test_what_cannot_be_read(dxf: Make, draw: Callable[[Any], None], message: str) -> None:
    with pytest.raises(FileFormatError, match=message):
        read_drawing(dxf(draw))


def test_other_files_with_the_suffix(dxf: Make, text: Make) -> None:
    whole = dxf(box).read_bytes()
    with pytest.raises(FileFormatError, match="truncated"):
        read_drawing(text("cut.dxf", whole[: len(whole) // 2]))
    with pytest.raises(FileFormatError, match="DWG"):
        read_drawing(text("a.dxf", b"AC1027\0\0\0" + bytes(100)))
    with pytest.raises(FileFormatError, match="binary DXF"):
        read_drawing(text("b.dxf", b"AutoCAD Binary DXF\r\n\x1a\x00" + bytes(100)))
    with pytest.raises(FileFormatError, match="does not begin with a section"):
        read_drawing(text("c.dxf", "hello"))


def test_a_whole_section_agrees_with_another_reader(dxf: Make) -> None:
    """Second moments of a slotted plate, against the same outline flattened by ezdxf."""

    def draw(space: Any) -> None:
        rows = [(0, 0, 0.1), (120, 0, -0.3), (120, 60, 0), (60, 80, 0.5), (0, 60, 0)]
        space.add_lwpolyline(rows, format="xyb", close=True)
        space.add_lwpolyline(
            [(30, 20, 1), (60, 20, 0), (60, 40, 1), (30, 40, 0)], format="xyb", close=True
        )

    path = dxf(draw)
    moments = contour_moments(read_drawing(path).contours(), (60.0, 30.0))
    total = np.zeros_like(moments)
    for sign, polyline in zip((1, -1), ezdxf.readfile(path).modelspace(), strict=True):
        corners = [tuple(polyline[0])[:2]]
        for part in polyline.virtual_entities():
            arc = part.dxftype() == "ARC"
            run = list(part.flattening(1e-5)) if arc else [part.dxf.start, part.dxf.end]
            run = [tuple(v)[:2] for v in run]
            if math.dist(run[0], corners[-1]) > math.dist(run[-1], corners[-1]):
                run.reverse()
            corners += run[1:]
        flat = Contour(corners[:-1]).oriented()
        total += sign * contour_moments([flat], (60.0, 30.0))
    # chords leave the arcs by 1e-5 at most, one part in a million of the size
    np.testing.assert_allclose(moments, total, rtol=1e-5, atol=1e-6 * np.abs(moments).max())


def test_layer_names_that_are_no_text_can_be_printed(dxf: Make) -> None:
    path = dxf(lambda m: box(m, "part@"), version="R2000")
    path.write_bytes(path.read_bytes().replace(b"part@", b"part\x81"))
    (region,) = read_drawing(path).regions
    assert region.name.isprintable()
    assert region.name.startswith("part")
