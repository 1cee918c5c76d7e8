"""Sets of combinations in the form of EN 1990 and ASCE 7: printed factors, sums by hand."""

from __future__ import annotations

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.rules.action_kind import Action, Combined, together
from soapfilm.solver.rules.american_combinations import ALLOWABLE, american_combinations
from soapfilm.solver.rules.european_combinations import (
    BUILDING,
    FOOTBRIDGE,
    ROAD,
    STATES,
    european_combinations,
)

#: EN 1990:2002 table A1.1, A1:2005 tables A2.2 and A2.1 (from memory).
PSI = {
    "building": [
        (0.7, 0.5, 0.3), (0.7, 0.5, 0.3), (0.7, 0.7, 0.6), (0.7, 0.7, 0.6), (1, 0.9, 0.8),
        (0.7, 0.7, 0.6), (0.7, 0.5, 0.3), (0, 0, 0), (0.5, 0.2, 0), (0.6, 0.2, 0), (0.6, 0.5, 0),
    ],
    "footbridge": [
        (0.4, 0.4, 0), (0, 0, 0), (0, 0, 0), (0.3, 0.2, 0), (0.6, 0.6, 0.5), (0.8, 0, 0), (1, 0, 1),
    ],
    "road": [(0.75, 0.75, 0), (0.4, 0.4, 0), (0.4, 0.4, 0), (0.6, 0.2, 0), (0.6, 0.6, 0.5)],
}  # fmt: skip


def test_psi_tables() -> None:
    assert list(BUILDING.values()) == PSI["building"]
    assert list(FOOTBRIDGE.values()) == PSI["footbridge"]
    assert list(ROAD.values())[:5] == PSI["road"]


def largest(one: Combined, sizes: dict[str, float]) -> float:
    return sum(high * sizes[name] for name, (_, high) in one.factors.items())


def least(one: Combined, sizes: dict[str, float]) -> float:
    return sum(low * sizes[name] for name, (low, _) in one.factors.items())


def test_european_sums() -> None:
    """G = 100, Q = 60 (category B), W = 30: by EN 1990, 6.4.3.2, 6.5.3, table A1.2(B) by hand."""
    sizes = {"G": 100.0, "Q": 60.0, "W": 30.0}
    actions = [Action("G", "permanent"), Action("Q", "imposed B"), Action("W", "wind")]
    found = {c.name: c for c in european_combinations(actions, STATES, "building")}
    expected = {
        "strength 6.10: Q leading, with W": 252.0,
        "strength 6.10: W leading, with Q": 243.0,
        "strength 6.10a, with Q, W": 225.0,
        "strength 6.10b: Q leading, with W": 231.75,
        "characteristic: Q leading, with W": 178.0,
        "frequent: Q leading": 130.0,
        "quasi-permanent": 118.0,
    }
    for name, value in expected.items():
        assert largest(found[name], sizes) == pytest.approx(value, rel=1e-9), name
    # Favourable dead load with wind alone.
    lead = found["strength 6.10: W leading, with Q"]
    assert lead.factors["G"][0] * 100 + lead.factors["W"][1] * 30 == pytest.approx(145.0)
    assert least(lead, sizes) == pytest.approx(100.0)


def test_bridges_and_actions_apart() -> None:
    """Traffic has 1.35, others 1.5; wind and temperature do not meet on a footbridge."""
    actions = [
        Action("dead", "permanent"),
        Action("crowd", "traffic"),
        Action("wind", "wind", reverses=True, apart=frozenset({"heat"})),
        Action("heat", "temperature"),
        Action("sag", "settlement"),
    ]
    found = european_combinations(actions, ["6.10"], "footbridge")
    for one in found:
        assert not {"wind", "heat"} <= set(one.factors)
        assert one.factors["dead"] == (1.0, 1.35)
        assert one.factors["sag"] == (0.0, 1.2)
    for one in european_combinations(actions, ["characteristic", "quasi-permanent"], "footbridge"):
        assert one.factors["dead"] == (1.0, 1.0)
        assert one.factors["sag"] == (0.0, 1.0)
    by_name = {c.name: c.factors for c in found}
    own = by_name["strength 6.10: wind leading, with crowd"]
    assert own["wind"] == (-1.5, 1.5)
    assert own["crowd"] == pytest.approx((0.0, 1.35 * 0.4))
    assert by_name["strength 6.10: crowd leading, with heat"]["heat"] == pytest.approx((0, 0.9))


ACTIONS = [
    Action("D", "permanent"), Action("L", "live"), Action("Lr", "roof live"), Action("S", "snow"),
    Action("W", "wind"), Action("E", "earthquake"),
]  # fmt: skip
SIZES = {"D": 10.0, "L": 6.0, "Lr": 2.0, "S": 3.0, "W": 5.0, "E": 4.0}


