"""`soapfilm joint`: file, table, record, figure, refusals."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from soapfilm.cli.main import main

JOINT = """
unit = "mm"
[[joint]]
name = "joist fin"
kind = "fin plate"
bolt = "M20"
grade = "8.8"
rows = 3
pitch = 70
arm = 60
end_distance = 40
side_distance = 40
thickness = 10
weld = 6
ultimate = "430 MPa"
beam_web = 6.2
[[case]]
name = "crowd"
V = "85 kN"
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A joint file."""
    path = tmp_path / "joints.toml"
    path.write_text(JOINT)
    return path


def test_table_record_figure_and_csv(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    figure, rows = tmp_path / "joint.svg", tmp_path / "joint.csv"
    words = ["joint", str(file), "--turn", "2 deg", "--figure", str(figure), "--csv", str(rows)]
    assert main(words) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert "Rotational stiffness about z" in out
    assert "1 *" in out
    assert "fitted bolts" in out
    text = figure.read_text()
    assert "joist fin: fin plate, under “crowd”" in text
    assert "1: 28.3" in text
    table = list(csv.reader(rows.read_text().splitlines()))
    assert [r[3] for r in table[1:4]] == ["bolts"] * 3
    assert float(table[1][8]) == pytest.approx(85e3 / 3)


def test_record(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["joint", str(file), "V = 60 kN", "M_z = 1 kN*m", "--json", "--turn", "1"]) == 0
    (joint,) = json.loads(capsys.readouterr().out)["joints"]
    (case,) = joint["cases"]
    assert case["force"] == [0.0, -60e3, 0.0]
    assert case["moment"][2] == pytest.approx(1e6 - 60e3 * 60)
    assert joint["given_turn"]["details"][0]["detail"] == "as it stands"


def test_inches_are_shown_in_inches(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "tab.toml"
    path.write_text(
        """
unit = "in"
[[joint]]
name = "tab"
kind = "fin plate"
bolt = "3/4 in"
grade = "A325"
rows = 4
pitch = 3
arm = 3
end_distance = 1.5
side_distance = 1.5
thickness = "3/8 in"
weld = "1/4 in"
ultimate = "58 ksi"
"""
    )
    assert main(["joint", str(path), "V = 30 kip"]) == 0
    out = capsys.readouterr().out
    assert "kip·in/rad" in out
    assert "7.5 kip" in out
    assert "holes of 0.8125 in" in out


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (('grade = "8.8"', 'grade = "8.9"'), "joint 1 'joist fin': bolt: bolt grade '8.9' is not"),
        (('kind = "fin plate"', 'kind = "fin"'), 'kind is one of "fin plate"'),
        (("pitch = 70", "pitch = nan"), "pitch"),
        (("weld = 6", "weld = 0"), "weld must be a positive length"),
        (("arm = 60", "arms = 60"), "'arms' is not a key of joint; did you mean arm"),
        (("pitch = 70", "pitch = 15"), "overlap"),
        (('V = "85 kN"', 'joint = "joist fim"\nV = "85 kN"'), "did you mean 'joist fin'"),
        (('V = "85 kN"', ""), "nothing acts"),
        (('unit = "mm"', ""), "unit is missing"),
    ],
)
def test_mistakes_are_one_line(
    file: Path, capsys: pytest.CaptureFixture[str], change: tuple[str, str], words: str
) -> None:
    file.write_text(JOINT.replace(*change))
    assert main(["joint", str(file)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert words in err


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--joint", "x"], "there is no joint 'x'"),
        (["--case", "x"], "there is no case 'x'; the file has crowd"),
        (["V 60 kN"], "is no action"),
        (["V = 60"], "has no unit"),
        (["--turn", "-1"], "--turn must be an angle above zero"),
        (["--turn", "200 deg"], "at most 30 deg, as springs and slip are those of small turns"),
    ],
)
def test_wrong_options_are_one_line(
    file: Path, capsys: pytest.CaptureFixture[str], options: list[str], words: str
) -> None:
    assert main(["joint", str(file), *options]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert words in err
