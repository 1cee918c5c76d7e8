"""A section written and read back is the same: vertices, bulges, holes, parts, slits, unit."""

from __future__ import annotations

import math
import re
import tempfile
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from ezdxf.entities import LWPolyline
from fontTools.pens.areaPen import AreaPen
from fontTools.svgLib.path import parse_path
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon
from soapfilm.geometry.checks.validate import check
from soapfilm.geometry.drawings import read_drawing, write_drawing
from soapfilm.geometry.errors import InputError, UnitError
from soapfilm.geometry.material import Material
from soapfilm.geometry.outline.contour import Contour
from soapfilm.geometry.outline.placement import Placement
from soapfilm.geometry.section import Region, Section, Slit

KINDS = ["dxf", "svg"]
BOX = Contour([[0, 0], [100, 0], [100, 50], [0, 50]], [0, 0.4142, 0, -0.2])


def back(section: Section, kind: str, **how: object) -> Section:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"{section.name}.{kind}"
        path.write_bytes(write_drawing(section, kind))
        return read_drawing(path, **how)  # type: ignore[arg-type]


def assert_same(one: Section, other: Section) -> None:
    assert [len(r.holes) for r in one.regions] == [len(r.holes) for r in other.regions]
    for a, b in zip(one.contours(), other.contours(), strict=True):
        np.testing.assert_array_equal(a.points, b.points)
        np.testing.assert_array_equal(a.bulges, b.bulges)
    assert [(s.points, s.bulges) for s in one.slits] == [(s.points, s.bulges) for s in other.slits]
    assert one.unit == other.unit


@st.composite
def stars(draw: st.DrawFn) -> Contour:
    """Star-shaped contours with gentle arcs: never self-crossing."""
    n = draw(st.integers(4, 9))
    part = st.floats(-0.15, 0.15)
    angle = (np.arange(n) + [draw(part) for _ in range(n)]) * 2 * np.pi / n
    radius = np.array([draw(st.floats(70, 100)) for _ in range(n)])
    bend = st.floats(1e-9, 0.12)
    bulge = [draw(st.one_of(st.just(0.0), bend, bend.map(lambda b: -b))) for _ in range(n)]
    return Contour(radius[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1), bulge)


@st.composite
def sections(draw: st.DrawFn) -> Section:
    """One to three parts side by side, some hollow, some with an island, of any size anywhere."""
    regions = []
    for k in range(draw(st.integers(1, 3))):
        outline = draw(stars())
        away = Placement.move(250.0 * k, 0.0)
        name = f"part {chr(97 + k)}" if draw(st.booleans()) else ""
        holes = []
        if draw(st.booleans()):
            holes.append(draw(stars()).placed(Placement.scale(0.2)))
            if draw(st.booleans()):
                island = draw(stars()).placed(Placement.scale(0.03).then(away))
                regions.append(Region(island))
        regions.append(Region(outline, tuple(holes), name=name).placed(away))
    where = Placement.scale(draw(st.floats(1e-3, 1e3))).then(
        Placement.move(draw(st.floats(-1e4, 1e4)), draw(st.floats(-1e4, 1e4)))
    )
    unit = draw(st.sampled_from(["mm", "cm", "m", "in", "ft"]))
    return Section(tuple(regions), "any", unit).placed(where)


@settings(max_examples=60, deadline=None)
@given(section=sections(), kind=st.sampled_from(KINDS))
def test_any_section_comes_back_exactly(section: Section, kind: str) -> None:
    assert_same(section, back(section, kind))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("bulge", [1.0, -0.7, 0.999999, 1.000001, 2.4, 9.0, 1e-9])
def test_large_half_and_nearly_straight_arcs(kind: str, bulge: float) -> None:
    # a keyhole: the arc bulges out of the upper side
    outline = Contour(
        [[0, 0], [40, 0], [40, 30], [22, 30], [18, 30], [0, 30]], [0, 0, 0, bulge, 0, 0]
    )
    section = Section.single(outline, unit="mm")
    assert_same(section, back(section, kind))


def test_an_arc_that_nearly_closes_is_halved_in_svg() -> None:
    outline = Contour(
        [[0, 0], [40, 0], [40, 30], [20.05, 30], [20, 30], [0, 30]], [0, 0, 0, 40, 0, 0]
    )
    section = Section.single(outline, unit="mm")
    assert_same(section, back(section, "dxf"))
    again = back(section, "svg").regions[0]
    assert len(again.outline) == len(outline) + 1
    assert again.area() == pytest.approx(outline.area(), rel=1e-13)


