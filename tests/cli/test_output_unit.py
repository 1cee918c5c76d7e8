"""--output-unit: the same section in the unit asked for, and no number without a unit anywhere."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from soapfilm.cli.main import main

FILE = """
name = "girder"
unit = "mm"
[material.steel]
E = "210 GPa"
nu = 0.3
density = "7850 kg/m^3"
strength = "355 MPa"
[[plate]]
name = "flange"
points = [[-50, 0], [50, 0]]
thickness = 10
[[plate]]
name = "web"
points = [[0, -5], [0, -125]]
thickness = 8
[[weld]]
name = "neck"
between = ["flange", "web"]
leg = 5
length = 40
pitch = 120
"""
#: Powers of the length unit of what the record holds, by path.
POWERS = {
    ("area",): 2,
    ("perimeter",): 1,
    ("second_moments", "x"): 4,
    ("elastic_moduli", "x_top"): 3,
    ("plastic_moduli", "neutral_x"): 1,
    ("torsion_constant", "value"): 4,
    ("torsion_constant", "lower"): 4,
    ("warping_constant",): 6,
    ("mean_lever_arm",): 1,
    ("polar_radius",): 1,
    ("monosymmetry", "x"): 1,
}
EXACT = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}


@pytest.fixture
def file(tmp_path: Path) -> str:
    path = tmp_path / "girder.toml"
    path.write_text(FILE)
    return str(path)


def record(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    assert main([*words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)  # type: ignore[no-any-return]


def inner(data: dict[str, Any], path: tuple[str, ...]) -> float:
    value: Any = data
    for key in path:
        value = value[key]
    return float(value)


@pytest.mark.parametrize("unit", EXACT)
def test_every_property_in_every_unit(capsys, file, unit) -> None:
    own = record(capsys, "section", file)
    other = record(capsys, "section", file, "--output-unit", unit)
    assert other["length_unit"] == unit
    for path, power in POWERS.items():
        size = EXACT[unit] ** power
        assert inner(other, path) * size == pytest.approx(inner(own, path), rel=1e-5, abs=1e-9)
    for one, same in zip(own["joints"], other["joints"], strict=True):
        assert same["pitch"] * EXACT[unit] == pytest.approx(120)
        assert same["throat"] * EXACT[unit] == pytest.approx(one["throat"])
        for key, power in (("shear_flow_per_torque", -2), ("force_per_weld_per_torque", -1)):
            assert same[key] * EXACT[unit] ** power == pytest.approx(one[key], rel=1e-3)


def test_rigidities_are_the_same_force_in_either_system(capsys, file) -> None:
    """EA = 210 GPa times A; a kip is 4448.2216 N (exact: 1000 lbf of 0.45359237 * 9.80665 N)."""
    newton = record(capsys, "section", file)["rigidities"]
    kip = record(capsys, "section", file, "--output-unit", "in")["rigidities"]
    assert (newton["force_unit"], kip["force_unit"]) == ("N", "kip")
    one = 1000 * 0.45359237 * 9.80665
    assert newton["axial"] == pytest.approx(210e3 * (100 * 10 + 120 * 8 + 25), rel=1e-9)
    assert kip["axial"] * one == pytest.approx(newton["axial"], rel=1e-9)
    for word, power in (("bending_x", 2), ("torsion", 2), ("warping", 4)):
        assert kip[word] * one * 25.4**power == pytest.approx(newton[word], rel=2e-5)


def test_stresses_in_the_unit_asked_for(capsys, file) -> None:
    """1 ksi = 6.894757 MPa (from the exact pound-force and inch)."""
    words = ["stress", file, "M_x = 4 kN*m"]
    metric, american = record(capsys, *words), record(capsys, *words, "--output-unit", "in")
    assert (metric["stress_unit"], american["stress_unit"]) == ("MPa", "ksi")
    ksi = 0.45359237 * 9.80665 / 0.0254**2 / 1e3
    for one, other in zip(
        metric["cases"][0]["extremes"], american["cases"][0]["extremes"], strict=True
    ):
        assert other["value"] * ksi == pytest.approx(one["value"], rel=1e-4, abs=1e-4)
    assert american["cases"][0]["utilisation"] == pytest.approx(metric["cases"][0]["utilisation"])
    assert main([*words, "--output-unit", "in"]) == 0
    out = capsys.readouterr().out
    assert " ksi" in out
    assert " MPa" not in out
    assert "kip·in" in out


def test_the_table_says_both_units(capsys, file) -> None:
    assert main(["section", file, "--output-unit", "in"]) == 0
    out = capsys.readouterr().out
    assert "in⁴" in out
    assert "lb/ft" in out
    assert "read in mm, shown in in" in " ".join(out.split())
    figures = out.split("\n* ")[0]
    assert " mm" not in figures


def test_errors_keep_the_files_unit(capsys, tmp_path) -> None:
    path = tmp_path / "crossed.toml"
    path.write_text('unit = "mm"\n[[outline]]\npoints = [[0, 0], [10, 0], [0, 10], [10, 10]]\n')
    for command in (["section"], ["stress", "T = 1 kN*m"]):
        assert main([command[0], str(path), *command[1:], "--output-unit", "in"]) == 2
        assert "crosses itself near (5.0, 5.0) mm" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ('unit = "mm"\n', "", "unit is missing"),
        ('"210 GPa"', "210000", "E: '210000' has no unit"),
        ('"7850 kg/m^3"', "7850", "density: '7850' has no unit"),
        ('"355 MPa"', '"355"', "strength: '355' has no unit"),
        ('"210 GPa"', '"210 kN"', "'210 kN' is not a stress"),
        ("thickness = 10", 'thickness = "10 kg"', "'10 kg' is not a length"),
    ],
)
def test_a_bare_number_is_an_error(capsys, file, before, after, says) -> None:
    """Lengths have the unit declared at the top; nothing else is ever guessed."""
    Path(file).write_text(FILE.replace(before, after, 1))
    for words in ([], ["--output-unit", "in"]):
        assert main(["section", file, *words]) == 2
        assert says in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["section", "a.wkt"], "unit"),
        (["stress", "a.toml", "V_y = 3"], "'3' has no unit"),
        (["stress", "a.toml", "V_y = 3 kN", "--through", "3 mm,4"], "'4' has no unit"),
        (["stress", "a.toml", "V_y = 3 kN", "--strength", "355"], "'355' has no unit"),
        (["shapes", "--weight", "20 to 30"], "'30' has no unit"),
    ],
)
def test_a_bare_number_in_the_options(capsys, tmp_path, monkeypatch, words, says) -> None:
    monkeypatch.chdir(tmp_path)
    Path("a.toml").write_text(FILE)
    Path("a.wkt").write_text("POLYGON((0 0, 10 0, 10 10))")
    assert main(words) == 2
    assert says in capsys.readouterr().err


def test_an_unknown_output_unit(capsys, file) -> None:
    assert main(["section", file, "--output-unit", "furlong"]) == 2
    assert "furlong" in capsys.readouterr().err
