"""`soapfilm compare`, `size` and `sweep` as typed: what is printed, written, and said of slips."""

from __future__ import annotations

import csv
import json
import sqlite3
from pathlib import Path

import pytest
from soapfilm.cli import sweep
from soapfilm.cli.main import main
from soapfilm.report.study.figure import KINDS

PIPE = """
name = "pipe"
unit = "mm"
[[shape]]
name = "pipe"
profile = "CircleHollow"
material = "S355"
Radius = 60
WallThickness = 5
"""
MEMBER = """
unit = "mm"
[section.girder]
shape = "CHS168.3X6.3"
material = "S355"
[[span]]
length = "4 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
weight = "2 kN/m"
eccentricity = [200, 0]
[[limit]]
twist = "0.064 deg"
"""
SIZE = """
member = "member.toml"
section = "pipe.toml"
wanted = 1
[[parameter]]
name = "r"
sets = "pipe.Radius"
values = [40, 60, 80]
"""
SWEEP = """
section = "pipe.toml"
[[parameter]]
name = "t"
sets = "pipe.WallThickness"
values = [4, 6, 70]
[[parameter]]
name = "r"
sets = "pipe.Radius"
from = 50
to = 60
steps = 2
"""


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SOAPFILM_CACHE", str(tmp_path / "cache"))
    for name, text in (
        ("pipe", PIPE),
        ("member", MEMBER),
        ("size", SIZE),
        ("sweep", SWEEP),
    ):
        (tmp_path / f"{name}.toml").write_text(text)
    return tmp_path


