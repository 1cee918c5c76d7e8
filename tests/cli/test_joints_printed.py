"""Welds and pressed parts from a file to the table and the JSON of both commands."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from soapfilm.cli.main import main

PLATES = """
name = "box"
unit = "mm"
[material.steel]
grade = "S355"
[[plate]]
name = "top"
points = [[-100, 156], [100, 156]]
thickness = 12
[[plate]]
name = "bottom"
points = [[-100, -156], [100, -156]]
thickness = 12
[[plate]]
name = "left"
points = [[-80, -150], [-80, 150]]
thickness = 8
[[plate]]
name = "right"
points = [[80, -150], [80, 150]]
thickness = 8
"""
WELDS = """
[[weld]]
name = "lid"
between = ["top", "left"]
leg = 6
near = [-100, 150]
length = 50
pitch = 200
[[weld]]
name = "seam"
between = ["top", "right"]
kind = "full"
[[weld]]
name = "foot left"
between = ["bottom", "left"]
kind = "full"
[[weld]]
name = "foot right"
between = ["bottom", "right"]
kind = "full"
"""


@pytest.fixture
def welded(tmp_path: Path) -> str:
    path = tmp_path / "welded.toml"
    path.write_text(PLATES + WELDS)
    return str(path)


@pytest.fixture
def pressed(tmp_path: Path) -> str:
    path = tmp_path / "pressed.toml"
    path.write_text(PLATES)
    return str(path)


def printed(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(list(words)) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def record(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    return json.loads(printed(capsys, *words, "--json"))  # type: ignore[no-any-return]


def test_section_names_every_weld_with_its_flow(capsys, welded) -> None:
    data = record(capsys, "section", welded)
    (cell,) = data["cells"]
    assert [j["name"] for j in data["joints"]] == ["lid", "seam", "foot left", "foot right"]
    for joint in data["joints"]:
        size = abs(joint["shear_flow_per_torque"])
        assert size == pytest.approx(cell["shear_flow_per_torque"], rel=1e-9)
    lid, seam, *_ = data["joints"]
    assert (lid["kind"], lid["between"], lid["pitch"]) == ("fillet", ["top", "left"], 200)
    assert lid["force_per_weld_per_torque"] == pytest.approx(200 * lid["shear_flow_per_torque"])
    assert seam["force_per_weld_per_torque"] is None
    assert seam["throat"] == pytest.approx(8)
    out = printed(capsys, "section", welded)
    for name in ("lid", "seam", "foot left", "foot right"):
        assert f"joint {name!r} " in out
    words = " ".join(out.split())
    assert "welds of 50 mm, starting every 200 mm" in words
    assert "unwelded stretches between as carrying nothing" in words
    assert "the stiffness found is an upper limit" in words


def test_stress_gives_the_force_on_every_weld(capsys, welded) -> None:
    """A torque: q = T times the flow by torque; the weld of 200 pitch carries 200 q."""
    by_torque = {
        j["name"]: j["shear_flow_per_torque"] for j in record(capsys, "section", welded)["joints"]
    }
    data = record(capsys, "stress", welded, "T = 10 kN*m")
    assert (data["flow_unit"], data["force_unit"]) == ("N/mm", "N")
    (case,) = data["cases"]
    for joint in case["joints"]:
        assert joint["flow"] == pytest.approx(10e6 * by_torque[joint["name"]], rel=1e-4)
    lid = case["joints"][0]
    assert lid["force_per_weld"] == pytest.approx(200 * lid["flow"])
    out = printed(capsys, "stress", welded, "T = 10 kN*m")
    line = next(line for line in out.splitlines() if line.startswith("joint 'lid'"))
    assert line.split()[-1] == "kN/m"
    assert float(line.split()[-2]) == pytest.approx(lid["flow"], rel=1e-4)  # N/mm are kN/m
    force = next(line for line in out.splitlines() if "force per weld" in line)
    assert float(force.split()[-2]) == pytest.approx(lid["force_per_weld"] / 1e3, rel=1e-4)


def test_cases_have_an_envelope_of_joints(capsys, welded, tmp_path) -> None:
    cases = tmp_path / "cases.toml"
    text = '[[case]]\nname = "wind"\nV_x = "20 kN"\n[[case]]\nname = "crowd"\nT = "9 kN*m"\n'
    cases.write_text(text)
    data = record(capsys, "stress", welded, "--cases", str(cases))
    out = printed(capsys, "stress", welded, "--cases", str(cases))
    envelope = out.split("Envelope of the joints")[1].splitlines()
    for k, joint in enumerate(data["joints"]):
        flows = {c["name"]: abs(c["joints"][k]["flow"]) for c in data["cases"]}
        row = next(n for n, line in enumerate(envelope) if f"joint {joint['name']!r}" in line)
        assert f"in {max(flows, key=flows.__getitem__)!r}" in envelope[row + 1]


def test_a_section_without_joints_has_none(capsys, tmp_path) -> None:
    path = tmp_path / "bar.toml"
    path.write_text('unit = "mm"\n[[shape]]\nprofile = "Circle"\nRadius = 9\n')
    assert record(capsys, "section", str(path))["joints"] == []
    assert "Joints" not in printed(capsys, "section", str(path))


def test_pressed_parts_give_the_sum_and_nothing_else(capsys, pressed) -> None:
    data = record(capsys, "section", pressed)
    assert data["contact_only"] is True
    assert [b["name"] for b in data["bodies"]] == ["top", "bottom", "left", "right"]
    for end in ("lower", "value", "upper"):
        total = sum(b["torsion_constant"][end] for b in data["bodies"])
        assert data["torsion_constant"][end] == pytest.approx(total, rel=1e-12)
    assert sum(b["torque_share"] for b in data["bodies"]) == pytest.approx(1)
    assert "shear_centre" not in data
    assert "warping_constant" not in data
    out = " ".join(printed(capsys, "section", pressed).split())
    assert "4 unconnected parts" in out
    assert "guaranteed: the exact sum for these outlines lies in" in out
    assert "Not given: second moments" in out
    assert "licensed engineer" in out
    walls = 2 * 200 * 12**3 / 3 + 2 * 300 * 8**3 / 3
    assert data["torsion_constant"]["value"] == pytest.approx(walls, rel=0.05)


def test_joints_of_pressed_bodies_are_printed_too(capsys, tmp_path) -> None:
    """Lid and one side welded, the rest pressed: the weld is no part of a cell."""
    path = tmp_path / "half.toml"
    path.write_text(PLATES + WELDS[: WELDS.index("[[weld]]", 12)])
    out = printed(capsys, "section", str(path))
    assert "Joints of part 1: shear flow by its own part of the torque" in out
    assert "joint 'lid'" in out
    assert "a torque alone sends nothing through it" in " ".join(out.split())


def test_welded_against_pressed_as_closed_against_open(capsys, welded, pressed) -> None:
    """Bredt's 4 A^2 / sum of s/t over sum of s t^3 / 3: the box is 260 times as stiff."""
    closed = record(capsys, "section", welded)["torsion_constant"]["value"]
    loose = record(capsys, "section", pressed)["torsion_constant"]["value"]
    bredt = 4 * (160 * 312) ** 2 / (2 * 160 / 12 + 2 * 312 / 8)
    walls = 2 * 200 * 12**3 / 3 + 2 * 300 * 8**3 / 3
    assert closed / loose == pytest.approx(bredt / walls, rel=0.05)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["section", "--figure", "a.svg"], "no common stress or warping to draw"),
        (["section", "--warping-figure", "a.svg"], "weld them"),
        (["stress", "T = 1 kN*m"], "have in common with: soapfilm section"),
        (["report"], "have in common with: soapfilm section"),
        (["compare", "IPE200"], "have in common with: soapfilm section"),
    ],
)
def test_what_pressed_parts_do_not_have_is_refused(
    capsys, tmp_path, monkeypatch, pressed, words, says
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main([words[0], pressed, *words[1:]]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert says in err
    assert err.startswith(f"soapfilm: error: {pressed}: ")
