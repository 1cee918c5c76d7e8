"""`soapfilm section`: the JSON's keys and numbers, the table, the figures, exit codes."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from soapfilm.cli.main import main
from soapfilm.geometry.section_file import load_section
from soapfilm.report.section.record import section_record
from soapfilm.report.section.table import section_table
from soapfilm.solver.section import solve_section

TUBE = """
name = "tube"
unit = "mm"
[material.steel]
E = "210 GPa"
nu = 0.3
density = "7850 kg/m^3"
[[shape]]
profile = "CircleHollow"
Radius = 50
WallThickness = 10
move = [7, -3]
"""
ANGLE = """
unit = "in"
[[outline]]
points = [[0, 0], [4, 0], [4, 1], [1, 1], [1, 4], [0, 4]]
"""
COMPOSITE = """
unit = "mm"
[material.a]
E = "200 GPa"
nu = 0.3
[material.b]
E = "20 GPa"
nu = 0.2
[[shape]]
material = "a"
profile = "Rectangle"
XDim = 20
YDim = 40
[[shape]]
material = "b"
profile = "Rectangle"
XDim = 60
YDim = 10
move = [0, 25]
"""
#: The required shape of the JSON object: each key with its inner keys, or its type.
REQUIRED: dict[str, Any] = {
    "length_unit": str,
    "area": float,
    "centroid": [float, float],
    "second_moments": {"x", "y", "xy", "major", "minor", "angle_deg"},
    "torsion_constant": {"value", "lower", "upper"},
    "warping_constant": float,
    "shear_centre": [float, float],
    "mean_lever_arm": float,
    "torsion_modulus": {"value", "at", "reason"},
    "plastic_moduli": {"x", "y"},
    "monosymmetry": {"x", "y"},
    "cells": list,
    "solver": {"order", "elements", "unknowns", "seconds"},
}


@pytest.fixture
def tube(tmp_path: Path) -> Path:
    file = tmp_path / "tube.toml"
    file.write_text(TUBE)
    return file


def solved_json(file: Path, capsys: pytest.CaptureFixture[str], *options: str) -> dict[str, Any]:
    assert main(["section", str(file), "--json", *options]) == 0
    return json.loads(capsys.readouterr().out)  # type: ignore[no-any-return]


@pytest.mark.parametrize("text", [TUBE, ANGLE, COMPOSITE])
def test_json_has_every_key(tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str) -> None:
    (tmp_path / "a.toml").write_text(text)
    record = solved_json(tmp_path / "a.toml", capsys)
    for key, shape in REQUIRED.items():
        value = record[key]
        if isinstance(shape, set):
            assert set(value) >= shape, key
        elif isinstance(shape, list):
            assert [type(entry) for entry in value] == shape, key
        else:
            assert isinstance(value, shape), key


def test_json_of_a_tube_in_closed_form(tube: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A round tube: J = I_p, no warping, one cell, greatest stress T R / J on the outside."""
    record = solved_json(tube, capsys, "--accuracy", "1e-8")
    pi = 3.141592653589793
    j = pi / 2 * (50**4 - 40**4)
    assert record["length_unit"] == "mm"
    assert record["torsion_constant"]["lower"] <= j <= record["torsion_constant"]["upper"]
    assert record["centroid"] == pytest.approx([7, -3])
    assert record["shear_centre"] == pytest.approx([7, -3], abs=1e-6)
    assert record["torsion_modulus"]["value"] == pytest.approx(j / 50, rel=1e-6)
    assert record["torsion_modulus"]["reason"] == ""
    assert record["mass_per_length"] == pytest.approx(7850e-9 * pi * (50**2 - 40**2))
    (cell,) = record["cells"]
    assert cell["void_area"] == pytest.approx(pi * 40**2)
    # harmonic between the borders: ln(r) across the wall
    middle = pi * (50**2 - 40**2) / (2 * 0.22314355)  # ln(50 / 40)
    assert cell["mid_wall_area"] == pytest.approx(middle, rel=1e-5)
    assert cell["shear_flow_per_torque"] == pytest.approx((50**2 - 40**2) / 2 / j, rel=1e-6)
    assert record["solver"]["width"] <= record["solver"]["accuracy"]
    assert record["solver"]["reached"] is True


def test_json_refuses_an_unbounded_peak(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "a.toml").write_text(ANGLE)
    modulus = solved_json(tmp_path / "a.toml", capsys)["torsion_modulus"]
    assert modulus["value"] is None
    assert modulus["at"] == pytest.approx([1, 1])
    assert "radius" in modulus["reason"]


