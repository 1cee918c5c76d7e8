"""Random members of the campaign (`make robust`), and whether it would see a fault."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import Combination, PointLoad
from soapfilm.solver.member.model.support import fork

from benchmarks.robustness import member_case, member_contacts, member_laws, member_trial
from benchmarks.robustness.member_case import Torque
from benchmarks.robustness.member_image import (
    bent_slightly,
    chained,
    cut_up,
    in_metres,
    mirrored,
    walked_back,
)
from benchmarks.robustness.member_table import chapter
from benchmarks.robustness.member_torsion import twist
from benchmarks.robustness.table import MEMBERS, with_chapter

BAR = "plain bar: 1001"


@pytest.mark.parametrize("name", [BAR, "keeps its shape: 1001"])
def test_random_members(name: str) -> None:
    found = member_trial.run(name)
    assert found.good, f"{found.outcome}: {found.troubles}"


def test_a_name_gives_the_same_member_every_time() -> None:
    for family in member_trial.EVERY:
        one, other = (member_trial.case_of(f"{family}: 7") for _ in range(2))
        assert one.points == other.points
        assert one.pieces == other.pieces


@pytest.mark.parametrize("family", member_trial.EVERY)
def test_images_of_images_are_the_member(family: str) -> None:
    case = member_trial.case_of(f"{family}: 3")
    for image in (mirrored, walked_back):
        twice = image(image(case).case).case
        assert np.allclose(twice.pieces, case.pieces)
        assert np.allclose(twice.points, case.points)
        for word in ("at", "angle"):
            again = [getattr(kink, word) for kink in twice.kinks]
            assert again == pytest.approx([getattr(kink, word) for kink in case.kinks])
        assert [h.at for h in twice.hinges] == pytest.approx([h.at for h in case.hinges])
        for one, own in zip(twice.imposed, case.imposed, strict=True):
            assert getattr(one, "across", None) == getattr(own, "across", None)
            assert getattr(one, "motion", ()) == pytest.approx(getattr(own, "motion", ()))
        for load, own in zip(twice.loads, case.loads, strict=True):
            assert np.allclose(load.force, own.force)
            assert np.allclose(load.place, own.place)
    assert in_metres(case).case.length == pytest.approx(case.length / 1000)


def test_a_chain_turns_as_its_arc() -> None:
    case = next(c for n in range(9) if (c := member_trial.case_of(f"curved: {n}")).curved)
    chain = chained(case).case
    assert not chain.curved
    turned = sum(length * (first + last) / 2 for length, first, last in case.pieces)
    assert sum(kink.angle for kink in chain.kinks) == pytest.approx(turned)
    assert chain.length == pytest.approx(case.length)


def test_what_is_cut_is_as_long_and_what_is_bent_slightly_nearly_straight() -> None:
    for family in ("clothoid", "stepped", "tapered"):
        case = member_trial.case_of(f"{family}: 2")
        cut = cut_up(case, np.random.default_rng(1)).case
        assert len(cut.pieces) == 2 * len(case.pieces)
        assert cut.length == pytest.approx(case.length)
        assert cut.stretches[-1].end == case.stretches[-1].end
        axes = [member_case.axis_of(one) for one in (case, cut)]
        ends = [np.concatenate(axis.plan([case.length])) for axis in axes]
        assert ends[0] == pytest.approx(ends[1], rel=1e-9, abs=1e-9 * case.length)
    straight = member_trial.case_of(BAR)
    assert member_case.axis_of(bent_slightly(straight).case).curvature(0.0) == pytest.approx(
        1e-4 / straight.length
    )


@pytest.mark.parametrize("extra", [None, 4e5])
def test_the_formula_of_warping_torsion_solves_its_equations(extra: float | None) -> None:
    """Both differential equations and the conditions at the ends, by a general solver."""
    from scipy.integrate import solve_bvp

    c = SectionConstants(
        210e3, 81e3, 8e3, 5e7, 2e7, 6e5, warping_constant=4e11, secondary_torsion_constant=extra
    )
    length, torque = 4000.0, Torque(1500.0, 2e6, 0.0)
    g, j = c.shear_modulus, c.torsion_constant
    shear = g * (extra or 1e6 * j)  # Vlasov: warping follows the rate of twist

    def rates(s: Any, y: Any) -> Any:
        # Two pieces of the span, either over s from 0 to 1: twist, warping, its rate.
        found = []
        for k, (size, t) in enumerate(((1500.0, 0.625), (2500.0, -0.375))):
            _, chi, rate = y[3 * k : 3 * k + 3]
            phi = (torque.single * t + shear * chi) / (g * j + shear)
            found += [phi, rate, shear * (chi - phi) / (c.elastic_modulus * c.warping_constant)]
            found[-3:] = [size * v for v in found[-3:]]
        return np.array(found)

    def ends(a: Any, b: Any) -> Any:
        return np.array([a[0], a[2], b[3], b[5], *(b[:3] - a[3:])][:6])

    found = solve_bvp(rates, ends, np.linspace(0, 1, 30), np.zeros((6, 30)), tol=1e-8)
    assert found.success
    exact = twist(c, length, torque, torque.at)
    assert found.sol(1.0)[0] == pytest.approx(exact, rel=1e-5)


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


@pytest.mark.parametrize(
    "name", ["beam-columns: 0", "support by its reactions: 0", "settlement by reactions: 1"]
)
def test_laws_with_members_of_their_own(name: str) -> None:
    found = member_trial.run(name)
    assert found.good, f"{found.outcome}: {found.troubles}"
    assert found.held


def test_a_settlement_that_moves_too_far_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    moved = member_contacts._moved

    def far(found: Any, theory: str, points: Any, column: str = member_case.ALL) -> Any:
        return 1.001 * moved(found, theory, points, column)

    monkeypatch.setattr(member_contacts, "_moved", far)
    found = member_trial.run("settlement by reactions: 1")
    assert found.outcome == "wrong"
    assert all("settles and moves the point" in text for text in found.troubles)


def test_what_stands_by_statics() -> None:
    """A weight between bearings that push stands, one far beside them does not."""
    case = member_trial.case_of("on bearings: 0")
    supports = tuple(member_contacts.pushing(case, s) for s in case.supports)
    for x, stands in ((0.0, True), (50 * case.sections[0].size(), False)):
        weight = PointLoad(case.length / 2, (0.0, -1e3, 0.0), (x, 0.0), case="all")
        straight = replace(
            case, supports=supports, loads=(weight,), pieces=((case.length, 0.0, 0.0),)
        )
        assert member_contacts.stands(straight) is stands


def _signs_lost(case: member_case.MemberCase) -> member_case.MemberCase:
    """Combinations that add what they should take away."""
    return replace(
        case,
        combinations=tuple(
            Combination(one.name, {k: abs(v) for k, v in one.factors.items()})
            for one in case.combinations
        ),
    )


def _nearer(case: member_case.MemberCase) -> member_case.MemberCase:
    """The last support a little before the end."""
    return replace(case, supports=(case.supports[0], fork(0.97 * case.length)))


def _unloaded(case: member_case.MemberCase) -> member_case.MemberCase:
    return replace(case, loads=case.loads[:1])


@pytest.mark.parametrize(
    ("fault", "said"),
    [(_signs_lost, "loads together"), (_nearer, "cut in pieces"), (_unloaded, "the formula")],
)
def test_a_law_that_is_broken_is_seen(
    monkeypatch: pytest.MonkeyPatch, fault: Any, said: str
) -> None:
    """Where any other solve than the first has a fault, or all have."""
    name = "torsion of one span: 2"
    solved = member_case.solved
    first = member_trial.case_of(name)

    def wrong(case: member_case.MemberCase) -> member_case.SolvedMember:
        return solved(fault(case) if said == "the formula" or case is not first else case)

    monkeypatch.setattr(member_trial, "case_of", lambda name: first)
    monkeypatch.setattr(member_trial, "solved", wrong)
    monkeypatch.setattr(member_laws, "solved", wrong)
    assert any(said in text for text in member_trial.run(name).troubles)


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
