"""Joints and decks of a member built in stages: beside the member loaded at once, and statics."""

from __future__ import annotations

import csv
import json
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from soapfilm.cli.main import main
from soapfilm.geometry.errors import InputError
from soapfilm.report.stages.passages import staged_table
from soapfilm.report.stages.record import staged_json, staged_record
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.assessment import assess
from soapfilm.solver.member.review.held_joint import held_joints
from soapfilm.solver.member.staged.assessment import StagedAssessment, assess_stages
from soapfilm.solver.member.staged.stage_deck import deck_totals
from soapfilm.solver.member.staged.stage_joint import stage_joints

GIRDER = """
unit = "mm"
[analysis]
sections = "keep their shape"
[section.beam]
shape = "HEB300"
material = "S355"
[[span]]
length = "6 m"
[[support]]
name = "bracket"
at = ["start", "end"]
joint = "end"
[[joint]]
name = "end"
kind = "end plate"
bolt = "M24"
grade = "8.8"
fit = "preloaded"
rows = 3
pitch = 80
gauge = 120
end_distance = 50
side_distance = 45
thickness = 20
weld = 8
ultimate = "430 MPa"
beam_web = 11
[[joint]]
name = "fin"
kind = "fin plate"
bolt = "M20"
grade = "8.8"
fit = "preloaded"
rows = 3
pitch = 70
arm = 75
end_distance = 40
side_distance = 40
thickness = 10
weld = 6
ultimate = "430 MPa"
beam_web = 8
[[secondary_beam]]
name = "joist"
at = ["2 m", "4 m"]
E = "210 GPa"
I = "5790 cm^4"
length = "4.5 m"
side = "left"
far_end = "pinned"
place = "web left face"
joint = "fin"
loads = { first = "4 kN/m", then = "7 kN/m" }
[[load]]
case = "then"
weight = "6 kN/m"
place = [-150, 0]
[[combination]]
name = "all"
factors = { first = 1.35, then = 1.5 }
"""
STAGES = """
[[stage]]
name = "one"
cases = ["first"]
{one}
[[stage]]
name = "two"
{two}
"""
DECK = """
[[deck]]
name = "slab"
twist = "100 kN*m/rad/m"
x = "20 kN/mm/m"
level = "top"
"""


@cache
def staged(more: str = "", one: str = "", two: str = "") -> StagedAssessment:
    return assess_stages(member_from_toml(GIRDER + more + STAGES.format(one=one, two=two)))


class TestJoints:
    def test_in_the_end_as_loaded_at_once(self) -> None:
        """One structure throughout: after the last stage every bolt has what it has at once."""
        whole = held_joints(assess(member_from_toml(GIRDER), cures=False))
        found = stage_joints(staged())
        assert [h.title for h in found] == [h.title for h in whole]
        for ours, theirs in zip(found, whole, strict=True):
            assert [s.actions.name for s in ours.shares] == ["one: all", "two: all"]
            for a, b in zip(ours.shares[-1].bolts, theirs.shares[0].bolts, strict=True):
                size = b.largest
                assert a.shear == pytest.approx(b.shear, abs=1e-6 * size)
                assert a.tension == pytest.approx(b.tension, abs=1e-6 * size)
            assert ours.turn == pytest.approx(theirs.turn, rel=1e-6)

    def test_bolts_of_a_fin_carry_the_beams_shear(self) -> None:
        """Statics: w L / 2 + M / L of the load that has come, a stage and a combination."""
        found = next(h for h in stage_joints(staged()) if h.title.startswith("joist"))
        load = np.array([4.0 * 1.35, 4.0 * 1.35 + 7.0 * 1.5])  # N/mm
        for w, share in zip(load, found.shares, strict=True):
            down = -float(share.bolts[0].elastic[:, 1].sum())
            end = share.actions.about((found.detail.hinge, 0.0, 0.0))[2]
            assert abs(down) == pytest.approx(abs(w * 4500 / 2 - end / 4500), rel=1e-6)

    def test_secondary_beams_are_whole_in_the_reactions(self) -> None:
        """All that is brought down comes up at the supports: by statics, 2 joists and the load."""
        rows = staged().stages[-1].reactions[0]
        up = sum(r.force[1] for r in rows)
        assert up == pytest.approx(6.0 * 1.5 * 6000, rel=1e-6)
        joist = next(r for r in rows if r.title.startswith("joist"))
        assert joist.force[1] < -30e3

    def test_a_beam_taken_away_takes_its_load_with_it(self) -> None:
        """Both joists go, with the load of the first stage that they brought."""
        both = 'without = ["joist at 2000 mm", "joist at 4000 mm"]'
        text = GIRDER.replace('then = "7 kN/m"', 'then = "0 kN/m"')
        found = assess_stages(member_from_toml(text + STAGES.format(one="", two=both)))
        before, after = (s.reactions[0] for s in found.stages)
        assert [r.title for r in after] == ["bracket 1", "bracket 2"]
        supports = [r.force[1] for r in before if r.title.startswith("bracket")]
        assert sum(supports) == pytest.approx(2 * 4.0 * 1.35 * 4500 / 2, rel=0.05)
        assert sum(r.force[1] for r in after) == pytest.approx(6.0 * 1.5 * 6000, rel=1e-6)

    def test_a_load_does_not_come_without_its_beam(self) -> None:
        with pytest.raises(InputError, match="would be lost"):
            staged(one='without = ["joist at 2000 mm"]')
        with pytest.raises(InputError, match="would be lost"):  # a case that no stage names
            staged(two='without = ["joist at 2000 mm"]')

    def test_table_record_and_csv_hold_every_bolt(self, tmp_path: Path) -> None:
        found = stage_joints(staged())
        text, record = staged_table(staged()), staged_record(staged())
        assert "two: all" in text
        assert "bolt 6" in text
        joints = {j["at"]: j for j in record["joints"]}
        assert set(joints) == {h.title for h in found}
        assert [c["name"] for c in joints["bracket 1"]["combinations"]] == ["one: all", "two: all"]
        json.loads(staged_json(staged()))
        file, out = tmp_path / "m.toml", tmp_path / "bolts.csv"
        file.write_text(GIRDER + STAGES.format(one="", two=""))
        assert main(["member", str(file), "--joints", str(out)]) == 0
        rows = list(csv.reader(out.read_text().splitlines()))
        assert len(rows) > 2 * (2 * 6 + 2 * 3)


class TestDecks:
    def test_a_deck_holds_what_comes_after_it(self) -> None:
        """With the deck at a stage alone; its sums and those of the supports balance the rest."""
        late = staged(DECK, one='without = ["slab"]')
        assert deck_totals(late.history.until(0)) == ()
        (deck,) = deck_totals(late.history.until(1))
        (early,) = deck_totals(staged(DECK).history.until(1))
        assert 0 < abs(deck.total_torque[0]) < abs(early.total_torque[0])
        record = staged_record(late)["stages"][1]["decks"][0]
        torque = np.array(record["combinations"]["all"]["torque_per_length"])
        along = np.trapezoid(torque, record["z"])
        assert along == pytest.approx(deck.total_torque[0], rel=2e-2)
        assert "q_x at its level" in staged_table(late)
