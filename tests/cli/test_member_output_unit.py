"""A member told in another length unit is the same member; a desk model is told in N."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from soapfilm.cli.main import main

GIRDER = """
unit = "mm"
[analysis]
sections = "keep their shape"
accuracy = 1e-3
[section.girder]
shape = "IPE300"
material = "S355"
[[span]]
length = 6000
[[segment]]
section = "girder"
[[support]]
at = ["start", "end"]
kind = "fork"
lever_arm = 200
[points]
seat = [80, 150]
[[spring]]
at = 3000
x = "4 kN/mm"
level = 150
[[deck]]
from = 500
to = 5500
twist = "5 kN*m/rad/m"
[[load]]
case = "dead"
every = 1500
weight = "9 kN"
place = "seat"
[[limit]]
deflection = 20
point = [10, -150]
[[limit]]
twist = "2 deg"
[[limit]]
stress = "300 MPa"
[[limit]]
critical_factor = 2
"""
DESK = """
name = "desk strip"
unit = "mm"
[material.card]
E = "3 GPa"
nu = 0.3
[section.strip]
[[section.strip.shape]]
profile = "Rectangle"
XDim = 20
YDim = 2
material = "card"
[[span]]
length = 60
[[segment]]
section = "strip"
[[support]]
at = "start"
kind = "fixed"
[[load]]
case = "hand"
at = "end"
T = "0.5 N*m"
"""


#: Powers of (force, length) of what a member's JSON tells at its places.
POWERS = {
    "length": (0, 1), "spans": (0, 1), "combinations.largest.u.value": (0, 1),
    "combinations.largest.phi.value": (0, 0), "combinations.largest.M_x.value": (1, 1),
    "combinations.largest.V_y.value": (1, 0), "combinations.largest.B.value": (1, 2),
    "combinations.critical_load_factor": (0, 0), "loads.arm": (0, 1), "loads.torque": (1, 1),
    "reactions.supports.combinations.dead.couple": (1, 0), "points.deflection": (0, 1),
    "sections.girder.torsion_constant": (0, 4), "sections.girder.elastic_modulus": (1, -2),
    "stress.von Mises": (1, -2), "stress.point": (0, 1), "limits.used": (0, 0),
    "reactions.decks.combinations.dead.torque_per_length": (1, 0),
}  # fmt: skip


def _numbers(record: object, path: str) -> list[float]:
    """All numbers at a path of a record."""
    head, _, rest = path.partition(".")
    if isinstance(record, list):
        return [v for item in record for v in _numbers(item, path)]
    if isinstance(record, dict):
        return _numbers(record[head], rest)
    return [float(record)] if isinstance(record, (int, float)) else []


def test_a_member_told_in_inches_is_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "girder.toml"
    file.write_text(GIRDER)
    records: list[Any] = []
    for unit in ("mm", "in"):
        words = ["member", str(file), "--json", "--no-remedies", "--output-unit", unit]
        assert main(words) == 0
        records.append(json.loads(capsys.readouterr().out))
    kip = 4448.2216152605
    for path, (force, length) in POWERS.items():
        metric, american = (_numbers(record, path) for record in records)
        assert metric, path
        scale = kip**force * 25.4**length
        largest = max(map(abs, metric))
        assert [scale * v for v in american] == pytest.approx(metric, rel=1e-7, abs=1e-7 * largest)


def test_a_desk_model_is_told_in_small_units(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "desk.toml"
    file.write_text(DESK + '[analysis]\nsections = "keep their shape"\naccuracy = 1e-3\n')
    assert main(["member", str(file), "--no-remedies"]) == 0
    text = capsys.readouterr().out
    assert "60 mm long" in text
    table = text[text.index("Applied loads") : text.index("Arms run")]
    assert table.split()[-1] == "0.5"
    assert "N·m" in text
    assert "kN" not in text
