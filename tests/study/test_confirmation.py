"""What the classical theory finds is confirmed, or refused, by sections that deform, as a member's
report judges them; diaphragms are chosen and weighed."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.report.study.size_record import size_json
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.assessment import assess
from soapfilm.solver.study.choice.assortment import ShapedChoice
from soapfilm.solver.study.choice.member_outcome import CLASSICAL, DEFORMING
from soapfilm.solver.study.choice.setting import request_of
from soapfilm.solver.study.choice.sizing import Sizing, size_member
from soapfilm.solver.study.choice.theory_ratio import TheoryRatio
from soapfilm.solver.study.choice.trial import Trial, attempt
from soapfilm.solver.study.file.member_base import MemberBase
from soapfilm.solver.study.file.size_file import load_sizing

from .files import BEAM
from .told import told

SECTION = """
name = "box"
unit = "mm"
[material.steel]
grade = "S355"
[[shape]]
name = "wall"
profile = "RectangleHollow"
XDim = 1200
YDim = 800
WallThickness = 10
"""
#: An invented walkway on a box whose one web carries it: the box distorts between its ends.
WALKWAY = """
unit = "mm"
[section.box]
file = "box.toml"
[[span]]
length = "18 m"
[[support]]
at = ["start", "end"]
kind = "fork"
[[load]]
case = "crowd"
weight = "9 kN/m"
place = [600, 0]
[[limit]]
twist = "0.3 deg"
[[limit]]
stress = "45 MPa"
"""
DIAPHRAGM = '[[diaphragm]]\nname = "bulkhead"\nevery = "6 m"\nthickness = "10 mm"\n'
WALLS = '[[parameter]]\nname = "wall"\nsets = "wall.WallThickness"\n'


def sizing(folder: Path, *parameters: str, member: str = WALKWAY, head: str = "") -> Sizing:
    """A size file of the walkway's box."""
    (folder / "box.toml").write_text(SECTION)
    (folder / "walkway.toml").write_text(member)
    text = f'member = "walkway.toml"\nsection = "box.toml"\naccuracy = 1e-3\nwanted = 1\n{head}'
    (folder / "size.toml").write_text(text + "".join(parameters))
    return load_sizing(folder / "size.toml")


def every(sought: Sizing) -> list[Trial]:
    """All candidates judged by deforming sections, none left to the classical theory."""
    assert isinstance(sought.choice, ShapedChoice)
    setting = replace(sought.setting, reach=math.inf)
    return [
        attempt(setting, sought.choice.candidate(values), thorough=True)
        for values in sought.choice.combinations()
    ]


def test_both_theories_choose_one_girder(beam: Path) -> None:
    """A rolled I keeps its shape under a load on its axis: the classical winner is confirmed, and
    nothing is refused."""
    beam.write_text(BEAM.replace("[200, 0]", "[2, 0]").replace("span/300", "span/250"))
    file = beam.with_name("size.toml")
    file.write_text(
        'member = "beam.toml"\nwanted = 1\naccuracy = 1e-3\n'
        '[catalogue]\nmaterial = "S355"\nfamilies = ["HEM"]\n'
    )
    sought = load_sizing(file)
    found = size_member(sought)
    plain = size_member(replace(sought, setting=replace(sought.setting, reach=0.0)))
    assert found.found[0].label == plain.found[0].label
    assert found.confirmation.refused == ()
    outcome = found.found[0].outcome
    assert outcome is not None
    assert outcome.theory == DEFORMING
    assert outcome.classical is not None
    assert outcome.twist == pytest.approx(outcome.classical.twist, rel=0.02)
    assert plain.confirmation.judged == 0
    assert "Judged by the classical theory alone" in told(plain)


