"""Random members of the campaign (`make robust`), and whether it would see a fault."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError

from benchmarks.robustness import member_case, member_trial
from benchmarks.robustness.member_families import FAMILIES
from benchmarks.robustness.member_image import chained, in_metres, mirrored, walked_back
from benchmarks.robustness.member_table import chapter
from benchmarks.robustness.table import MEMBERS, with_chapter

BAR = "plain bar: 1001"


@pytest.mark.parametrize("name", [BAR, "keeps its shape: 1001"])
def test_random_members(name: str) -> None:
    found = member_trial.run(name)
    assert found.good, f"{found.outcome}: {found.troubles}"


def test_a_name_gives_the_same_member_every_time() -> None:
    for family in FAMILIES:
        one, other = (member_trial.case_of(f"{family}: 7") for _ in range(2))
        assert one.points == other.points
        assert one.pieces == other.pieces


@pytest.mark.parametrize("family", FAMILIES)
def test_images_of_images_are_the_member(family: str) -> None:
    case = member_trial.case_of(f"{family}: 3")
    for image in (mirrored, walked_back):
        twice = image(image(case).case).case
        assert np.allclose(twice.pieces, case.pieces)
        assert np.allclose(twice.points, case.points)
        for load, own in zip(twice.loads, case.loads, strict=True):
            assert np.allclose(load.force, own.force)
            assert np.allclose(load.place, own.place)
    assert in_metres(case).case.length == pytest.approx(case.length / 1000)


def test_a_chain_turns_as_its_arc() -> None:
    case = next(c for n in range(9) if (c := member_trial.case_of(f"curved: {n}")).curved)
    chain = chained(case).case
    assert not chain.curved
    turned = sum(length * curvature for length, curvature in case.pieces)
    assert sum(kink.angle for kink in chain.kinks) == pytest.approx(turned)
    assert chain.length == pytest.approx(case.length)


def test_wrong_movements_are_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """By closed forms; and by reciprocity, where one unit force moves the member too far."""
    solved = member_case.solved

    class Falsified(member_case.SolvedMember):
        def moved(self, points: Any, column: str = member_case.ALL) -> Any:
            far = 1.001 if column == member_case.ONE else 1.0
            return far * super().moved(points, column)

    def wrong(case: member_case.MemberCase) -> member_case.SolvedMember:
        good = solved(case)
        return Falsified(good.case, good.deforming, good.classical, good.sections)

    monkeypatch.setattr(member_trial, "solved", wrong)
    case = member_trial.case_of(BAR)
    stiff = replace(case, known=tuple(replace(k, value=1.02 * k.value) for k in case.known))
    monkeypatch.setattr(member_trial, "case_of", lambda name: stiff)
    found = member_trial.run(BAR)
    assert found.outcome == "wrong"
    assert any("two unit forces move each other" in text for text in found.troubles)
    assert sum("by the formula" in text for text in found.troubles) == 4


def test_crashes_and_refusals_are_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    def crash(case: member_case.MemberCase) -> None:
        raise ZeroDivisionError("by zero")

    monkeypatch.setattr(member_trial, "solved", crash)
    crashed = member_trial.run(BAR)
    assert crashed.outcome == "crashed"

    def refuse(case: member_case.MemberCase) -> None:
        raise InputError("the member would be loose")

    monkeypatch.setattr(member_trial, "solved", refuse)
    refused = member_trial.run(BAR)
    assert refused.outcome == "rejected"
    page = with_chapter("# Robustness\n", chapter([crashed, refused]))
    assert "2 members, 0 of them beside 3D elasticity: 0 as they should be, 2 not" in page
    assert page.count(MEMBERS) == 1
    assert with_chapter(page, chapter([])).count(MEMBERS) == 1
