"""SVG: path commands, shapes, transforms, units, layers, and XML that is up to no good."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.svgLib.path import parse_path
from soapfilm.geometry.drawings import read_drawing
from soapfilm.geometry.errors import FileFormatError, GeometryError, InputError, UnitError

Make = Callable[..., Path]


def area(path: Path) -> float:
    return sum(r.area() for r in read_drawing(path).regions)


@pytest.mark.parametrize(
    ("element", "expected"),
    [
        ('<rect x="10" y="20" width="30" height="40"/>', 1200),
        ('<rect x="10" y="20" width="30" height="40" rx="5"/>', 1200 - 25 * (4 - math.pi)),
        ('<rect width="30" height="40" ry="5" rx="auto"/>', 1200 - 25 * (4 - math.pi)),
        ('<rect width="30" height="40" rx="99" ry="20"/>', math.pi * 15 * 20),
        ('<circle cx="5" cy="6" r="7"/>', 49 * math.pi),
        ('<ellipse rx="7" ry="7"/>', 49 * math.pi),
        ('<ellipse rx="7" ry="3"/>', 21 * math.pi),
        ('<polygon points="0,0 10,0 10,10"/>', 50),
        ('<polyline points="0 0 10 0 10 10 0 0"/>', 50),
        ('<line x2="10"/><line x1="10" x2="10" y2="10"/><line x2="10" y2="10"/>', 50),
        ('<path d="M0 0h10v10H0zM2,2l0 6 6 0 0-6z"/>', 64),
        ('<path d="M 10 0 a10 10 0 0120 0a10 10 0 01-20 0"/>', 100 * math.pi),
        ('<path d="M0 0 A 5 5 0 0 1 20 0z"/>', 50 * math.pi),  # radii too small grow
        ('<path d="M0 0 A 0 5 0 0 1 20 0L0 10z"/>', 100),  # no radius: straight
        ('<path d="m5-5.5.5.5-1e0 1z"/>', 0.5),
        ('<path d="none"/><path d=""/><rect width="1" height="1"/>', 1),
    ],
)
def test_areas_by_hand(svg: Make, element: str, expected: float) -> None:
    exact = "ellipse" not in element and 'ry="20"' not in element
    assert area(svg(element)) == pytest.approx(expected, rel=1e-13 if exact else 1e-6)


@pytest.mark.parametrize(
    "data",
    [
        "M10 10C20 0 40 0 50 10S80 30 60 50 20 60 10 40z",
        "M0 0Q20 30 40 0T80 0L80 -50 0 -50z",
        "m0 0c5 10 15 10 20 0s15-10 20 0t8 4l0 30-48 0z",
        "M10 80 A 45 30 20 1 0 90 70 L 50 20 z",
        "M0 0a20 10 0 0 1 20 10 20 10-30 0 1-25-12z",
        "M10 315 L 110 215 A 36 60 0 0 1 150.71 170.29 L 172.55 152.45 A 30 50 -45 0 1 215.1 109.9"
        " L 315 10 L 315 315 Z",
    ],
)
def test_paths_against_another_reader(svg: Make, data: str) -> None:
    """fontTools reads the same data; its arcs are Bezier curves good to a few parts in 10,000."""
    pen = AreaPen()
    parse_path(data, pen)
    tolerance = 1e-3 if "a" in data.lower() else 2e-6
    assert area(svg(f'<path d="{data}"/>')) == pytest.approx(abs(pen.value), rel=tolerance)


def test_arc_flags_choose_among_the_four_arcs(svg: Make) -> None:
    """Radius 5, chord 6 from the left to the right: centre 4 above or below it."""
    heights = {}
    for large in (0, 1):
        for sweep in (0, 1):
            path = svg(f'<path d="M0 0A5 5 0 {large} {sweep} 6 0z"/>')
            box = read_drawing(path).bounds()
            heights[large, sweep] = (round(box[1], 12), round(box[3], 12))
    # sweep 1 turns from x toward y, on paper downward: clockwise, so this arc runs over the chord
    assert heights == {(0, 0): (-1, 0), (0, 1): (0, 1), (1, 0): (-9, 0), (1, 1): (0, 9)}


def test_y_points_up_and_the_origin_stays(svg: Make) -> None:
    section = read_drawing(svg('<rect x="10" y="20" width="30" height="40"/>'))
    assert section.bounds() == (10, -60, 40, -20)


@pytest.mark.parametrize(
    ("transform", "box"),
    [
        ("translate(5)", (6, -4, 8, -2)),
        ("translate(5 7)", (6, -11, 8, -9)),
        ("scale(2)", (2, -8, 6, -4)),
        ("rotate(90)", (-4, -3, -2, -1)),
        ("rotate(180 2 3)", (1, -4, 3, -2)),
        ("matrix(0 1 -1 0 10 20)", (6, -23, 8, -21)),
        ("translate(1,1),scale(3)", (4, -13, 10, -7)),
        ("scale(3) translate(1,1)", (6, -15, 12, -9)),
        ("scale(1 -1)", (1, 2, 3, 4)),
        ("", (1, -4, 3, -2)),
    ],
)
def test_transforms_of_a_circle(svg: Make, transform: str, box: tuple[float, ...]) -> None:
    """Similarities keep it an exact circle."""
    section = read_drawing(svg(f'<circle cx="2" cy="3" r="1" transform="{transform}"/>'))
    assert section.bounds() == pytest.approx(box, abs=1e-14)
    assert section.notes == ()


@pytest.mark.parametrize("transform", ["scale(2 0.5)", "skewX(30)", "skewY(-20)"])
def test_transforms_that_make_an_ellipse(svg: Make, transform: str) -> None:
    """Their determinant is 1, so the area stays."""
    section = read_drawing(svg(f'<circle r="10" transform="{transform}"/>'))
    assert section.regions[0].area() == pytest.approx(100 * math.pi, rel=1e-6)
    assert "arcs within" in section.notes[0]


def test_groups_inside_groups(svg: Make) -> None:
    body = (
        '<g transform="translate(10 0)"><a><g transform="scale(2)">'
        '<path d="M0 0A1 1 0 0 1 2 0z" transform="rotate(90)"/></g></a></g>'
    )
    outline = read_drawing(svg(body)).regions[0].outline
    np.testing.assert_allclose(sorted(outline.points.tolist()), [[10, -4], [10, 0]], atol=1e-15)
    assert abs(outline.bulges).max() == pytest.approx(1.0, rel=1e-15)
    assert outline.bounds() == pytest.approx((10, -4, 12, 0), abs=1e-12)


@pytest.mark.parametrize(
    ("head", "unit", "side"),
    [
        ('width="100mm" height="100mm" viewBox="0 0 50 50"', "mm", 20.0),
        ('width="10cm" height="10cm" viewBox="0 0 50 50"', "cm", 2.0),
        ('width="2in" height="9in" viewBox="0 0 10 10"', "in", 2.0),
        (
            'width="2in" height="9in" viewBox="0 0 10 10" preserveAspectRatio="xMidYMid slice"',
            "in",
            9.0,
        ),
        ('width="72pt" height="72pt" viewBox="0 0 10 10"', "in", 1.0),
        ('width="25.4mm" height="25.4mm"', "mm", 10 * 25.4 / 96),
        ('data-length-unit="ft" width="10mm" height="10mm" viewBox="0 0 1 1"', "ft", 10.0),
    ],
)
def test_units(svg: Make, head: str, unit: str, side: float) -> None:
    section = read_drawing(svg('<rect width="10" height="10"/>', head))
    assert section.unit == unit
    assert section.bounds() == pytest.approx((0, -side, side, 0), rel=1e-15)


def test_uneven_scale_of_the_page(svg: Make) -> None:
    head = 'width="20mm" height="10mm" viewBox="0 0 10 10" preserveAspectRatio="none"'
    assert area(svg('<circle r="1"/>', head)) == pytest.approx(2 * math.pi, rel=1e-6)


def test_missing_and_contradicting_units(svg: Make) -> None:
    square = '<rect width="10" height="10"/>'
    with pytest.raises(UnitError, match="carry no mm, cm or in"):
        read_drawing(svg(square, 'width="100" height="100"'))
    section = read_drawing(svg(square, 'width="100" height="100"'), unit="in")
    assert (section.unit, section.bounds()[2]) == ("in", 10)
    other = read_drawing(svg(square, 'width="10mm" height="10mm" viewBox="0 0 5 5"'), unit="in")
    assert other.bounds()[2] == 10
    assert other.notes == ("drawing: the file declares mm; read in in as asked",)
    with pytest.raises(UnitError, match="'parsec' is not known"):
        read_drawing(svg(square, 'data-length-unit="parsec"'))


def test_named_groups_are_layers(svg: Make) -> None:
    body = (
        '<g id="web"><g id="inner"><rect width="10" height="50"/></g></g>'
        '<g id="g12"><rect x="10" width="10" height="50"/></g>'
        '<g xmlns:i="http://www.inkscape.org/namespaces/inkscape" i:label="Layer 1" id="layer1">'
        '<rect x="20" width="10" height="50"/></g><rect x="30" width="10" height="50"/>'
        '<g id="hole"><circle cx="25" cy="25" r="2"/></g>'
    )
    section = read_drawing(svg(body))
    assert [r.name for r in section.regions] == ["web", "", "Layer 1", ""]
    assert [len(r.holes) for r in section.regions] == [0, 0, 1, 0]


def test_hidden_and_shown_but_no_outline(svg: Make) -> None:
    body = (
        '<text>deck</text><rect width="9" height="9" display="none"/>'
        '<g style="display: none"><foo/></g><defs><circle r="1"/></defs>'
        '<!-- a comment --><circle r="3"/>'
    )
    section = read_drawing(svg(body))
    assert len(section.regions) == 1
    assert section.notes == ("drawing: not read: 1 hidden g, 1 hidden rect, 1 text",)


def test_an_open_path_is_open(svg: Make) -> None:
    with pytest.raises(GeometryError, match=r"open end at \(0.0, 0.0\) mm"):
        read_drawing(svg('<path d="M0 0L10 0L10 10"/>'))


@pytest.mark.parametrize(
    ("element", "message"),
    [
        ('<path d="M0 0L10"/>', "'L10': L takes 2 numbers"),
        ('<path d="M0 0L10 x"/>', "L takes 2 numbers"),
        ('<path d="L10 10z"/>', "begins with M"),
        ('<path d="M0 0z9"/>', "Z takes no numbers"),
        ('<path d="M0 0A1 1 0 2 0 3 3"/>', "A takes 7 numbers"),
        ('<path d="M0 0L1e999 3"/>', "not a usable coordinate"),
        ('<rect width="-1" height="2"/>', "positive width and height, got -1 and 2"),
        ('<rect width="10%" height="2"/>', "cannot read the length '10%'"),
        ('<circle r="0"/>', "two positive radii, got 0 and 0"),
        ('<circle r="1" transform="scale(0)"/>', "two positive radii"),
        ('<polygon points="1 2 3"/>', "x,y pairs"),
        ('<polygon points="1 2 3 a"/>', "x,y pairs"),
        ('<circle r="1" transform="spin(3)"/>', "cannot read the transform 'spin"),
        ('<circle r="1" transform="rotate(3"/>', "cannot read the transform 'rotate"),
        ('<circle r="1" transform="rotate(x)"/>', "numbers of the transform"),
        ('<use href="#a"/>', "no element has that id"),
        ('<svg><circle r="1"/></svg>', "<svg> .a drawing inside the drawing. is not read"),
        ("", "no lines, arcs or curves"),
    ],
)
def test_what_cannot_be_read(svg: Make, element: str, message: str) -> None:
    with pytest.raises(FileFormatError, match=message):
        read_drawing(svg(element))


@pytest.mark.parametrize(
    ("head", "message"),
    [
        ('width="1mm" height="1mm" viewBox="0 0 0 1"', "positive width and height"),
        ('width="1mm" height="1mm" viewBox="a b"', "viewBox 'a b'"),
        ('width="-1mm" height="1mm" viewBox="0 0 1 1"', "must be positive, got -1 and 1 mm"),
    ],
)
def test_pages_without_a_scale(svg: Make, head: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        read_drawing(svg('<circle r="1"/>', head))


def test_entities_are_refused_before_they_expand(text: Make) -> None:
    entities = "".join(f'<!ENTITY a{k} "{10 * (f"&a{k - 1};" if k else "ha")}">' for k in range(10))
    bomb = f'<!DOCTYPE svg [{entities}]><svg xmlns="http://www.w3.org/2000/svg">&a9;</svg>'
    with pytest.raises(FileFormatError, match="refused for safety"):
        read_drawing(text("laughs.svg", bomb))


def test_no_file_is_fetched(text: Make, tmp_path: Path) -> None:
    (tmp_path / "secret").write_text("secret")
    outside = (
        f'<!DOCTYPE svg [<!ENTITY x SYSTEM "file://{tmp_path}/secret">]>'
        '<svg xmlns="http://www.w3.org/2000/svg"><g id="&x;"><circle r="1"/></g></svg>'
    )
    with pytest.raises(FileFormatError, match="refused for safety"):
        read_drawing(text("outside.svg", outside), unit="mm")


def test_a_plain_doctype_is_harmless(text: Make) -> None:
    old = (
        '<?xml version="1.0"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" '
        '"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">'
        '<svg xmlns="http://www.w3.org/2000/svg"><circle r="1"/></svg>'
    )
    assert area(text("old.svg", old.replace("<svg ", '<svg data-length-unit="m" '))) > 3


@pytest.mark.parametrize(
    ("content", "message"),
    [
        ("<svg", "not well-formed"),
        ('<svg xmlns="http://www.w3.org/2000/svg"><g>', "not well-formed"),
        ("<html/>", "root element is not <svg>"),
        ("<svg/>", "lacks xmlns"),
        ("\x00\x01\x02", "not well-formed"),
        ('<svg xmlns="http://www.w3.org/2000/svg">' + 300 * "<g>", "128 nested XML elements"),
        (
            '<svg xmlns="http://www.w3.org/2000/svg" data-length-unit="mm">'
            + 40 * "<g>"
            + '<circle r="1"/>'
            + 40 * "</g>"
            + "</svg>",
            "32 nested groups",
        ),
        ('<svg xmlns="http://www.w3.org/2000/svg">' + 100_001 * "<g/>", "100000 XML elements"),
    ],
)
def test_what_is_no_svg(text: Make, content: str, message: str) -> None:
    with pytest.raises(FileFormatError, match=message):
        read_drawing(text("bad.svg", content))
