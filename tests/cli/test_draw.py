"""`soapfilm draw`: the figure, the outline as a drawing, and what is shown of a file that is
wrong."""

from __future__ import annotations

import re
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from soapfilm.cli.main import main
from soapfilm.geometry.section_file import load_section

BOX = """
name = "box"
unit = "mm"
[material.steel]
grade = "S355"
[material.timber]
grade = "C24"
[[plate]]
name = "lid"
material = "timber"
points = [[-50, 55], [50, 55]]
thickness = 10
[[plate]]
name = "tray"
material = "steel"
points = [[-40, 50], [-40, 0], [40, 0], [40, 50]]
thickness = 6
bend_radius = 8
[[weld]]
name = "glue line"
between = ["lid", "tray"]
kind = "full"
near = [-40, 50]
length = 30
pitch = 90
"""
CROSSED = 'unit = "mm"\n[[outline]]\npoints = [[0, 0], [10, 0], [0, 10], [10, 10]]\n'
SQUARE = "[[0, 0], [10, 0], [10, 10], [0, 10]]"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "box.toml").write_text(BOX)
    (tmp_path / "crossed.toml").write_text(CROSSED)
    return tmp_path


def texts(path: Path) -> list[str]:
    """What is written in an SVG figure."""
    return re.findall(r"<text [^>]*>([^<]+)</text>", path.read_text("utf-8"))


