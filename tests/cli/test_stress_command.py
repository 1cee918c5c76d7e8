"""`soapfilm stress`: the command a person types, its files, and its refusals."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import meshio
import numpy as np
import pytest
from soapfilm.cli.main import main
from soapfilm.cli.stress import COMPONENTS
from soapfilm.solver.section.stress import components

GIRDER = """
name = "platform girder"
unit = "mm"
[material.steel]
E = "210 GPa"
nu = 0.3
strength = "355 MPa"
[[shape]]
profile = "I"
OverallWidth = 150
OverallDepth = 300
WebThickness = 7.1
FlangeThickness = 10.7
FilletRadius = 15
material = "steel"
"""
CASES = """
[[case]]
name = "crowd left"
V_y = "60 kN"
M_x = "80 kN*m"
T = "1.5 kN*m"
[[case]]
name = "crowd right"
V_y = "60 kN"
M_x = "-80 kN*m"
through = ["25 mm", "0 mm"]
"""


@pytest.fixture
def girder(tmp_path: Path) -> Path:
    path = tmp_path / "girder.toml"
    path.write_text(GIRDER, "utf-8")
    return path


def run(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, str, str]:
    code = main([str(w) for w in words])
    out, err = capsys.readouterr()
    return code, out, err


def test_the_signs_are_those_that_the_table_states(
    capsys: pytest.CaptureFixture[str], girder: Path
) -> None:
    """M_x and M_y each: where the table says the tension is, its place has that sign."""
    for action, place in (("M_x = 80 kN*m", (0, 1)), ("M_y = 8 kN*m", (-1, 0))):
        code, out, _ = run(capsys, "stress", girder, action)
        assert code == 0
        assert "M_x > 0 puts it at the top" in " ".join(out.split())
        assert "M_y > 0 at the left" in " ".join(out.split())
        code, out, _ = run(capsys, "stress", girder, action, "--json")
        extremes = json.loads(out)["cases"][0]["extremes"]
        tension = next(e for e in extremes if e["component"] == "normal" and e["side"] == "maximum")
        assert tension["value"] > 0
        assert np.dot(tension["at"], place) == pytest.approx(150 if place[1] else 75)


def test_rounding_is_no_row(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A round bar under V_x has no shear against it: the least along x is a residue of zero."""
    bar = tmp_path / "bar.toml"
    bar.write_text('unit = "mm"\n[[shape]]\nprofile = "Circle"\nRadius = 50\n')
    code, out, _ = run(capsys, "stress", bar, "V_x = 2 kN")
    assert code == 0
    assert "maximum shear stress along x" in out
    assert "minimum shear stress along x" not in out


def test_component_names_are_the_solvers() -> None:
    assert tuple(components.COMPONENTS) == COMPONENTS


def test_bending_stress_is_printed(capsys, girder) -> None:
    code, out, err = run(capsys, "stress", girder, "M_x = 80 kN*m")
    assert (code, err) == (0, "")
    assert "143.61  MPa" in out  # 80e6/(I_x/150), I_x = 8.35611e7
    assert "licensed" in out.replace("\n ", "")


def test_json_holds_cases_and_envelope(capsys, girder, tmp_path) -> None:
    cases = tmp_path / "cases.toml"
    cases.write_text(CASES, "utf-8")
    code, out, _ = run(capsys, "stress", girder, "--cases", cases, "--json", "--factor", "1.1")
    record = json.loads(out)
    assert code == 0
    assert record["stress_unit"] == "MPa"
    assert [c["name"] for c in record["cases"]] == ["crowd left", "crowd right"]
    assert record["cases"][1]["actions"]["T"] == pytest.approx(25 * 60e3, rel=1e-6)
    assert record["equilibrium_residual"] < 1e-8
    for entry in record["envelope"]:
        side = max if entry["side"] == "maximum" else min
        values = [
            e["value"]
            for c in record["cases"]
            for e in c["extremes"]
            if (e["component"], e["side"]) == (entry["component"], entry["side"])
        ]
        assert entry["value"] == side(values)
    mises = next(e for e in record["cases"][0]["extremes"] if e["component"] == "von Mises")
    assert record["cases"][0]["utilisation"] == pytest.approx(1.1 * mises["value"] / 355)


