"""A part of the robustness campaign with every run, and whether the campaign would see a fault.

The long form is ``make robust``; its figures are in benchmarks/ROBUSTNESS.md.
"""

from __future__ import annotations

import time
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from soapfilm.geometry.errors import GeometryError
from soapfilm.geometry.profiles.by_name import PROFILES
from soapfilm.solver.section import SectionResult, solve_section

from benchmarks.robustness import campaign, trial
from benchmarks.robustness.case import Case, exactly
from benchmarks.robustness.closed_form import rectangle
from benchmarks.robustness.exact_families import EXACT
from benchmarks.robustness.extremes import EXTREMES
from benchmarks.robustness.table import document

#: Those that take more than a second or so; the long form has them.
SLOW = {
    "200 round holes",
    "200 square holes",
    "regular polygon of 10,000 sides",
    "rough border of 10,000 vertices",
    "rough border of 2,000 vertices",
    "curved strip of 359.9 degrees, wall 0.001 of the radius",
    "50 slits",
}
#: A random section of each family for each of these, other ones than the long form starts with.
SEEDS = (1001, 1002)
#: Processor seconds that any of these cases may take, all solves it is held against included.
LONGEST = 30.0


@pytest.mark.parametrize("name", [n for n in EXTREMES if n not in SLOW])
def test_sections_at_the_edge(name: str) -> None:
    _passes(name)


@pytest.mark.parametrize("name", campaign.names(SEEDS, extremes=False))
def test_random_sections(name: str) -> None:
    _passes(name)


def _passes(name: str) -> None:
    begin = time.process_time()
    found = campaign.run(name)
    assert found.good, f"{found.outcome}: {found.troubles}"
    assert found.met
    assert time.process_time() - begin < LONGEST


# -- the campaign itself ---------------------------------------------------------------------------
def test_a_name_gives_the_same_section_every_time() -> None:
    for family in campaign.FAMILIES:
        one, other = (campaign.case_of(f"{family}: 7").section for _ in range(2))
        for a, b in zip(one.contours(), other.contours(), strict=True):
            np.testing.assert_array_equal(a.points, b.points)


def test_names_cover_every_family_and_extreme() -> None:
    every = campaign.names(range(2))
    assert len(every) == len(set(every)) == 2 * len(campaign.FAMILIES) + len(EXTREMES)
    assert set(map(campaign.kind_of, every)) == {*campaign.FAMILIES, "extreme"}
    assert set(EXTREMES) > SLOW


def strip() -> Case:
    section = PROFILES["Rectangle"](x_dim=1.0, y_dim=0.2).section()
    return exactly(section, rectangle(1.0, 0.2))


def test_a_wrong_interval_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """By the closed form, by the second solve, and by the bounds when it is far off."""

    def falsified(factor: float) -> trial.Trial:
        def solve(section: Any) -> SectionResult:
            good = solve_section(section)
            low, high = good.torsion_constant_lower, good.torsion_constant_upper
            return replace(
                good, torsion_constant_lower=factor * low, torsion_constant_upper=factor * high
            )

        monkeypatch.setattr(trial, "solve_section", solve)
        return trial.tried("strip", strip())

    assert falsified(1.0).outcome == "solved"
    slightly, grossly, short = falsified(1.00001), falsified(2.0), falsified(0.5)
    assert [t.outcome for t in (slightly, grossly, short)] == ["wrong"] * 3
    assert any("and not in" in text for text in slightly.troubles)
    assert any("is above" in text for text in grossly.troubles)
    assert any("below the sand heap's" in text for text in short.troubles)
    assert any("second mesh" in text for text in grossly.troubles)


def test_a_crash_and_a_valid_section_refused_are_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    def solve(section: Any) -> SectionResult:
        raise ZeroDivisionError("by zero")

    monkeypatch.setattr(trial, "solve_section", solve)
    crashed = trial.tried("strip", strip())
    assert crashed.outcome == "crashed"
    assert "by zero" in crashed.troubles[0]

    def refuse(section: Any) -> SectionResult:
        raise GeometryError("the outline crosses itself near (1.0, 2.0); draw it once")

    monkeypatch.setattr(trial, "solve_section", refuse)
    assert trial.tried("strip", strip()).outcome == "rejected"
    assert trial.tried("strip", replace(strip(), expect="refused")).outcome == "refused"


def test_a_section_that_is_none_and_yet_solved_is_seen() -> None:
    assert trial.tried("strip", replace(strip(), expect="refused")).outcome == "accepted"


def test_material_that_lowers_j_is_seen() -> None:
    less = PROFILES["Rectangle"](x_dim=1.0, y_dim=0.1).section()
    found = trial.tried("strip", replace(strip(), more=less))
    assert any("with material added" in text for text in found.troubles)


def test_the_guarded_run_and_its_page() -> None:
    names = ["curved strip: 3", "hole across the edge", "rectangular cells: 3"]
    trials = list(campaign.guarded(names))
    assert [t.outcome for t in trials] == ["solved", "refused", "solved"]
    page = document(trials)
    assert "3 sections: 3 solved or refused as they should be, 0 not" in page
    assert "| hole across the edge | refused |" in page
    assert "| curved strip | 1 | 1 | 0 | 0 | 0 | 0 |" in page


def test_a_late_case_is_ended_and_the_run_goes_on() -> None:
    names = ["200 square holes", "hole across the edge"]
    late, next_one = campaign.guarded(names, late=0.01)
    assert late.outcome == "late"
    assert next_one.name == names[1]


def test_exact_families_are_held_to_many_digits() -> None:
    for family in EXACT:
        low, high = campaign.case_of(f"{family}: 5").known or (0.0, 1.0)
        assert 0 < high - low < 1e-6 * high
