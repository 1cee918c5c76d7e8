"""Wrong input on the command line: exit code 2 and one line that names the file, part and place."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from soapfilm.cli.main import main

SQUARE = "[[0, 0], [10, 0], [10, 10], [0, 10]]"


def outlines(*points: str, holes: str = "") -> str:
    parts = [f"[[outline]]\npoints = {p}\n" for p in points]
    return 'unit = "mm"\n' + "".join(parts) + (f"holes = {holes}\n" if holes else "")


def shape(profile: str, **values: float) -> str:
    lines = "".join(f"{key} = {value}\n" for key, value in values.items())
    return f'unit = "mm"\n[[shape]]\nname = "rib"\nprofile = "{profile}"\n{lines}'


#: What is wrong, the file, and what the one line must name: part, place, remedy.
WRONG: dict[str, tuple[str, tuple[str, ...]]] = {
    "crossing edges": (
        outlines("[[0, 0], [10, 0], [0, 10], [10, 10]]"),
        ("the outline crosses itself near (5.0, 5.0) mm",),
    ),
    "crossing arcs": (
        outlines("[[0, 0], [10, 0, -2.5], [10, 4], [0, 4]]"),
        ("the outline", "mm"),
    ),
    "hole touches its outline in a point": (
        outlines(SQUARE, holes="[[[0, 5], [3, 3], [3, 7]]]"),
        ("hole 1 touches the outline near (0.0, 5.0) mm",),
    ),
    "hole runs along its outline": (
        outlines(SQUARE, holes="[[[0, 2], [3, 2], [3, 7], [0, 7]]]"),
        ("hole 1", "the outline", "(0.0,", "no wall"),
    ),
    "hole leaves its outline": (
        outlines(SQUARE, holes="[[[5, 5], [15, 5], [15, 8], [5, 8]]]"),
        ("hole 1 crosses the outline near (10.0, 8.0) mm",),
    ),
    "hole outside its outline": (
        outlines(SQUARE, holes="[[[20, 5], [25, 5], [25, 8]]]"),
        ("hole 1", "outside", "mm"),
    ),
    "holes overlap": (
        outlines(SQUARE, holes="[[[2, 2], [6, 2], [6, 6]], [[4, 1], [5, 1], [5, 8]]]"),
        ("hole 2", "hole 1", "mm"),
    ),
    "hole in a hole": (
        outlines(SQUARE, holes="[[[1, 1], [9, 1], [9, 9], [1, 9]], [[4, 4], [5, 4], [5, 5]]]"),
        ("hole 2", "hole 1", "mm"),
    ),
    "outline touches itself in a point": (
        outlines("[[0, 0], [10, 0], [5, 5], [10, 10], [0, 10], [5, 5]]"),
        ("the outline touches itself near (5.0, 5.0) mm",),
    ),
    "parts touch in a point": (
        outlines(SQUARE, "[[10, 10], [20, 10], [20, 20]]"),
        ("(10.0, 10.0) mm",),
    ),
    "parts not joined": (
        outlines(SQUARE, "[[20, 0], [30, 0], [30, 10]]"),
        ("not joined", "mm"),
    ),
    "zero thickness: a spike": (
        outlines("[[0, 0], [10, 0], [10, 10], [10, 20], [10, 10], [0, 10]]"),
        ("the outline", "zero thickness", "(10.0, 10.0)"),
    ),
    "zero thickness: a line": (
        outlines("[[0, 0], [10, 0], [20, 0]]"),
        ("the outline", "zero thickness"),
    ),
    "zero thickness: a wall": (
        shape("RectangleHollow", XDim=100, YDim=50, WallThickness=0),
        ("shape 1 'rib'", "WallThickness 0 mm must be a positive number"),
    ),
    "negative thickness": (
        shape("I", OverallWidth=100, OverallDepth=200, WebThickness=-5, FlangeThickness=8),
        ("shape 1 'rib'", "WebThickness -5 mm must be a positive number"),
    ),
    "walls thicker than the shape": (
        shape("RectangleHollow", XDim=100, YDim=50, WallThickness=30),
        ("shape 1 'rib'", "WallThickness 30 mm"),
    ),
    "fillet too large": (
        shape("L", Depth=50, Width=50, Thickness=10, FilletRadius=60),
        ("shape 1 'rib'", "FilletRadius 60 mm", "at most"),
    ),
    "duplicate points": (
        outlines("[[0, 0], [10, 0], [10, 0], [0, 10]]"),
        ("the outline", "vertex 3", "repeats vertex 2 at (10.0, 0.0) mm", "remove one"),
    ),
    "a contour closed twice": (
        outlines("[[0, 0], [10, 0], [10, 10], [0, 0]]"),
        ("the outline", "repeats", "(0.0, 0.0) mm"),
    ),
    "a sliver": (
        outlines("[[0, 0], [1000, 0], [1000, 1e-9], [0, 1e-9]]"),
        ("the outline", "mm"),
    ),
    "not a number": (outlines("[[0, 0], [10, nan], [10, 10]]"), ("outline 1", "nan")),
    "infinity": (outlines("[[0, 0], [inf, 0], [10, 10]]"), ("outline 1", "inf")),
    "too few points": (outlines("[[0, 0], [10, 0]]"), ("outline 1", "three vertices")),
    "unit missing": (
        f"[[outline]]\npoints = {SQUARE}\n",
        ('unit is missing; state the length unit at the top, like unit = "mm"',),
    ),
    "unit unknown": (
        f'unit = "furlong"\n[[outline]]\npoints = {SQUARE}\n',
        ("'furlong' is not known", "mm"),
    ),
    "wrong dimension": (shape("Circle", Radius='"5 kN"'), ("shape 1 'rib'", "Radius", "5 kN")),  # type: ignore[arg-type]
    "profile unknown": (shape("Trapesium"), ("shape 1 'rib'", "'Trapesium' is not known")),
    "dimension missing": (shape("Rectangle", XDim=5), ("shape 1 'rib'", "needs YDim")),
    "not TOML": ("unit = [mm", ("not valid TOML",)),
    "empty": ("", ("unit is missing",)),
}


@pytest.mark.parametrize("wrong", WRONG)
@pytest.mark.parametrize("command", [["section"], ["stress", "T = 1 kN*m"]], ids=lambda c: c[0])
def test_wrong_sections(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], wrong: str, command: list[str]
) -> None:
    text, parts = WRONG[wrong]
    file = tmp_path / "deck.toml"
    file.write_text(text)
    figure = tmp_path / "old.svg"
    figure.write_text("old")
    code = main([command[0], str(file), *command[1:], "--figure", str(figure)])
    line = _the_line(capsys)
    assert code == 2, line
    assert line.startswith(f"soapfilm: error: {file}: ")
    assert line.count(str(file)) == 1
    for part in parts:
        assert part in line, line
    assert figure.read_text() == "old"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["deck.toml", "old.svg"]


@pytest.mark.parametrize(
    ("name", "text", "options", "says"),
    [
        ("a.wkt", "POLYGON((0 0, 10 0, 10 10))", [], "unit"),
        ("a.wkt", "POLYGON((0 0, 10 0, 10", ["--unit", "mm"], "WKT"),
        ("a.wkt", "POINT(1 2)", ["--unit", "mm"], "no outline"),
        ("a.wkt", "POLYGON((0 0, 10 0, 0 10, 10 10, 0 0))", ["--unit", "mm"], "(5.0, 5.0) mm"),
        ("a.txt", "hello", [], "'.txt' is not known"),
        ("a.toml", outlines(SQUARE), ["--unit", "in"], "the file is in mm, not in in"),
        ("a.toml", b"\xff\xfe\x00", [], "not UTF-8"),
    ],
)
def test_wrong_files(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    name: str,
    text: str | bytes,
    options: list[str],
    says: str,
) -> None:
    file = tmp_path / name
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    assert main(["section", str(file), *options]) == 2
    line = _the_line(capsys)
    assert line.startswith(f"soapfilm: error: {file}: ")
    assert says in line


def test_files_that_are_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["section", str(tmp_path / "none.toml")]) == 2
    assert "none.toml" in (line := _the_line(capsys))
    assert "No such file" in line
    (tmp_path / "folder.toml").mkdir()
    assert main(["section", str(tmp_path / "folder.toml")]) == 2
    assert "folder.toml" in _the_line(capsys)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read anything")
def test_a_file_that_may_not_be_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "locked.toml"
    file.write_text(outlines(SQUARE))
    file.chmod(0)
    assert main(["section", str(file)]) == 2
    assert "Permission denied" in _the_line(capsys)


@pytest.mark.parametrize("figure", ["missing/a.svg", "folder.svg"])
def test_places_that_cannot_be_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], figure: str
) -> None:
    """Found out before the solve, and said about the figure, not the section."""
    file = tmp_path / "a.toml"
    file.write_text(outlines(SQUARE))
    (tmp_path / "folder.svg").mkdir()
    assert main(["section", str(file), "--figure", str(tmp_path / figure)]) == 2
    line = _the_line(capsys)
    assert line.startswith(f"soapfilm: error: cannot write {tmp_path / figure}: ")


@pytest.mark.parametrize("clockwise", [True, False])
def test_orientation_is_repaired_silently(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], clockwise: bool
) -> None:
    step = (
        "[[0, 0], [0, 10], [20, 10], [20, 0]]"
        if clockwise
        else "[[0, 0], [20, 0], [20, 10], [0, 10]]"
    )
    (tmp_path / "a.toml").write_text(outlines(step))
    assert main(["section", str(tmp_path / "a.toml")]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert "  200  mm²" in out


def _the_line(capsys: pytest.CaptureFixture[str]) -> str:
    """What went to stderr, which must be one line, and nothing to stdout."""
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1, err
    return err.rstrip("\n")
