"""No output takes the place of an input, by whatever name; what is no ordinary file is refused."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path

import pytest
from soapfilm.cli.main import main

BOX = 'unit = "mm"\n[[shape]]\nprofile = "Rectangle"\nXDim = 60\nYDim = 40\n'
SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">'
    '<rect width="60" height="40"/></svg>'
)
WALLS = (
    'section = "box.toml"\n[[parameter]]\nname = "x"\nsets = "shape.1.XDim"\nvalues = [60, 61]\n'
)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "box.toml").write_text(BOX)
    (tmp_path / "box.svg").write_text(SVG)
    (tmp_path / "holder.toml").write_text('unit = "mm"\n[[drawing]]\nfile = "box.svg"\n')
    return tmp_path


def _kept(
    path: Path, words: list[str], capsys: pytest.CaptureFixture[str], says: str = "is an input"
) -> None:
    before = path.read_bytes()
    assert main(words) == 2
    assert path.read_bytes() == before
    error = capsys.readouterr().err
    assert says in error
    assert error.count("\n") == 1


def test_a_drawing_is_not_replaced_by_its_figure(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = folder / "box.svg"
    _kept(path, ["section", "box.svg", "--figure", "box.svg"], capsys)
    _kept(path, ["stress", "box.svg", "T = 1 kN*m", "--figure", "./box.svg"], capsys)
    _kept(path, ["compare", "box.toml", "box.svg", "--figure", "box.svg"], capsys)


@pytest.mark.parametrize("link", [os.symlink, os.link])
def test_a_link_is_the_file(folder: Path, link, capsys: pytest.CaptureFixture[str]) -> None:  # type: ignore[no-untyped-def]
    link(folder / "box.svg", folder / "other.svg")
    _kept(folder / "box.svg", ["section", "box.svg", "--figure", "other.svg"], capsys)


def test_a_drawing_named_inside_a_file_is_an_input(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _kept(folder / "box.svg", ["section", "holder.toml", "--figure", "box.svg"], capsys)


def test_a_section_named_in_a_study_is_not_replaced(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "walls.toml").write_text(WALLS)
    _kept(folder / "walls.toml", ["sweep", "walls.toml", "--csv", "walls.toml"], capsys)
    _kept(folder / "box.toml", ["sweep", "walls.toml", "--csv", "box.toml"], capsys)
    _kept(folder / "box.toml", ["sweep", "walls.toml", "--output", "box.toml"], capsys)


def test_a_database_of_others_is_not_touched(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "walls.toml").write_text(WALLS)
    base = sqlite3.connect(folder / "bolts.sqlite")
    base.execute("CREATE TABLE bolts (size TEXT)")
    base.commit()
    base.close()
    words = ["sweep", "walls.toml", "--output", "bolts.sqlite"]
    _kept(folder / "bolts.sqlite", words, capsys, says="not a file of study rows")
    assert not list(folder.glob("bolts.sqlite-*"))


@pytest.mark.parametrize("command", ["section", "draw", "member", "sweep", "size", "report"])
def test_a_pipe_is_refused_at_once(
    folder: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    os.mkfifo(folder / "pipe.toml")
    assert main([command, "pipe.toml"]) == 2
    assert "is a pipe; give a file" in capsys.readouterr().err


def test_a_drawing_that_is_a_pipe_is_refused(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    os.mkfifo(folder / "pipe.dxf")
    (folder / "holder.toml").write_text('unit = "mm"\n[[drawing]]\nfile = "pipe.dxf"\n')
    for words in (["section", "pipe.dxf"], ["section", "holder.toml"]):
        assert main(words) == 2
        assert "is a pipe; give a file" in capsys.readouterr().err


def test_a_device_is_refused(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "zero.toml").symlink_to("/dev/zero")
    assert main(["section", "zero.toml"]) == 2
    assert "is a device; give a file" in capsys.readouterr().err


@pytest.mark.parametrize(
    "words",
    [
        ["stress", "box.toml", "T = 1 kN*m", "--export", "a.csv", "--export", "./a.csv"],
        ["buckle", "box.toml", "N = -1 kN", "--figure", "a.svg", "--csv", "a.svg"],
        ["pays", "box.toml", "--figure", "a.svg", "--csv", "a.svg"],
        ["sweep", "walls.toml", "--csv", "walls.sqlite"],
    ],
)
def test_no_output_takes_the_place_of_another(
    folder: Path, words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """The later one did, the rows of a study's store among them, and both were said to be
    written."""
    (folder / "walls.toml").write_text(WALLS)
    assert main(words) == 2
    assert "name the same file" in capsys.readouterr().err
    assert not list(folder.glob("a.*"))
