"""What is told of a member first: rounding is no twist, and a corner's deflection is told."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from soapfilm.report.page.live_member import member_data
from soapfilm.report.page.member_facts import member_facts
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.assessment import Assessment, assess

from ..page.test_live_data import packed

LESSONS = Path(__file__).parents[2] / "desk" / "lessons"
CLASSICAL = '[analysis]\nsections = "keep their shape"\n'


def assessed(text: str) -> Assessment:
    return assess(member_from_toml(text, name="member"), cures=False, critical=False)


@pytest.mark.parametrize("more", ["", CLASSICAL])
def test_a_straight_member_loaded_on_its_axis_does_not_twist(more: str) -> None:
    """Rounding was told: a largest twist of 1.6e-13 degrees, a torque of 7e-30 kN m."""
    text = (LESSONS / "curved-box.toml").read_text("utf-8").replace('radius = "20 m"\n', "")
    found = assessed(text + more)
    facts = {fact.words: fact for fact in member_facts(found)}
    for words in ("largest twist", "largest torque", "largest bimoment"):
        assert facts[words].value == "0"
        assert " at " not in facts[words].note
    data = member_data(found)
    for diagram in data["diagrams"]:
        if diagram["key"] in ("phi", "T", "T_w", "B"):
            assert not np.any(packed(diagram["values"]))


def test_play_and_both_sides_are_told() -> None:
    """The box of 9 goes down by 22.3 and 14 mm at its sides, as its lesson says."""
    box = assessed((LESSONS / "box-without-diaphragms.toml").read_text("utf-8"))
    (fact,) = (f for f in member_facts(box) if f.words == "largest deflection of a corner")
    assert float(fact.value) == pytest.approx(22.4, abs=0.1)
    assert "the sides go down by 22.3 and 14 mm" in fact.note
    joists = assessed((LESSONS / "girder-and-joists.toml").read_text("utf-8") + CLASSICAL)
    (play,) = (f for f in member_facts(joists) if f.words.startswith("play"))
    assert float(play.value) == pytest.approx(1.6, abs=0.05)  # as its lesson says