def test_the_table_says_what_the_interval_means(
    tube: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["section", str(tube)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    for words in ("J = I_T", "C_w = I_w", "W_pl,x = Z_x", "W_el,x = S_x", "beta_x", "mm⁴", "kg/m"):
        assert words in out, words
    assert "guaranteed: the exact value for this outline lies in" in out
    assert "licensed engineer" in " ".join(out.split())


@pytest.mark.parametrize("text", [TUBE, ANGLE, COMPOSITE])
def test_table_and_json_tell_the_same(tmp_path: Path, text: str) -> None:
    (tmp_path / "a.toml").write_text(text)
    result = solve_section(load_section(tmp_path / "a.toml"), 1e-6)
    table, record = section_table(result), section_record(result)
    figures = {
        "J = I_T": record["torsion_constant"]["value"],
        "I_x": record["second_moments"]["x"],
        "W_pl,x = Z_x": record["plastic_moduli"]["x"],
        "r_0 = i_0": record["polar_radius"],
    }
    for symbol, value in figures.items():
        if value is None:  # told by its own sentence, see below
            continue
        line = next(line for line in table.splitlines() if f"  {symbol} " in line)
        printed = line.split(symbol)[1].split()[0]
        assert float(printed) == pytest.approx(value, rel=1e-5)
    lower, upper = (
        float(n) for n in re.findall(r"([\d.e-]+) to ([\d.e-]+)", " ".join(table.split()))[0]
    )
    assert lower <= record["torsion_constant"]["lower"] * (1 + 1e-12)
    assert upper >= record["torsion_constant"]["upper"] * (1 - 1e-12)


def test_composite_sections_say_what_they_are_weighted_by(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "a.toml").write_text(COMPOSITE)
    assert main(["section", str(tmp_path / "a.toml")]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "weighted by E" in out
    assert "give each one a strength" in out  # why there is no plastic modulus
    assert solved_json(tmp_path / "a.toml", capsys)["plastic_moduli"]["x"] is None


@pytest.mark.parametrize("ending", ["svg", "png", "pdf"])
def test_figures_are_written_and_named(
    tube: Path, capsys: pytest.CaptureFixture[str], ending: str
) -> None:
    shear, warping = tube.with_name(f"s.{ending}"), tube.with_name(f"w.{ending}")
    options = ["--figure", str(shear), "--warping-figure", str(warping)]
    assert main(["section", str(tube), *options]) == 0
    out = capsys.readouterr().out
    for path in (shear, warping):
        assert f"figure written to {path}" in out
        assert path.stat().st_size > 5000


def test_figures_leave_the_json_alone(tube: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "area" in solved_json(tube, capsys, "--figure", str(tube.with_name("s.svg")))


def test_two_figures_need_two_files(tube: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = str(tube.with_name("s.svg"))
    assert main(["section", str(tube), "--figure", path, "--warping-figure", path]) == 2
    assert "give each its own" in capsys.readouterr().err


def test_wkt_outline_with_a_hole(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "deck.wkt"
    file.write_text("POLYGON((0 0, 40 0, 40 20, 0 20, 0 0), (4 4, 4 16, 36 16, 36 4, 4 4))")
    record = solved_json(file, capsys, "--unit", "mm")
    assert record["area"] == pytest.approx(40 * 20 - 32 * 12)
    assert len(record["cells"]) == 1


def test_an_accuracy_out_of_reach_is_said_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Rounding ends the narrowing: the interval still holds J, and the table says its width."""
    (tmp_path / "a.toml").write_text(ANGLE)
    code = main(["section", str(tmp_path / "a.toml"), "--accuracy", "1e-11"])
    out, err = (" ".join(text.split()) for text in capsys.readouterr())
    assert main(["section", str(tmp_path / "a.toml"), "--accuracy", "1e-11", "--json"]) == code
    solver = json.loads(capsys.readouterr().out)["solver"]
    missed = solver["width"] > 1e-11
    assert code == missed
    assert solver["reached"] is (not missed)
    assert ("it still holds the exact value" in out) == missed
    assert ("J is known to" in err) == missed


def test_a_missed_accuracy_ends_every_command_with_1(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A strip of which rounding leaves five digits: the results are given out all the same."""
    file = tmp_path / "strip.toml"
    file.write_text(
        'unit = "mm"\n[material.steel]\nE = "210 GPa"\nnu = 0.3\n'
        '[[shape]]\nprofile = "I"\nOverallWidth = 100\nOverallDepth = 100\n'
        'WebThickness = 1e-5\nFlangeThickness = 1e-5\nmaterial = "steel"\n'
    )
    asked = ["--accuracy", "1e-6"]
    other = tmp_path / "bar.toml"
    other.write_text(TUBE)
    for words in (["section", str(file)], ["compare", str(file), str(other)]):
        assert main([*words, *asked]) == 1, words
        out, err = capsys.readouterr()
        assert out, words
        assert err.count("\n") == 1, words
        assert "not to the 1.0e-06 asked for" in err, words


def test_a_wall_too_thin_for_any_value_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """J = 0 was printed, and a comparison took a ratio of it."""
    file = tmp_path / "thin.toml"
    file.write_text(
        'unit = "mm"\n[[shape]]\nprofile = "I"\nOverallWidth = 100\nOverallDepth = 100\n'
        "WebThickness = 1e-6\nFlangeThickness = 1e-6\n"
    )
    for words in (["section", str(file)], ["compare", str(file), str(file)]):
        assert main(words) == 1
        out, err = capsys.readouterr()
        assert out == ""
        assert "no value" in err


def test_the_whole_process(tube: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "soapfilm.cli", "section", str(tube), "--json"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout)["length_unit"] == "mm"