def test_exports_hold_the_field(capsys, girder, tmp_path) -> None:
    vtu, table = tmp_path / "f.vtu", tmp_path / "f.csv"
    code, _, _ = run(capsys, "stress", girder, "M_x = 80 kN*m", "--export", vtu, "--export", table)
    assert code == 0
    mesh = meshio.read(vtu)
    sigma = mesh.point_data["normal stress (MPa)"]
    assert sigma == pytest.approx(80e6 / 8.35611e7 * mesh.points[:, 1], rel=1e-5, abs=1e-3)
    area = np.sum(np.abs(np.cross(*_sides(mesh)))) / 2
    assert area == pytest.approx(5381.2, rel=1e-3)  # arcs as chords in the export
    with table.open() as file:
        rows = list(csv.DictReader(file))
    y = np.array([float(r["y (mm)"]) for r in rows])
    assert np.array([float(r["normal stress (MPa)"]) for r in rows]) == pytest.approx(
        80e6 / 8.35611e7 * y, rel=1e-5, abs=1e-3
    )
    step = np.hypot(np.diff([float(r["x (mm)"]) for r in rows]), np.diff(y))
    assert step.max() < 60, "points run along the contour without jumps"


def test_contour_rows_beside_sharp_corners_are_flagged(capsys, tmp_path) -> None:
    """8,598 MPa stood there unmarked beside a table that says 48.5."""
    file, table = tmp_path / "angle.toml", tmp_path / "f.csv"
    file.write_text(
        'unit = "mm"\n[material.steel]\nE = "210 GPa"\nnu = 0.3\n[[outline]]\n'
        "points = [[0, 0], [100, 0], [100, 10], [10, 10], [10, 80], [0, 80]]\n"
    )
    words = ["stress", file, "T = 1 kN*m"]
    assert run(capsys, *words, "--export", table)[0] == 0
    record = json.loads(run(capsys, *words, "--json")[1])
    peak = next(e for e in record["cases"][0]["extremes"] if e["component"] == "shear")["value"]
    with table.open() as csv_file:
        rows = list(csv.DictReader(csv_file))
    shear = np.array([float(r["shear stress (MPa)"]) for r in rows])
    near = np.array([r["left out"] == "1" for r in rows])
    away = np.hypot(*([float(r[f"{c} (mm)"]) - 10 for r in rows] for c in "xy"))
    assert (near == (away < 2.5)).all()
    assert shear[near].max() > 2 * peak
    assert shear[~near].max() <= peak * (1 + 1e-9)
    # bending alone brings no shear: nothing is left out of it
    assert run(capsys, "stress", file, "M_x = 1 kN*m", "--export", table)[0] == 0
    with table.open() as csv_file:
        assert {r["left out"] for r in csv.DictReader(csv_file)} == {"0"}


def _sides(mesh: meshio.Mesh) -> tuple[np.ndarray, np.ndarray]:
    p = mesh.points[mesh.cells_dict["triangle"]][..., :2]
    return p[:, 1] - p[:, 0], p[:, 2] - p[:, 0]


