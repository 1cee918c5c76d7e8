"""--output-unit of studies: the same rows, candidates and figures in the unit asked for."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from soapfilm.cli.main import main

from .test_study_commands import MEMBER, PIPE, SIZE

SECTIONS = """
section = "pipe.toml"
[[parameter]]
name = "t"
sets = "pipe.WallThickness"
values = [4, "1/4 in"]
"""
MEMBERS = """
member = "member.toml"
[[parameter]]
name = "load"
sets = "load.1.weight"
values = ["3 kN/m", "4 kN/m"]
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name, text in (
        ("pipe", PIPE),
        ("member", MEMBER),
        ("size", SIZE),
        ("sections", SECTIONS),
        ("members", MEMBERS),
    ):
        (tmp_path / f"{name}.toml").write_text(text, "utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def _rows(study: str, unit: str) -> list[dict[str, str]]:
    out = f"{study}-{unit}"
    main(["sweep", f"{study}.toml", "--output-unit", unit, "--workers", "1", "--no-cache",
          "--output", f"{out}.sqlite", "--csv", f"{out}.csv"])  # fmt: skip
    with Path(f"{out}.csv").open(newline="") as file:
        return list(csv.DictReader(file))


def test_rows_of_sections_are_in_the_unit_asked_for(folder: Path) -> None:
    """Bare numbers keep the file's unit: 4 is 4 mm in both."""
    metric, inches = _rows("sections", "mm"), _rows("sections", "in")
    for column, power in (("area", 2), ("torsion_constant", 4), ("torsion_modulus", 3)):
        for a, b in zip(metric, inches, strict=True):
            assert float(a[column]) == pytest.approx(25.4**power * float(b[column]), rel=2e-4)


def test_rows_of_members_are_in_the_unit_asked_for(folder: Path) -> None:
    metric, inches = _rows("members", "mm"), _rows("members", "in")
    for a, b in zip(metric, inches, strict=True):
        assert float(a["displacement"]) == pytest.approx(25.4 * float(b["displacement"]), rel=1e-5)
        assert float(a["stress"]) == pytest.approx(6.894757 * float(b["stress"]), rel=1e-3)
        assert float(a["twist_deg"]) == pytest.approx(float(b["twist_deg"]), rel=1e-5)


def test_rows_in_another_unit_do_not_mix(folder: Path) -> None:
    """The same file of rows, asked again in another unit, holds rows of that unit alone."""
    for unit, area in (("mm", 1457.7), ("cm", 14.577)):
        main(["sweep", "sections.toml", "--output-unit", unit, "--workers", "1",
              "--output", "rows.sqlite", "--csv", "rows.csv"])  # fmt: skip
        rows = list(csv.DictReader((folder / "rows.csv").open(newline="")))
        assert len(rows) == 2
        assert float(rows[0]["area"]) == pytest.approx(area, rel=1e-4)


def test_sizes_are_in_the_unit_asked_for(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """And the choice itself is the same."""
    found = []
    for unit in ("mm", "in"):
        main(["size", "size.toml", "--output-unit", unit, "--workers", "1", "--json"])
        found.append(json.loads(capsys.readouterr().out))
    text = [json.dumps(f) for f in found]
    assert '"mm"' in text[0]
    assert '"in"' in text[1]
    main(["size", "size.toml", "--output-unit", "in", "--workers", "1"])
    table = capsys.readouterr().out
    assert "lb/ft" in table
    assert " in\n" in table
    assert "ksi" in table
    assert "mm" not in table


def test_a_comparison_is_in_the_unit_asked_for(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["compare", "pipe.toml", "CHS168.3X6.3", "--material", "S355", "--json"]
    main([*words, "--member", "member.toml", "--output-unit", "in"])
    inches = json.loads(capsys.readouterr().out)
    main([*words, "--member", "member.toml"])
    metric = json.loads(capsys.readouterr().out)
    assert (inches["length_unit"], metric["length_unit"]) == ("in", "mm")
    assert inches["member_units"]["force"] == "kip"
