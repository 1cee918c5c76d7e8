"""`soapfilm buckle`: the command a person types, its files, and its refusals."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from soapfilm.cli.main import main

CHANNEL = """
name = "edge channel"
unit = "mm"
[material.steel]
grade = "S355"
[[shape]]
profile = "C"
Depth = 200
Width = 75
WallThickness = 2
Girth = 20
material = "steel"
"""
BARE = CHANNEL.replace('material = "steel"\n', "").replace('[material.steel]\ngrade = "S355"\n', "")
ROUND = """
name = "post"
unit = "mm"
[material.steel]
E = "210 GPa"
nu = 0.3
[[shape]]
profile = "Circle"
Radius = 30
material = "steel"
"""
SHORT = ("--shortest", "100 mm", "--longest", "1.5 m")


@pytest.fixture
def channel(tmp_path: Path) -> Path:
    path = tmp_path / "channel.toml"
    path.write_text(CHANNEL, "utf-8")
    return path


def run(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, str, str]:
    code = main([str(w) for w in words])
    out, err = capsys.readouterr()
    return code, out, err


def test_everything_in_one_run(
    capsys: pytest.CaptureFixture[str], channel: Path, tmp_path: Path
) -> None:
    figure, curve, page = (tmp_path / name for name in ("b.svg", "b.csv", "b.html"))
    code, out, _ = run(
        capsys, "buckle", channel, "N = -1 kN", *SHORT, "--effective", "--figure", figure,
        "--csv", curve, "--page", page,
    )  # fmt: skip
    assert code == 0
    for words in (
        *("Minima of the load factor", "local", "distortional", "critical stress"),
        *("a code's rule", "A_eff", "outstand", "imperfections", "At the longest half-wavelength"),
    ):
        assert words in out
    drawing = figure.read_text("utf-8")
    assert "half-wavelength (mm)" in drawing
    assert "critical stress, largest in compression (MPa)" in drawing
    assert "effective section" in drawing
    rows = list(csv.reader(curve.open(encoding="utf-8")))
    assert rows[0][:3] == ["half-wavelength (mm)", "lowest mode", "critical stress (MPa)"]
    assert float(rows[1][0]) == pytest.approx(1500)
    assert float(rows[-1][0]) == pytest.approx(100)
    lowest = min(float(row[2]) for row in rows[1:])
    text = page.read_text("utf-8")
    assert "The lowest buckling mode found is local" in text
    assert "soapfilm buckle" in text
    first = next(line.split() for line in out.splitlines() if line.startswith("1  local"))
    assert lowest == pytest.approx(float(first[4]), rel=5e-3)
    assert lowest >= float(first[4])


def test_the_record(capsys: pytest.CaptureFixture[str], channel: Path) -> None:
    code, out, _ = run(capsys, "buckle", channel, "N = -2 kN", *SHORT, "--effective", "--json")
    record = json.loads(out)
    assert code == 0
    local, distortional = record["minima"]
    assert (local["kind"], distortional["kind"]) == ("local", "distortional")
    assert local["critical_actions"]["N"] == pytest.approx(-2000 * local["load_factor"])
    assert local["critical_stress"] == pytest.approx(
        local["load_factor"] * record["largest_compressive_stress"]
    )
    assert record["stress_unit"] == "MPa"
    assert len(record["curve"]["half_wavelength"]) == len(record["curve"]["load_factor"]) >= 40
    assert min(f[0] for f in record["curve"]["load_factor"]) >= local["load_factor"] * (1 - 1e-4)
    assert record["effective_section"]["area"] < record["effective_section"]["gross_area"]


def test_units_do_not_change_the_factor(capsys: pytest.CaptureFixture[str], channel: Path) -> None:
    words = ("buckle", channel, "M_x = -1 kN*m", "--shortest", "100 mm", "--longest", "400 mm")
    metric = json.loads(run(capsys, *words, "--json")[1])
    inches = json.loads(run(capsys, *words, "--json", "--output-unit", "in")[1])
    one, other = (record["minima"][0] for record in (metric, inches))
    assert other["load_factor"] == pytest.approx(one["load_factor"], rel=1e-4)
    assert other["half_wavelength"] == pytest.approx(one["half_wavelength"] / 25.4, rel=1e-3)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "no action; give at least one"),
        (("N = 0 kN",), "no action"),
        (("N = 5 kN",), "in tension: nothing buckles"),
        (("N = nan kN",), "is not a number with a unit"),
        (("N = 1e999 kN",), "is not a finite number"),
        (("M_x = 1e-300 kN*m",), "is too little for its stress to be worked out"),
        (("N = -5 kN*m",), "is not a force"),
        (("N = -5",), "has no unit"),
        (("P = -5 kN",), "there is no action 'P'; known are N, M_x, M_y, V_x, V_y, T, B"),
        (("T_w = 1 kN*m",), "give the whole torque as T"),
        (("N = -1 kN", "--shortest", "2 m", "--longest", "1 m"), "is not below the longest"),
        (("N = -1 kN", "--shortest", "0.1 mm"), "below half the walls' mean thickness"),
        (("N = -1 kN", "--longest", "5 kN"), "--longest"),
        (("N = -1 kN", "--longest", "1e12 mm"), "beyond 2000 times the section's size"),
        (("N = -1 kN", "--through", "4 mm, 0 mm"), "give V_x or V_y, or leave it out"),
        (("N = -1 kN", "--page", "page.pdf"), "end its name in .html"),
        (("N = -1 kN", "M_x = 1 kN*m", "--effective", *SHORT), "compression alone or bending"),
    ],
)
def test_refusals_in_one_line(
    capsys: pytest.CaptureFixture[str], channel: Path, words: tuple[str, ...], told: str
) -> None:
    code, out, err = run(capsys, "buckle", channel, *words)
    assert code == 2
    assert out == ""
    assert told in err
    assert err.count("\n") == 1


def test_what_a_section_must_have(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    bare, post = tmp_path / "bare.toml", tmp_path / "post.toml"
    bare.write_text(BARE, "utf-8")
    post.write_text(ROUND, "utf-8")
    assert "buckling needs its E" in run(capsys, "buckle", bare, "N = -1 kN")[2]
    err = run(capsys, "buckle", post, "B = 1 kN*m^2")[2]
    assert "does not warp" in err
    err = run(capsys, "buckle", post, "N = -1 kN", "--effective")[2]
    assert "needs a yield strength" in err
    err = run(capsys, "buckle", post, "N = -1 kN", "--effective", "--strength", "355 MPa")[2]
    assert "no flat wall" in err


def test_a_bar_has_no_minimum(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    post = tmp_path / "post.toml"
    post.write_text(ROUND, "utf-8")
    code, out, _ = run(capsys, "buckle", post, "N = -1 kN", "--longest", "2 m")
    assert code == 0
    assert "No minimum between" in out
    assert "flexural about any axis" in out
    assert "Minima of the load factor" not in out


def test_shear_is_told_to_run_obliquely(capsys: pytest.CaptureFixture[str], channel: Path) -> None:
    code, out, _ = run(
        capsys, "buckle", channel, "V_y = 1 kN", "--shortest", "150 mm", "--longest", "300 mm"
    )
    assert code == 0
    assert "obliquely" in out
    assert "the bending moment changes along the member" in out
    assert "critical stress" not in out.split("*")[0]