@pytest.mark.parametrize("kind", KINDS)
def test_composite_section_with_filled_hole_and_slit(kind: str) -> None:
    inner = Contour.circle((50, 25), 10)
    section = Section(
        (
            Region(
                Contour([[0, 0], [100, 0], [100, 50], [0, 50]]),
                (inner,),
                Material("steel", 2e5),
                "tube",
            ),
            Region(inner, material=Material("grout", 3e4)),
            Region(Contour([[0, 50], [100, 50], [100, 60], [0, 60]]), name="tube"),
        ),
        "composite",
        "mm",
        (
            Slit(((20.0, 50.0), (40.0, 50.0)), name="unwelded"),
            Slit(((5.0, 5.0), (9.0, 5.0)), (0.5,)),
        ),
    )
    again = back(section, kind)
    assert_same(section, again)
    assert [r.name for r in again.regions] == ["tube", "grout", "tube 2"]
    assert [s.name for s in again.slits] == ["slit unwelded", "slit"]
    assert again.name == "composite"
    assert any("unspecified material" in note for note in again.notes)
    check(again)


@pytest.mark.parametrize("kind", KINDS)
def test_materials_are_given_by_layer(kind: str) -> None:
    steel, other = Material("steel", 2e5), Material("timber", 1.1e4)
    section = Section(
        (Region(BOX, name='web <&">'), Region(Contour.circle((200, 0), 9), name="bar")), "s", "mm"
    )
    names = [r.name for r in back(section, kind).regions]
    again = back(section, kind, materials={names[0]: steel, names[1]: other})
    assert [r.material for r in again.regions] == [steel, other]
    assert again.notes == ()
    only = back(section, kind, layers=["bar"])
    assert len(only.regions) == 1
    with pytest.raises(InputError, match=r"no layer 'bra'.*did you mean 'bar'"):
        back(section, kind, layers=["bra"])
    with pytest.raises(InputError, match="no layer 'BAR!'"):
        back(section, kind, materials={"BAR!": steel})


@pytest.mark.parametrize("kind", KINDS)
def test_a_section_without_unit_needs_one_when_read(kind: str) -> None:
    section = Section.single(BOX)
    with pytest.raises(UnitError, match="--unit mm"):
        back(section, kind)
    assert_same(Section.single(BOX, unit="in"), back(section, kind, unit="in"))


def test_other_kinds_are_refused() -> None:
    with pytest.raises(InputError, match="dxf or svg, not 'pdf'"):
        write_drawing(Section.single(BOX), "pdf")


def chords(polyline: LWPolyline) -> list[tuple[float, float]]:
    """Points along a polyline as another reader sees it: lines, and arcs that always turn left."""
    points = [tuple(polyline[0])[:2]]
    for part in polyline.virtual_entities():
        arc = part.dxftype() == "ARC"
        run = [
            tuple(v)[:2] for v in (part.flattening(1e-6) if arc else (part.dxf.start, part.dxf.end))
        ]
        ahead = math.dist(run[0], points[-1]) < math.dist(run[-1], points[-1])
        points += run[1:] if ahead or run[0] == run[-1] else run[-2::-1]
    return points


def test_dxf_is_sound_and_shows_the_area_to_another_reader(tmp_path: Path) -> None:
    section = Section.single(BOX, [Contour.circle((40, 25), 8)], unit="in")
    path = tmp_path / "out.dxf"
    path.write_bytes(write_drawing(section, ".DXF"))
    document = ezdxf.readfile(path)
    assert not document.audit().has_errors
    assert document.header["$INSUNITS"] == 1
    outer, inner = (Polygon(chords(polyline)).area for polyline in document.modelspace())
    assert outer - inner == pytest.approx(section.regions[0].area(), rel=1e-6)


def test_svg_shows_the_area_to_another_reader() -> None:
    section = Section.single(BOX, [Contour.circle((40, 25), 8)], unit="mm")
    data = write_drawing(section, "svg").decode()
    pen = AreaPen()
    parse_path(re.search(r' d="([^"]+)"', data)[1], pen)  # type: ignore[index]
    # y points down there, which turns the sign; that reader replaces arcs by Bezier curves
    assert -pen.value == pytest.approx(section.regions[0].area(), rel=1e-3)


@settings(max_examples=40, deadline=None)
@given(outline=stars())
def test_svg_arcs_alone_determine_the_shape(outline: Contour) -> None:
    """Without the bulges kept beside them, as another program would leave the file."""
    section = Section.single(outline, unit="mm")
    data = re.sub(rb' data-bulges="[^"]*"', b"", write_drawing(section, "svg"))
    assert b"bulges" not in data
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bare.svg"
        path.write_bytes(data)
        again = read_drawing(path).regions[0].outline
    np.testing.assert_array_equal(outline.points, again.points)
    np.testing.assert_allclose(again.bulges, outline.bulges, rtol=1e-12, atol=1e-12)


def test_an_edited_path_overrules_the_kept_bulges(tmp_path: Path) -> None:
    data = write_drawing(Section.single(Contour.circle((0, 0), 10), unit="mm"), "svg")
    path = tmp_path / "edited.svg"
    path.write_bytes(data.replace(b"A10 10", b"A12 12"))
    # two arcs of radius 12 over a chord of 20: a lens
    half = np.arcsin(10 / 12)
    lens = 2 * 12**2 * (half - np.sin(half) * np.cos(half))
    assert read_drawing(path).regions[0].area() == pytest.approx(lens, rel=1e-13)