def test_figure_and_table_name_every_part(folder: Path, capsys) -> None:
    assert main(["draw", "box.toml"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert "figure written to box-drawing.svg" in out
    written = texts(folder / "box-drawing.svg")
    for words in ("box", "1 lid", "2 tray", "glue line", "slit 1", "100 mm", "steel", "timber"):
        assert words in written, words
    assert "slit: touching, not joined" in written
    assert "throat of an intermittent weld" in written
    assert "10" in written  # the lid's thickness
    for words in ("lid", "tray", "timber", "glue line", "30 every 90", "contact of 'lid' and"):
        assert words in out, words


@pytest.mark.parametrize("ending", ["svg", "png", "pdf"])
def test_kinds_of_figures(folder: Path, capsys, ending: str) -> None:
    assert main(["draw", "box.toml", "--figure", f"a.{ending}"]) == 0
    start = (folder / f"a.{ending}").read_bytes()[:200]
    assert {"svg": b"<svg", "png": b"\x89PNG", "pdf": b"%PDF"}[ending] in start
    assert f"figure written to a.{ending}" in capsys.readouterr().out


@pytest.mark.parametrize("ending", ["dxf", "svg"])
def test_the_outline_reads_back_exactly(folder: Path, capsys, ending: str) -> None:
    assert main(["draw", "box.toml", "--outline", f"o.{ending}"]) == 0
    assert not list(folder.glob("*-drawing.svg"))  # only what was asked for
    own, back = load_section("box.toml"), load_section(f"o.{ending}")
    assert back.unit == "mm"
    assert len(back.regions) == len(own.regions)
    for one, other in zip(own.regions, back.regions, strict=True):
        assert other.name == one.name
        for a, b in zip(one.contours, other.contours, strict=True):
            np.testing.assert_array_equal(a.points, b.points)
            np.testing.assert_array_equal(a.bulges, b.bulges)
    assert [s.points for s in back.slits] == [s.points for s in own.slits]


def test_in_another_unit(folder: Path, capsys) -> None:
    words = ["draw", "box.toml", "--output-unit", "cm", "--figure", "f.svg", "--outline", "o.dxf"]
    assert main(words) == 0
    assert "10 cm" in texts(folder / "f.svg")
    assert load_section("o.dxf").bounds() == pytest.approx((-5, -0.3, 5, 6))
    assert load_section("o.dxf").unit == "cm"


def test_an_invalid_section_is_drawn_with_the_place_marked(folder: Path, capsys) -> None:
    assert main(["draw", "crossed.toml", "--figure", "c.svg"]) == 2
    out, err = capsys.readouterr()
    assert err.startswith("soapfilm: error: crossed.toml: the outline crosses itself near (5.0")
    assert err.count("\n") == 1
    assert "figure written to c.svg" in out
    written = texts(folder / "c.svg")
    assert "(5, 5)" in written
    assert "place of the error" in written
    assert any(line.startswith("the outline crosses itself near (5.0, 5.0) mm") for line in written)


def test_parts_that_cannot_be_combined_are_drawn_apart(folder: Path, capsys) -> None:
    text = f"""
unit = "mm"
[[outline]]
points = {SQUARE}
[[outline]]
combine = "cut"
points = [[2, 2], [8, 2], [2, 8], [8, 8]]
[[shape]]
profile = "Circle"
Radius = "no number"
[[shape]]
profile = "Circle"
Radius = 3
move = [10, 5]
"""
    (folder / "a.toml").write_text(text)
    assert main(["draw", "a.toml", "--figure", "a.svg"]) == 2
    out, err = capsys.readouterr()
    assert "shape 1" in err
    assert "2 regions; not valid" in out  # the square and the second circle
    assert "cut out" in texts(folder / "a.svg")


def test_welds_that_do_not_fit_leave_the_plates(folder: Path, capsys) -> None:
    (folder / "a.toml").write_text(BOX.replace('kind = "full"', "leg = 500"))
    assert main(["draw", "a.toml", "--figure", "a.svg"]) == 2
    assert "weld 'glue line'" in capsys.readouterr().err
    assert {"1 lid", "2 tray"} <= set(texts(folder / "a.svg"))


def test_a_drawing_that_does_not_close_shows_its_lines(folder: Path, capsys) -> None:
    document = ezdxf.new("R2010", units=4)
    document.header["$INSUNITS"] = 4
    space = document.modelspace()
    space.add_line((0, 0), (100, 0))
    space.add_arc((100, 25), 25, 270, 90)
    space.add_line((100, 50), (0, 50))
    space.add_line((0, 48), (0, 0))
    document.saveas("open.dxf")
    assert main(["draw", "open.dxf", "--figure", "a.svg"]) == 2
    out, err = capsys.readouterr()
    assert "open end at (0.0, 50.0) mm" in err
    written = texts(folder / "a.svg")
    assert {"lines of the drawing", "place of the error", "(0, 50)", "125 mm"} <= set(written)
    assert "4 lines, no section" in out


def test_pressed_parts_are_drawn_and_named(folder: Path, capsys) -> None:
    (folder / "a.toml").write_text(BOX[: BOX.index("[[weld]]")])
    assert main(["draw", "a.toml", "--figure", "a.svg"]) == 0
    assert "2 unconnected parts, in contact only" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("a.toml", "", "there is no part"),
        ("a.toml", "unit = [", "not valid TOML"),
        ("a.toml", 'unit = "mm"\n[[outline]]\npoints = [[0, 0], [1, 0]]', "three vertices"),
        ("a.wkt", "POINT(1 2)", "no outline"),
        ("a.txt", "hello", "'.txt' is not known"),
        ("a.dxf", "0\nEOF\n", "DXF"),
    ],
)
def test_nothing_to_draw(folder: Path, capsys, name: str, text: str, says: str) -> None:
    (folder / name).write_text(text)
    (folder / "old.svg").write_text("old")
    assert main(["draw", name, "--unit", "mm", "--figure", "old.svg"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert says in err
    assert (folder / "old.svg").read_text() == "old"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["none.toml"], "none.toml"),
        (["box.toml", "--outline", "a.pdf"], "end it in .dxf or .svg"),
        (["box.toml", "--figure", "a.dxf"], "does not say which kind of figure"),
        (["box.toml", "--figure", "a.svg", "--outline", "a.svg"], "give each its own"),
        (["drawing.svg", "--outline", "drawing.svg"], "is an input of this command"),
        (["box.toml", "--figure", "no/a.svg"], "does not exist; make it first"),
    ],
)
def test_refusals(folder: Path, capsys, words: list[str], says: str) -> None:
    (folder / "drawing.svg").write_text("<svg/>")
    assert main(["draw", *words]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert says in err
    assert (folder / "drawing.svg").read_text() == "<svg/>"