@pytest.mark.parametrize("component", COMPONENTS)
def test_figure_of_each_component(capsys, girder, tmp_path, component) -> None:
    path = tmp_path / "f.svg"
    words = ["stress", girder, "V_y = 60 kN", "T = 1 kN*m", "M_x = 9 kN*m"]
    code, _, err = run(capsys, *words, "--figure", path, "--component", component)
    assert (code, err) == (0, "")
    assert components.COMPONENTS[component].words in path.read_text("utf-8")


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["V_z = 1 kN"], "there is no action 'V_z'; did you mean V_y?"),
        (["V_y = 3 mm"], "V_y: '3 mm' is not a force"),
        (["V_y = 3"], "V_y: '3' has no unit"),
        (["V_y"], "'V_y' is not an action"),
        (["T = 1 kN*m", "T = 2 kN*m"], "T is given twice"),
        ([], "no action; give at least one"),
        (["V_y = 0 kN"], "no action; give at least one"),
        (["V_y = nan kN"], "is not a number"),
        (["V_y = 1 kN", "--through", "3 mm"], "through is not a point"),
        (["N = 1 kN", "--through", "3 mm, 0 mm"], "give V_x or V_y, or leave it out"),
        (["V_y = 1 kN", "--through", "3, 4"], "'3' has no unit"),
        (["V_y = 1 kN", "--case", "x"], "there is no load case 'x'"),
        (["V_y = 1 kN", "--export", "x.txt"], "the ending must be .vtu or .csv"),
        (["V_y = 1 kN", "--export", "no/such/x.vtu"], "does not exist; make it first"),
        (["V_y = 1 kN", "--figure", "no/such/x.png"], "does not exist; make it first"),
        (["V_y = 1 kN", "--figure", "x.bmp"], "does not say which kind of figure"),
        (["V_y = 1 kN", "--component", "bending"], "bending"),
        (["V_y = 1 kN", "--cases", "x.toml"], "not both"),
        (["--cases", "missing.toml"], "missing.toml: cannot be read: No such file"),
        (["V_y = 1 kN", "--factor", "-1"], "factor on stress must be positive"),
        (["V_y = 1 kN", "--strength", "3 kN"], "--strength: '3 kN' is not a stress"),
    ],
)
def test_wrong_input_is_one_line(capsys, girder, words, message) -> None:
    code, out, err = run(capsys, "stress", girder, *words)
    assert code == 2
    assert out == ""
    assert err.startswith("soapfilm: error: ")
    assert err.count("\n") == 1
    assert message in err


def test_factor_needs_a_strength(capsys, girder) -> None:
    girder.write_text(GIRDER.replace('strength = "355 MPa"\n', ""), "utf-8")
    code, _, err = run(capsys, "stress", girder, "M_x = 1 kN*m", "--factor", "1.5")
    assert code == 2
    assert "--factor needs a strength" in err


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("[[case]]\nV_q = '1 kN'", "case 1: there is no action 'V_q'"),
        ("[[load]]\nV_y = '1 kN'", "unknown key 'load'"),
        ("", "no load case"),
        ("case = [1]", "case 1 is not a table"),
        ("[[case]\n", "not valid TOML"),
        ("a = " + "[" * 5000, "nested too deep"),
        ("[[case]]\nname = 'a'\nN = '1 mm'", "a: N: '1 mm' is not a force"),
        ("[[case]]\nname='a'\nN='1 N'\n[[case]]\nname='a'\nN='1 N'", "two cases are called 'a'"),
    ],
)
def test_wrong_case_files(capsys, girder, tmp_path, text, message) -> None:
    cases = tmp_path / "cases.toml"
    cases.write_text(text, "utf-8")
    code, _, err = run(capsys, "stress", girder, "--cases", cases)
    assert code == 2
    assert f"{cases}: " in err
    assert message in err


def test_existing_export_survives_a_failure(capsys, girder, tmp_path) -> None:
    path = tmp_path / "keep.csv"
    path.write_text("mine", "utf-8")
    circle = tmp_path / "rod.toml"
    circle.write_text('unit = "mm"\n[[shape]]\nprofile = "circle"\nRadius = 20\n', "utf-8")
    code, _, err = run(capsys, "stress", circle, "B = 1 kN*m^2", "--export", path)
    assert code == 2
    assert "this section does not warp" in err
    assert path.read_text("utf-8") == "mine"
