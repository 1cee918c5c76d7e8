"""What `soapfilm member`, `influence` and `report` give out of envelopes."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path

import pytest
from soapfilm.cli.main import main

from .test_beam_lines import BAR
from .test_envelope import CART, CASES, CROWD, LOADED, SPANS

BEARINGS = """
[analysis]
sections = "keep their shape"
[[span]]
length = 9
[[span]]
length = 7
[[support]]
name = "end"
at = ["start", "end of span 2"]
kind = "bearing pair"
spacing = 1
level = -0.2
[[support]]
name = "pier"
at = "end of span 1"
z = "held"
bearings = [{ x = 0, y = -0.2 }]
[points]
rim = [0.6, 0]
[[load]]
case = "dead"
weight = "4 kN/m"
place = [0, 0]
"""
STIFF = BAR.replace('"4e6 mm^4"', '"4e9 mm^4"').replace('"1e6 mm^4"', '"1e9 mm^4"')
USE = '[[combination]]\nname = "use"\nfactors = { dead = 1.0, cart = 1.1, crowd = 1.5 }\n'
LIMITS = '[[limit]]\ntwist = "2 deg"\n[[limit]]\ndeflection = "1 m"\npoint = "rim"\n'


def test_member_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "deck.toml"
    file.write_text(STIFF + BEARINGS + CART + CROWD + USE + LIMITS)
    schedule, plan, places = (tmp_path / n for n in ("s.csv", "plan.svg", "places.svg"))
    words = ["member", str(file), "--no-remedies"]
    assert main([*words, "--bearings", str(schedule), "--places", str(places)]) == 0
    out = capsys.readouterr().out
    for heading in (
        "Envelope of all combinations", "Arrangements solved as combinations", "Bearing schedule",
    ):  # fmt: skip
        assert f"\n{heading}\n---" in out
    assert "cart: " in out
    assert "use, arrangement 1" in out.partition("\nLimits\n")[2]
    assert "Moving loads are not in these results" not in out
    rows = list(csv.DictReader(schedule.open()))
    assert {r["bearing"] for r in rows} == {
        "end 1, bearing 1", "end 1, bearing 2", "end 2, bearing 1", "end 2, bearing 2", "pier",
    }  # fmt: skip
    assert places.read_text().startswith("<?xml")
    assert main([*words, "--bearings", str(plan), "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert plan.read_text().startswith("<?xml")
    results = {r["result"]: r for r in record["envelope"]["results"]}
    vertical = [r for r in rows if r["bearing"] == "pier" and r["extreme of"] == "vertical"]
    most = results["bearing 1 of pier"]["maximum"]
    assert float(vertical[0]["vertical (kN)"]) == pytest.approx(most["value"], rel=1e-6)
    # Dead load, vehicle and crowd add up: all results of the place stand beside it.
    assert most["together"]["bearing 1 of pier"] == most["value"]
    total = sum(most["together"][f"bearing {k} of end {n}"] for k in (1, 2) for n in (1, 2))
    acting = 4 * 16 + sum(
        s["factor"] * (sum(s["axle_forces"]) if "axle_forces" in s
                       else 5 * sum(p["to"] - p["from"] for p in s["covers"]))
        for s in most["standing"]
    )  # fmt: skip
    assert total + most["value"] == pytest.approx(acting, rel=1e-6)
    # The bearing moves along as the section turns below its centroid: nothing else moves it.
    turned = results["theta_x at end 1"]["maximum"]
    moved = turned["together"]["u_z at end 1"]
    assert moved < 0 < turned["value"]
    assert len(record["arrangements"]) >= 4
    assert record["bearing_schedule"][0]["standing"]


def test_rounding_is_no_movement_of_a_bearing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A straight deck on bearings at its shear centre: loads above them turn it up and down alone;
    what else the arithmetic leaves (1e-17 mrad) is 0 in table, CSV and plan."""
    text = BEARINGS.replace("level = -0.2\n", "").replace(", y = -0.2 }", " }")
    cart = CART.replace(", [0.6, 0]]", "]").replace('track = "0.5 m"\n', "")
    file = tmp_path / "deck.toml"
    file.write_text(STIFF + text + cart + USE.replace(", crowd = 1.5", ""))
    schedule, plan = tmp_path / "s.csv", tmp_path / "plan.svg"
    words = ["member", str(file), "--no-remedies"]
    assert main([*words, "--bearings", str(schedule)]) == 0
    out = capsys.readouterr().out
    table = out.partition("\nBearing schedule\n")[2].partition("\nLimits")[0]
    assert "rotation along" in table
    assert "movement along" not in table.partition("Vertical forces")[0]
    assert "twist at end 2" not in out
    rows = list(csv.DictReader(schedule.open()))
    assert {r["extreme of"] for r in rows} == {"vertical", "rotation along"}
    for row in rows:
        for head in ("across (kN)", "movement across (mm)", "movement along (mm)",
                     "rotation across (mrad)", "rotation in plan (mrad)"):  # fmt: skip
            assert row[head] in ("0", ""), (head, row[head])
    # Nor is it a twist, a torque or a moment of a support: only what the sums leave is told.
    left = re.findall(r"(within )?\S+e-\d\d", " ".join(out.split()))
    assert left
    assert all(left)
    assert main([*words, "--bearings", str(plan)]) == 0
    assert "no bearing moves in plan" in " ".join(plan.read_text().split())


