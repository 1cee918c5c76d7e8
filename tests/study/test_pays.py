"""Where material pays: numbers found in a file, elasticities, table, CSV, JSON and figure."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import numpy as np
import pytest
from soapfilm.cli.main import main
from soapfilm.geometry.errors import InputError
from soapfilm.report.pay.record import pay_rows
from soapfilm.report.pay.table import pay_table
from soapfilm.solver.study.derivative.file_number import asked_number, numbers_of
from soapfilm.solver.study.derivative.section_pay import section_pay
from soapfilm.solver.study.file.section_base import SectionBase, tables_of

TUBE = """unit = "mm"
[material.steel]
grade = "S355"
[quantity]
wall = "8 mm"
width = "= 20*wall"
[[plate]]
name = "shell"
points = [[-100, 100], [-100, -100], [100, -100], [100, 100]]
closed = true
thickness = "= wall"
bend_radius = 12
"""
SHARP = """name = "two cells"
unit = "mm"
[[outline]]
name = "box"
points = [[-200, -100], [200, -100], [200, 100], [-200, 100]]
holes = [[[-190, -90], [-65, -90], [-65, 90], [-190, 90]], [[-55, -90], [190, -90], [190, 90],
  [-55, 90]]]
"""


def _base(folder: Path, text: str) -> SectionBase:
    path = folder / "section.toml"
    path.write_text(text)
    return SectionBase.from_file(path)


def test_dimensions_are_found_and_expressions_follow() -> None:
    numbers = numbers_of(tables_of(TUBE))
    assert [(n.name, n.value, n.unit) for n in numbers] == [
        ("quantity.wall", 8.0, "mm"),
        ("shell.bend_radius", 12.0, ""),
    ]


def test_numbers_asked_for() -> None:
    tables = tables_of(SHARP)
    web = asked_number(tables, "web = box.holes.1.2.x, box.holes.1.3.x")
    assert (web.name, web.value, len(web.addresses)) == ("web", -65.0, 2)
    with pytest.raises(InputError, match="different values there"):
        asked_number(tables, "box.points.1.x, box.points.1.y")
    with pytest.raises(InputError, match="holds no number of its own"):
        asked_number(tables_of(TUBE), "shell.thickness")
    with pytest.raises(InputError, match="there is no 'nowhere'"):
        asked_number(tables, "nowhere.x")


def test_elasticities_are_those_of_thin_walls(tmp_path: Path) -> None:
    """A thin closed tube with J = 4 A^2 t / s by Bredt: 1 to its wall at a kept middle line, and 1
    per weight; 3 of an open one (J = L t^3 / 3)."""
    thin = TUBE.replace("8 mm", "0.5 mm").replace('width = "= 20*wall"', "")
    closed = section_pay(_base(tmp_path, thin), ["quantity.wall"])
    opened = section_pay(
        _base(tmp_path, thin.replace("closed = true", "closed = false")), ["quantity.wall"]
    )
    for pay, power in ((closed, 1), (opened, 3)):
        (wall,) = pay.numbers
        assert wall.elasticity("torsion_constant", pay.properties) == pytest.approx(power, rel=2e-3)
        assert wall.elasticity("mass_per_length", pay.properties) == pytest.approx(1, rel=2e-3)
        assert wall.by_weight("torsion_constant", pay.properties) == pytest.approx(power, rel=3e-3)
    # along a wall of one thickness, the outline pays alike wherever it is: less at the rounded
    # corners' outside, more inside them
    paid = closed.border.by_weight("torsion_constant", closed.properties["torsion_constant"])
    assert np.median(paid) == pytest.approx(1, rel=1e-2)


def test_output_in_another_unit_keeps_elasticities(tmp_path: Path) -> None:
    path = tmp_path / "section.toml"
    path.write_text(TUBE)
    found = []
    for unit in ("", "in"):
        pay = section_pay(SectionBase.from_file(path, unit))
        found.append(
            [
                n.elasticity(k, pay.properties)
                for n in pay.numbers
                for k in ("area", "warping_constant")
            ]
        )
    assert found[0] == pytest.approx(found[1], rel=1e-6)


def test_what_symmetry_makes_vanish_has_no_elasticity(tmp_path: Path) -> None:
    """By its rounding of -1e-15 mm the centroid of an I had one of 2e5."""
    text = 'unit = "mm"\n[[shape]]\nprofile = "I"\nOverallDepth = 300.7\nOverallWidth = 150.3\n'
    text += "WebThickness = 7.1\nFlangeThickness = 10.7\n"
    pay = section_pay(_base(tmp_path, text), ["shape.1.OverallDepth"])
    rows = {row["property"]: row for row in pay_rows(pay)}
    places = ("centroid", "shear_centre", "monosymmetry")
    for name in ("product_moment", *(f"{p}_{axis}" for p in places for axis in "xy")):
        assert (rows[name]["property_value"], rows[name]["elasticity"]) == (0, None), name
    assert rows["area"]["elasticity"] > 0.3


def test_a_number_asked_for_twice_stands_twice(tmp_path: Path) -> None:
    path = tmp_path / "section.toml"
    path.write_text(TUBE)
    text = pay_table(section_pay(SectionBase.from_file(path), ["quantity.wall"] * 2))
    assert text.count("quantity.wall ") == 6


def test_table_csv_json_figure(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "section.toml"
    path.write_text(TUBE)
    rows, figure = tmp_path / "rows.csv", tmp_path / "band.svg"
    assert main(["pays", str(path), "--csv", str(rows), "--figure", str(figure)]) == 0
    text = capsys.readouterr().out
    assert "quantity.wall" in text
    assert "Per weight" in text
    read = list(csv.DictReader(rows.open()))
    own = {(r["number"], r["property"]): r for r in read}
    j = own["quantity.wall", "torsion_constant"]
    assert float(j["derivative"]) * 8 / float(j["property_value"]) == pytest.approx(
        float(j["elasticity"]), rel=1e-7
    )
    assert "pays: more than the mean" in figure.read_text()
    assert main(["pays", str(path), "quantity.wall", "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert record["format"] == "soapfilm pays 1"
    (wall,) = record["numbers"]
    assert wall["elasticity"]["torsion_constant"] == pytest.approx(float(j["elasticity"]), rel=1e-7)


def test_sharp_corners_and_refusals(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "section.toml"
    path.write_text(SHARP)
    figure = tmp_path / "band.svg"
    web = "web = box.holes.1.2.x, box.holes.1.3.x"
    assert main(["pays", str(path), web, "--figure", str(figure), "--of", "C_w"]) == 0
    text = capsys.readouterr().out
    assert "No derivative of W_T,away" in text
    assert "away from sharp corners" in text
    assert "sharp corner: no bound" in figure.read_text()
    assert main(["pays", str(path), "--of", "W_pl,x"]) == 2
    assert "the figure shows what pays for J, C_w" in capsys.readouterr().err
    assert main(["pays", str(path), "box.points.9.x"]) == 2
    assert "there is no '9'" in capsys.readouterr().err


def test_no_derivative_where_parts_come_apart(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "section.toml"
    path.write_text(
        'unit = "mm"\n'
        '[[plate]]\nname = "flange"\npoints = [[-50, 105], [50, 105]]\nthickness = 10\n'
        '[[plate]]\nname = "web"\npoints = [[0, 0], [0, 100]]\nthickness = 8\n'
        '[[weld]]\nbetween = ["flange", "web"]\nkind = "full"\n'
    )
    assert main(["pays", str(path)]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "No derivative to flange.thickness: weld" in text
    assert "web.thickness 8 mm" in text


def test_faces_of_slits_are_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two plates welded at their edges: behind the faces of the slit between them there is
    material, so that nothing can be put there."""
    path = tmp_path / "section.toml"
    path.write_text(
        'unit = "mm"\n[[plate]]\nname = "a"\npoints = [[0, 0], [100, 0]]\nthickness = 10\n'
        '[[plate]]\nname = "b"\npoints = [[0, 10], [100, 10]]\nthickness = 10\n'
        '[[weld]]\nbetween = ["a", "b"]\nkind = "partial"\ndepth = 4\n'
    )
    pay = section_pay(SectionBase.from_file(path), ["weld.1.depth"])
    border = pay.border
    inside = (np.abs(border.points[..., 1] - 5) < 1e-6) & (np.abs(border.points[..., 0] - 50) < 40)
    assert not inside.any()
    assert float(border.lengths.sum()) == pytest.approx(2 * 100 + 2 * 20, rel=1e-9)
    assert main(["pays", str(path), "weld.1.depth"]) == 0
    assert "Faces of slits are no part of it" in " ".join(capsys.readouterr().out.split())