def test_a_box_that_distorts_is_refused_and_the_next_is_chosen(tmp_path: Path) -> None:
    """The classical theory takes a wall that deforming sections stress by half as much again."""
    sought = sizing(tmp_path, WALLS + "values = [6, 8, 10, 12]\n")
    found = size_member(sought)
    plain = size_member(replace(sought, setting=replace(sought.setting, reach=0.0)))
    trials = {t.label: t for t in every(sought)}
    lightest = min((t for t in trials.values() if t.passed), key=lambda t: t.weight)
    assert found.found[0].label == lightest.label
    assert plain.found[0].weight < lightest.weight
    assert [t.label for t in found.confirmation.refused] == [
        t.label for t in trials.values() if t.refused
    ]
    refused = trials[plain.found[0].label]
    assert refused.refused
    assert refused.reasons[0].words.startswith("von Mises stress: 1.")

    text = told(found)
    assert "where sections deform" in text
    assert f"refused because sections deform: {plain.found[0].label}" in text
    assert "by the classical theory" in text
    record = json.loads(size_json(found, request_of(sought.setting.member, 1e-3).units))
    assert record["found"][0]["member"]["theory"] == DEFORMING
    stress = record["found"][0]["limits"][1]
    assert stress["used_classical"] < 0.8 * stress["used"] < 0.8
    assert record["confirmation"]["refused_by_them_alone"][0]["label"] == plain.found[0].label


def test_what_is_chosen_is_judged_as_its_own_report_judges_it(tmp_path: Path) -> None:
    sought = sizing(tmp_path, WALLS + "values = [10, 12]\n")
    best = size_member(sought).found[0]
    (tmp_path / "box.toml").write_text(
        SECTION.replace("WallThickness = 10", f"WallThickness = {best.label.split()[-1]}")
    )
    text = WALKWAY + "[analysis]\naccuracy = 1e-3\n"
    report = assess(member_from_toml(text, folder=tmp_path), cures=False)
    assert [row.row.ratio for row in report.limits] == pytest.approx(
        [check.ratio for check in best.checks[:2]], rel=1e-9
    )


def test_a_free_wall_is_scaled_by_the_ratio_of_both_theories(tmp_path: Path) -> None:
    sought = sizing(tmp_path, WALLS + "from = 5\nto = 15\n")
    found = size_member(sought)
    best = found.found[0]
    assert best.outcome is not None
    assert best.outcome.theory == DEFORMING
    assert 0.99 < best.used <= 1
    assert found.ending is not None
    assert found.ending.converged
    assert 1 < found.confirmation.rounds < 10
    # Half a per cent less of the wall breaks the limit, by the theory that judges.
    wall = float(best.label.split()[-1])
    assert isinstance(sought.choice, ShapedChoice)
    candidate = sought.choice.candidate({"wall": 0.99 * wall})
    less = attempt(replace(sought.setting, reach=math.inf), candidate, thorough=True)
    assert less.refused
    # Slopes of what deforming sections do: the stress falls as the wall grows, by more than its
    # share of the section.
    assert found.holding is not None
    ((words, factor),) = found.holding.limits
    assert words == "von Mises stress"
    assert 0.3 < factor < 1
    assert "no small change is lighter" in told(found)


def test_diaphragms_are_chosen_and_weighed(tmp_path: Path) -> None:
    """Thicker walls, or bulkheads: a list of both beside brute force, weights by hand."""
    member = WALKWAY + DIAPHRAGM
    spacing = '[[parameter]]\nname = "bays"\nsets = "member.bulkhead.every"\n'
    walls = WALLS + "values = [8, 11]\n"
    sought = sizing(tmp_path, walls, spacing + 'from = "6 m"\nto = "9 m"\n', member=member)
    assert isinstance(sought.choice, ShapedChoice)
    # 18 m in two or three equal bays
    assert sought.choice.parameters[1].values == ("9000 mm", "6000 mm")
    found = size_member(sought)
    trials = every(sought)
    lightest = min((t for t in trials if t.passed), key=lambda t: t.weight)
    assert found.found[0].label == lightest.label
    for trial in trials:
        wall = float(trial.label.split(",")[0].split()[-1])
        plates = {"9000 mm": 3, "6000 mm": 4}[trial.label.split("= ")[-1]]
        void = (1200 - 2 * wall) * (800 - 2 * wall)
        area = 1200 * 800 - void
        assert trial.weight == pytest.approx(7.85e-6 * (area + plates * void * 10 / 18_000))
    assert "count the plates and bars of the member's diaphragms" in told(found)