def test_limits_count_the_worst_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One axle on a simple span: P L^3 / (48 E I) in the middle, T at the fork by statics."""
    one = CART.replace(', { at = "2 m", force = "5 kN" }', "").replace('track = "0.5 m"\n', "")
    text = BEARINGS[: BEARINGS.index("[[span]]")] + BEARINGS[BEARINGS.index("[points]") :]
    text += '[[span]]\nlength = 8\n[[support]]\nname = "s"\nat = ["start", "end"]\nkind = "fork"\n'
    text = text.replace("4 kN/m", "1e-6 kN/m")
    use = USE.replace("dead = 1.0, cart = 1.1, crowd = 1.5", "dead = 1.0, cart = 1.0")
    file = tmp_path / "bar.toml"
    file.write_text(BAR + text + one.replace("[0.6, 0]", "[0.0, 0]") + use + LIMITS)
    assert main(["member", str(file), "--no-remedies", "--json"]) == 0
    limits = json.loads(capsys.readouterr().out)["limits"]
    drop = 1.2 * 8e3 * 8**3 / (48 * 210e9 * 4e-6)
    assert limits[1]["value"] == pytest.approx(-drop, rel=1e-4)
    assert limits[1]["combination"].startswith("use, arrangement")


def test_influence_command_combines_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "deck.toml"
    file.write_text(BAR + SPANS + CART + CASES)
    words = ["influence", str(file), "--result", "M_x at 4", "--result", "theta_x at end"]
    assert main(words) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "Envelope of all combinations" in out
    assert "with a copy of the standard before use" in out
    assert main([*words, "--json"]) == 0
    record = json.loads(capsys.readouterr().out)["envelope"]
    assert [r["result"] for r in record["results"]] == ["M_x at 4", "theta_x at end"]
    assert record["cautions"]


def test_surfaces(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file, table = tmp_path / "box.toml", tmp_path / "map.csv"
    file.write_text(LOADED)
    words = ["influence", str(file), "--result", "T at 2600", "--map", str(tmp_path / "map.svg")]
    assert main([*words, "--csv", str(table)]) == 0
    assert "written to" in capsys.readouterr().out
    rows = list(csv.reader(table.open()))
    lines = list(dict.fromkeys(r[0] for r in rows[1:]))
    assert len(lines) == 11
    # The torque is as odd across as the box: opposite at both edges, but for the curve.
    by_line = [[float(r[2]) for r in rows[1:] if r[0] == line] for line in lines]
    edge, other, middle = by_line[0], by_line[-1], by_line[5]
    for a, b, c in zip(edge, other, middle, strict=True):
        assert a + b == pytest.approx(2 * c, abs=2e-2 * max(map(abs, edge)))
    file.write_text(BAR + SPANS)
    assert main(["influence", str(file), "--map", str(tmp_path / "map.svg")]) == 2
    assert "known by its figures alone" in capsys.readouterr().err
    assert main([*words, "--line", "[0, 0]"]) == 2
    assert "two lines at least" in capsys.readouterr().err


def test_what_the_options_refuse(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "deck.toml"
    file.write_text(BAR + BEARINGS)
    assert main(["member", str(file), "--places", str(tmp_path / "p.svg")]) == 2
    assert "--places draws moving loads that a combination names" in capsys.readouterr().err
    assert main(["member", str(file), "--bearings", str(tmp_path / "p.txt")]) == 2
    assert "which kind of figure" in capsys.readouterr().err
    # The schedule of still loads alone is no trouble.
    assert main(["member", str(file), "--no-remedies", "--bearings", str(tmp_path / "s.csv")]) == 0
    assert "Bearing schedule" in capsys.readouterr().out


SET = """
[[case]]
name = "dead"
kind = "permanent"
[[combination_set]]
code = "EN 1990"
structure = "footbridge"
states = ["6.10", "characteristic"]
"""


def test_reactions_of_arrangements_point_to_the_envelope(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Arrangements are not the worst of every reaction; limits of movement say when they are
    judged under strength combinations."""
    file = tmp_path / "deck.toml"
    service = LIMITS.replace('"\n', '"\ncombinations = ["characteristic"]\n', 1)
    for limits, said in ((LIMITS, True), (service, False)):
        limits = limits.partition("[[limit]]\ndeflection")[0]
        file.write_text(STIFF + BEARINGS + CART + CROWD + SET + limits)
        assert main(["member", str(file), "--no-remedies"]) == 0
        told = " ".join(capsys.readouterr().out.split())
        assert "over all places those of the envelope and the bearing schedule" in told
        assert "Every combination under which" not in told
        assert ('combinations = ["characteristic"] makes them limits' in told) is said
