"""A rolled shape's designation stands where a section file is expected, with a grade if needed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from soapfilm.cli.main import main
from soapfilm.geometry.catalogue import listing


def test_a_designation_is_solved_as_its_outline(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["section", "heb 300", "--json", "--accuracy", "1e-4"]) == 0
    record = json.loads(capsys.readouterr().out)
    tabulated = listing("HEB300")
    assert record["area"] == pytest.approx(tabulated.area, rel=2e-3)  # the table's three digits


def test_with_a_grade_it_buckles(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["buckle", "IPE300", "N = -1 kN"]) == 2
    assert "material" in capsys.readouterr().err
    assert main(["stress", "IPE300", "M_x = 10 kN*m", "--material", "S355", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)


def test_a_fraction_in_a_designation_names_no_folder(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["report", "L4X4X1/2", "--accuracy", "1e-3"]) == 0
    assert [path.name for path in tmp_path.iterdir()] == ["L4X4X1-2.html"]
    assert "soapfilm report L4X4X1/2" in (tmp_path / "L4X4X1-2.html").read_text()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["section", "HEB303"], "did you mean HEB300"),
        (["section", "nowhere.toml"], "No such file"),
        (["section", "HEB300", "--unit", "mm"], "for drawings"),
        (["section", "HEB300", "--material", "S999"], "S999"),
    ],
)
def test_what_is_no_section(
    words: list[str], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    assert told in capsys.readouterr().err


def test_a_grade_that_is_not_used_is_told(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """A file that names its material keeps it; a grade that nobody knows is refused there too."""
    file = tmp_path / "bar.toml"
    file.write_text(
        'unit = "mm"\n[material.steel]\ngrade = "S355"\n'
        '[[shape]]\nprofile = "Rectangle"\nXDim = 60\nYDim = 40\n'
    )
    given = ["stress", str(file), "N = 10 kN", "--accuracy", "1e-3", "--material"]
    assert main([*given, "S275"]) == 0
    assert "--material S275 is not used: every part names" in " ".join(
        capsys.readouterr().out.split()
    )
    assert main([*given, "S999"]) == 2
    assert "S999" in capsys.readouterr().err