def test_a_wall_and_the_spacing_of_diaphragms_are_free(tmp_path: Path) -> None:
    member = WALKWAY + '[[diaphragm]]\nevery = "6 m"\n'
    spacing = '[[parameter]]\nname = "bays"\nsets = "member.diaphragm.1.every"\n'
    ranges = (WALLS + "from = 6\nto = 14\n", spacing + "from = 9000\nto = 18000\n")
    sought = sizing(tmp_path, *ranges, member=member)
    found = size_member(sought)
    best = found.found[0]
    assert best.judged
    assert 0.98 < best.used <= 1
    # No spacing with a wall by a per cent lighter keeps the limits.
    assert isinstance(sought.choice, ShapedChoice)
    for bays in sought.choice.parameters[1].values:
        candidate = sought.choice.candidate({"wall": 10.0, "bays": bays})
        trial = attempt(replace(sought.setting, reach=0.0), candidate, thorough=True)
        wall = 10.0 * (0.99 * best.weight / trial.weight)
        if 6 <= wall <= 14:
            candidate = sought.choice.candidate({"wall": wall, "bays": bays})
            other = attempt(replace(sought.setting, reach=math.inf), candidate, thorough=True)
            assert other.weight < best.weight
            assert not other.passed


def test_a_file_that_keeps_shapes_is_judged_classically_and_says_so(tmp_path: Path) -> None:
    member = WALKWAY + '[analysis]\nsections = "keep their shape"\n'
    found = size_member(sizing(tmp_path, WALLS + "values = [7, 8]\n", member=member))
    outcome = found.found[0].outcome
    assert outcome is not None
    assert outcome.theory == CLASSICAL
    assert "keep their shape" in outcome.alone
    text = told(found)
    assert "Judged by the classical theory alone (the file asks for" in text
    assert "where sections deform" not in text


@pytest.mark.parametrize(
    ("sets", "span", "words"),
    [
        ("member.bulkhead.evry", "values = [1]", None),
        ("member.span.1.length", "values = [1]", "its diaphragms alone can be chosen"),
        ("member.diafragm.1.every", "values = [1]", "did you mean 'diaphragm'"),
        ("member.bulkhead.every", "from = 10000\nto = 17000", "no spacing between 10000 and 17000"),
        ("member.bulkhead.every", "from = 1\nto = 9000", "more than 200 numbers of bays"),
    ],
)
def test_slips_in_addresses_of_diaphragms(
    tmp_path: Path, sets: str, span: str, words: str | None
) -> None:
    parameter = f'[[parameter]]\nname = "d"\nsets = "{sets}"\n{span}\n'
    if words is None:  # a key that is not there is a reason of every candidate
        found = size_member(sizing(tmp_path, parameter, member=WALKWAY + DIAPHRAGM))
        assert not found.found
        assert "evry" in found.neighbours[0].reasons[0].words
        return
    with pytest.raises(InputError, match=words):
        sizing(tmp_path, parameter, member=WALKWAY + DIAPHRAGM)


def test_ratios_are_interpolated_and_kept_within_reason() -> None:
    ratio = TheoryRatio({(0.2,): {"0 a": 1.0}, (0.4,): {"0 a": 1.21}}, raised=1.01)
    assert ratio.at((0.3,))["0 a"] == pytest.approx(1.1 * 1.01, rel=1e-9)
    assert ratio.at((0.4,))["0 a"] == pytest.approx(1.21 * 1.01)
    assert ratio.at((1.0,))["0 a"] <= 1.21 * 1.5 * 1.01 * (1 + 1e-9)
    assert TheoryRatio().at((0.5,)) == {}


def test_the_critical_factor_told_is_the_one_judged(tmp_path: Path) -> None:
    """A thin tube's walls buckle long before the member of the classical theory does, whose factor
    stood in its place."""
    (tmp_path / "tube.toml").write_text(
        'unit = "mm"\n[[section.tube.shape]]\nmaterial = "S355"\nprofile = "RectangleHollow"\n'
        'XDim = 200\nYDim = 400\nWallThickness = 5\n[[span]]\nlength = "8 m"\n'
        '[[support]]\nat = ["start", "end"]\nkind = "fork"\n'
        '[[load]]\nweight = "20 kN/m"\nplace = [0, 200]\n[[limit]]\ncritical_factor = 4\n'
    )
    row = MemberBase.from_file(tmp_path / "tube.toml").solved({}, 1e-3, None)
    assert row["critical_factor"] == pytest.approx(4 / row["limit_1_used"])
    assert row["critical_factor_classical"] > 2 * row["critical_factor"]
    assert row["theory"] == DEFORMING
