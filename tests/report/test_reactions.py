"""Reactions in a member's table, record and CSV: whole, each with what acts together."""

from __future__ import annotations

import csv
import io

import pytest
from soapfilm.report.member.reaction_record import reaction_csv, reaction_records
from soapfilm.report.member.reactions import reactions
from soapfilm.report.member.units import MemberUnits
from soapfilm.report.page.document import Grid
from soapfilm.report.page.member_report import member_report
from soapfilm.report.page.origin import Origin
from soapfilm.report.text.rendering import render_passage
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.assessment import Assessment, assess

TEXT = """
unit = "mm"
[analysis]
sections = "keep their shape"
[section.tube]
E = "210 GPa"
G = "81 GPa"
A = "7490 mm^2"
I_x = "61.7e6 mm^4"
I_y = "27.5e6 mm^4"
J = "61.9e6 mm^4"
[[span]]
length = "6 m"
[[support]]
name = "column"
at = "start"
kind = "fork"
lever_arm = "200 mm"
[[support]]
name = "wall"
at = "end"
kind = "bearing pair"
spacing = "300 mm"
[[deck]]
name = "slab"
twist = "50 kN*m/rad/m"
from = "1 m"
to = "5 m"
[[load]]
case = "stone"
weight = "5 kN/m"
place = [340, -60]
[[load]]
case = "wind"
at = "2 m"
F_x = "4 kN"
T = "-14 kN*m"
place = "shear centre"
[[combination]]
name = "calm"
factors = { stone = 1.0 }
[[combination]]
name = "storm"
factors = { stone = 1.0, wind = 1.0 }
"""


@pytest.fixture(scope="module")
def found() -> Assessment:
    return assess(member_from_toml(TEXT), cures=False)


def test_the_table_names_the_deck_and_its_share(found: Assessment) -> None:
    text = render_passage(reactions(found, MemberUnits(found.request.units)))
    words = " ".join(text.split())
    deck = found.reactions[0].decks[0]
    assert f"{abs(deck.total_torque[1]) * 1e-6:.3g}"[:4] in text
    assert "'slab' holds" in words
    assert "% of the torque that is held" in words
    assert "storm" in text
    assert "column" in text


def test_a_lifted_bearing_stands_with_its_hold_down_force(found: Assessment) -> None:
    text = render_passage(reactions(found, MemberUnits(found.request.units)))
    lifted = [b for b in found.reactions[0].bearings if b.lifts]
    assert lifted
    assert "uplift" in text
    assert "would hold it down" in " ".join(text.split())


def test_applied_and_held_sum_to_nothing_in_the_table(found: Assessment) -> None:
    text = render_passage(reactions(found, MemberUnits(found.request.units)))
    (line,) = [r for r in text.splitlines() if r.startswith("calm") and " all " in r]
    assert line.split()[2:] == ["0"] * 6
    (line,) = [r for r in text.splitlines() if r.startswith("storm") and "applied" in r]
    assert line.split()[2:4] == ["4", "-30"]


def test_the_record_keeps_what_acts_together(found: Assessment) -> None:
    (record,) = reaction_records(found)
    assert record["theory"] == "classical"
    column = record["supports"][0]
    storm = column["combinations"]["storm"]
    (most,) = [e for e in column["envelope"] if e["extreme"] == "T max"]
    together = column["combinations"][most["combination"]]
    assert {k: most[k] for k in ("R_x", "R_y", "T")} == {
        k: together[k] for k in ("R_x", "R_y", "T")
    }
    assert storm["couple"] == pytest.approx(abs(storm["T"]) / 200)
    sums = record["sums"]["storm"]
    for word, value in sums["applied"].items():
        assert value + sums["held"][word] == pytest.approx(0.0, abs=1e-6)


def test_the_csv_adds_up(found: Assessment) -> None:
    rows = list(csv.DictReader(io.StringIO(reaction_csv(found))))
    storm = [r for r in rows if r["combination"] == "storm"]
    up = sum(float(r["R_y (kN)"]) for r in storm if r["kind"] == "support")
    assert up == pytest.approx(30.0, rel=1e-8)
    pushes = [float(r["R_y (kN)"]) for r in storm if r["kind"] == "bearing"]
    (wall,) = [
        float(r["R_y (kN)"]) for r in storm if r["name"] == "wall" and r["kind"] == "support"
    ]
    assert sum(pushes) == pytest.approx(wall, rel=1e-8)
    torques = [float(r["T (kN·m)"]) for r in storm if r["kind"] in ("support", "deck, total")]
    assert sum(torques) == pytest.approx(5 * 6 * 0.34 + 14, rel=1e-8)
    deck = [r for r in storm if r["kind"] == "deck"]
    assert (float(deck[0]["z (m)"]), float(deck[-1]["z (m)"])) == (1.0, 5.0)


def test_the_page_holds_every_table(found: Assessment) -> None:
    """Tables whose columns have no unit of their own, such as that of decks, are grids too."""
    page = member_report(found, Origin())
    (part,) = [p for p in page.parts if p.heading == "Support reactions"]
    grids = [block for block in part.blocks if isinstance(block, Grid)]
    assert [grid.heads[0] for grid in grids] == ["support", "bearing of", "deck", "combination"]