@pytest.mark.parametrize(
    ("edition", "expected"),
    [
        ("ASCE 7-16", [14.0, 23.1, 22.8, 24.5, 14.0, 22.6, 13.0]),
        ("ASCE 7-22", [14.0, 22.6, 21.2, 24.0, 14.0, 22.45, 13.0]),
    ],
)
def test_american_sums(edition: str, expected: list[float]) -> None:
    """The seven of 2.3.1 and 2.3.6, the largest of each number (from memory; those of 7-16 also as
    a building code prints them)."""
    found = american_combinations(ACTIONS, edition)
    for number, value in enumerate(expected, 1):
        own = [c for c in found if c.name.split()[1].rstrip(":,") == str(number)]
        assert max(largest(c, SIZES) for c in own) == pytest.approx(value, rel=1e-9), number


def test_american_allowable_sums() -> None:
    """Five of 2.4.1 and 2.4.5 as a building code prints them (New York City Building Code, BC
    1605.3.1, read at nacmiaslaw.com)."""
    actions = [a for a in ACTIONS if a.name != "Lr"]
    expected = {"6": 19.0, "7": 9.0, "5": 13.0, "9": 18.85, "10": 8.8}
    found = american_combinations(actions, ALLOWABLE)
    for number, value in expected.items():
        own = [c for c in found if c.name.split()[1].rstrip(":,") == number]
        assert max(largest(c, SIZES) for c in own) == pytest.approx(value, rel=1e-9), number


def test_what_they_refuse() -> None:
    with pytest.raises(InputError, match="no psi of kind 'live' for a building"):
        european_combinations([Action("L", "live")], ["6.10"], "building")
    with pytest.raises(InputError, match="leaves the factor of temperature to the engineer"):
        american_combinations([Action("T", "temperature")], "ASCE 7-16")
    with pytest.raises(InputError, match="has no load of kind 'imposed B'"):
        american_combinations([Action("Q", "imposed B")], "ASCE 7-16")


def test_largest_sets_that_may_act_together() -> None:
    a = Action("a", "wind", apart=frozenset({"b"}))
    b, c = Action("b", "snow"), Action("c", "traffic")
    assert [[x.name for x in s] for s in together([a, b, c])] == [["a", "c"], ["b", "c"]]
    assert list(together([])) == [()]


def test_road_traffic_leads_as_one_group() -> None:
    """Group gr1a of EN 1991-2:2003, table 4.4a (from memory): axles 400 and distributed load 300
    lead together, 1.35 of both, with wind 0.6 x 1.5 of 100; beside leading wind they are reduced by
    0.75 and 0.40 (EN 1990, table A2.1)."""
    actions = [
        Action("dead", "permanent"),
        Action("axles", "vehicle"),
        Action("lanes", "traffic"),
        Action("wind", "wind"),
    ]
    sizes = {"dead": 1000.0, "axles": 400.0, "lanes": 300.0, "wind": 100.0}
    found = {c.name: c for c in european_combinations(actions, ["6.10", "frequent"], "road bridge")}
    by_hand = {
        "strength 6.10: axles, lanes leading, with wind": 1350 + 1.35 * 700 + 90,
        "strength 6.10: wind leading, with axles, lanes": 1350 + 150 + 1.35 * (300 + 120),
        "frequent: axles, lanes leading": 1000 + 300 + 120,
        "frequent: wind leading": 1000 + 20,
    }
    assert {name: pytest.approx(largest(c, sizes)) for name, c in found.items()} == by_hand


@pytest.mark.parametrize(("structure", "parts"), [("footbridge", True), ("building", False)])
def test_parts_of_temperature_are_one_action(structure: str, parts: bool) -> None:
    """EN 1991-1-5:2003, 6.1.5 (from memory): the difference with 0.35 of the uniform part or the
    uniform part with 0.75 of the difference, leading or not; buildings take both in full."""
    actions = [
        Action("even", "temperature", reverses=True, part="uniform"),
        Action("sun", "temperature", reverses=True, part="difference"),
        Action("wind", "wind"),
    ]
    found = {
        c.name: c.factors for c in european_combinations(actions, ["characteristic"], structure)
    }
    if not parts:
        assert found["characteristic: even, sun leading, with wind"]["sun"] == (-1, 1)
        assert len(found) == 2
        return
    assert len(found) == 4
    for words, even, sun in (("even, 0.75 sun", 1, 0.75), ("0.35 even, sun", 0.35, 1)):
        led = found[f"characteristic: {words} leading, with wind"]
        assert led == {"even": (-even, even), "sun": (-sun, sun), "wind": (0, 0.3)}
        beside = found[f"characteristic: wind leading, with {words}"]
        assert beside["even"] == pytest.approx((-0.6 * even, 0.6 * even))
        assert beside["sun"] == pytest.approx((-0.6 * sun, 0.6 * sun))
    # A case that holds both parts needs no share of its own.
    both = [Action("heat", "temperature"), Action("sun", "temperature", part="difference")]
    (one,) = european_combinations(both, ["characteristic"], structure)
    assert one.factors == {"heat": (0, 1), "sun": (0, 1)}