def test_compare_prints_ratios_and_draws(capsys: pytest.CaptureFixture[str]) -> None:
    words = [
        "compare",
        "pipe.toml",
        "CHS168.3X6.3",
        "--material",
        "S355",
        "--member",
        "member.toml",
    ]
    assert main([*words, "--figure", "c.svg"]) == 0
    out = capsys.readouterr().out
    for text in ("2 sections compared", "Ratios to 1, pipe", "largest twist", "most used limit"):
        assert text in out
    assert Path("c.svg").stat().st_size > 5000
    assert main([*words, "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    first, second = record["sections"]
    j = [s["properties"]["torsion_constant"] for s in (first, second)]
    assert second["ratios"]["stiffness"] == pytest.approx(j[1] / j[0])
    assert first["member"]["twist_deg"] / second["member"]["twist_deg"] == pytest.approx(
        j[1] / j[0], rel=1e-5
    )


def test_compare_in_a_member_says_why_a_section_has_no_answer(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["compare", "pipe.toml", "CHS168.3X6.3", "--member", "member.toml"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "The member with section 2: section 'CHS168.3X6.3' names no material" in out
    assert "The member is judged as `soapfilm member` judges it" in out


def test_size_finds_and_explains(capsys: pytest.CaptureFixture[str]) -> None:
    """phi = m L^2 / (8 G J): 80 of radius is enough, 60 is not."""
    assert main(["size", "size.toml", "--workers", "1", "--figure", "s.svg"]) == 0
    out = capsys.readouterr().out
    assert "1  r = 80" in out
    assert "r = 60:" in out
    assert "twist of 0.064 deg: 1.48 times it" in out
    assert "The member is judged as `soapfilm member` judges it" in " ".join(out.split())
    assert Path("s.svg").stat().st_size > 5000


def test_size_tells_the_closest_miss(capsys: pytest.CaptureFixture[str]) -> None:
    Path("size.toml").write_text(SIZE.replace("[40, 60, 80]", "[40, 60]"))
    assert main(["size", "size.toml", "--workers", "1"]) == 1
    out, err = capsys.readouterr()
    assert "The closest is r = 60: it uses 1.48" in out
    assert (
        err == "soapfilm: error: size.toml: no section keeps every limit; see the closest above\n"
    )
    assert main(["size", "size.toml", "--workers", "1", "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["feasible"] is False


def test_sweep_keeps_rows_and_goes_on(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["sweep", "sweep.toml", "--workers", "1"]
    assert main([*words, "--csv", "r.csv", "--figure", "f.svg"]) == 0
    out = capsys.readouterr().out
    assert "6 rows solved, 2 with an error" in out
    assert "row 5:" in out
    assert main([*words, "--figure", "g.svg", "--kind", "contour", "--show", "area"]) == 0
    assert "0 rows solved, 6 found finished, 2 with an error" in capsys.readouterr().out
    assert main([*words, "--retry"]) == 0
    assert "2 rows solved, 4 found finished" in capsys.readouterr().out
    with Path("r.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 6
    base = sqlite3.connect("sweep.sqlite")
    (j,) = base.execute("SELECT torsion_constant FROM study WHERE number = 1").fetchone()
    base.close()
    assert float(rows[0]["torsion_constant"]) == j
    assert j == pytest.approx(3.141592653589793 / 2 * (50**4 - 46**4), rel=1e-4)
    for name in ("f.svg", "g.svg"):
        assert Path(name).stat().st_size > 5000


def test_a_locked_store_is_one_line(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from soapfilm.solver.study.run import store_file

    assert main(["sweep", "sweep.toml", "--workers", "1"]) == 0
    monkeypatch.setattr(store_file, "_WAIT", 0.1)
    other = sqlite3.connect("sweep.sqlite", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    capsys.readouterr()
    assert main(["sweep", "sweep.toml", "--workers", "1", "--retry"]) == 1
    error = capsys.readouterr().err
    assert "another program keeps it locked; finished rows are safe" in error
    assert "run the same command again" in error
    assert "defect" not in error
    other.close()


@pytest.mark.parametrize("first", [100, 4096])
def test_a_damaged_store_is_one_line(capsys: pytest.CaptureFixture[str], first: int) -> None:
    assert main(["sweep", "sweep.toml", "--workers", "1"]) == 0
    file = Path("sweep.sqlite")
    whole = file.read_bytes()
    file.write_bytes(whole[:first] + b"\xa5" * (len(whole) - first))
    capsys.readouterr()
    assert main(["sweep", "sweep.toml", "--workers", "1"]) in (1, 2)
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert "the file is damaged; move it away" in error
    assert "defect" not in error


def test_a_study_of_a_member(capsys: pytest.CaptureFixture[str]) -> None:
    Path("m.toml").write_text(
        'member = "member.toml"\n[[parameter]]\nname = "arm"\n'
        'sets = "load.1.eccentricity.x"\nvalues = [100, 200]\n'
    )
    assert main(["sweep", "m.toml", "--workers", "1"]) == 0
    assert "twist" in capsys.readouterr().out
    base = sqlite3.connect("m.sqlite")
    (one,), (two,) = base.execute("SELECT twist_deg FROM study ORDER BY number").fetchall()
    columns = (
        "limit_1_used, critical_factor, support_1_up_most, support_2_up_least, support_1_torque"
    )
    used, factor, *held = base.execute(f"SELECT {columns} FROM study WHERE number = 2").fetchone()
    base.close()
    assert two == pytest.approx(2 * one)
    assert used == pytest.approx(two / 0.064)
    assert factor > 3
    # Statics: half of 2 kN/m over 4 m, and its torque 200 mm beside the middle.
    assert held[:2] == pytest.approx([4000, 4000])
    assert abs(held[2]) == pytest.approx(8e5)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["compare", "pipe.toml"], "two sections at least"),
        (["compare", "pipe.toml", "W10X499"], "there is no such file, and shape 'W10X499'"),
        (["compare", "pipe.toml", "pipe.toml", "--replaces", "a"], "give the --member too"),
        (["compare", "pipe.toml", "pipe.toml", "--member", "pipe.toml"], "section file"),
        (["compare", "pipe.toml", "pipe.toml", "--figure", "no/c.svg"], "does not exist"),
        (["size", "nix.toml"], "cannot be read"),
        (["sweep", "nix.toml"], "cannot be read"),
        (["sweep", "sweep.toml", "--workers", "0"], "number of processes"),
        (["sweep", "sweep.toml", "--output", "pipe.toml"], "it is an input of this command"),
        (["sweep", "member.toml"], "this is a member file; a study names one, member ="),
    ],
)
def test_slips_are_one_line_and_exit_2(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("soapfilm: error: ")
    assert err.count("\n") == 1
    assert said in err
    assert Path("pipe.toml").read_text() == PIPE


def test_compare_names_the_file_that_is_wrong(capsys: pytest.CaptureFixture[str]) -> None:
    outline = "[[outline]]\npoints = [[0, 0], [10, 0], [0, 10], [10, 10]]\n"
    Path("crossed.toml").write_text(f'unit = "mm"\n{outline}')
    assert main(["compare", "pipe.toml", "crossed.toml"]) == 2
    err = capsys.readouterr().err
    assert err.startswith(
        "soapfilm: error: crossed.toml: the outline crosses itself near (5.0, 5.0)"
    )


def test_the_kinds_of_figures_are_those_that_can_be_drawn() -> None:
    assert sweep.FIGURES == KINDS
