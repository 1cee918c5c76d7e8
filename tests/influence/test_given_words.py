"""What a page says was given of moving loads and combinations: short, in units of the trade."""

from __future__ import annotations

import pytest
from soapfilm.report.member.given import given_passages
from soapfilm.report.text.rendering import render_passage
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.review.plausibility import doubts

from .test_beam_lines import BAR
from .test_bearing_plan import BRIDGE

SET = """
[points]
edge = [1, 0]
[[crowd]]
name = "crowd"
pressure = "5 kN/m^2"
strips = [{ place = [0, 0], width = "1 m" }]
[[temperature]]
uniform = "20 K"
thermal_expansion = "1.2e-5 1/K"
[[case]]
name = "dead"
kind = "permanent"
[[combination_set]]
code = "EN 1990"
structure = "footbridge"
states = ["6.10", "characteristic"]
[[limit]]
deflection = "span/300"
point = "edge"
combinations = ["characteristic", "use"]
"""


def test_states_of_a_set_and_pressures_are_said_shortly() -> None:
    request = member_from_toml(BAR + BRIDGE.replace("MOMENT", "0.1") + SET)
    given = given_passages(request)
    limits = render_passage(given["Limits asked for"])
    assert "characteristic (all 3), use" in limits
    assert "leading" not in limits
    assert "5 kN/m²" in render_passage(given["Moving loads"])


@pytest.mark.parametrize(("x", "said"), [(0.0, False), (1.0, True)])
def test_what_travels_beside_the_section_is_said(x: float, said: bool) -> None:
    """A strip of 2 m on a deck of 2.4 m, and wheels 1.2 m apart, each in the middle and 1 m off."""
    text = (
        DECK
        + f"""
[[crowd]]
name = "people"
pressure = "5 kN/m^2"
strips = [{{ place = [{x}, 0], width = 2 }}]
[[vehicle]]
name = "cart"
axles = [{{ at = 0, force = "1 kN" }}]
track = 1.2
lines = [[{x}, 0]]
[[combination]]
name = "use"
factors = {{ people = 1.0, cart = 1.0 }}
"""
    )
    found = [words for words in doubts(member_from_toml(text)) if "beside the section" in words]
    assert len(found) == (2 if said else 0)
    if said:
        assert found[1].startswith("an edge of people is at x = 2 m")


DECK = """
unit = "m"
[material.steel]
grade = "S355"
[section.deck]
[[section.deck.outline]]
material = "steel"
points = [[-1.2, -0.2], [1.2, -0.2], [1.2, 0], [-1.2, 0]]
[[span]]
length = 10
[[support]]
at = ["start", "end"]
kind = "fork"
"""


@pytest.mark.parametrize(("behind", "said"), [("3 m", False), ("3000 m", True)])
def test_axles_farther_apart_than_the_member_is_long_are_said(behind: str, said: bool) -> None:
    cart = f"""
[[vehicle]]
name = "cart"
axles = [{{ at = 0, force = "1 kN" }}, {{ at = "{behind}", force = "1 kN" }}]
lines = [[0, 0]]
"""
    found = [w for w in doubts(member_from_toml(DECK + cart)) if "axles of cart" in w]
    assert len(found) == said
    assert all("3000 m apart, farther than the member is long" in words for words in found)


@pytest.mark.parametrize(
    ("level", "said"),
    [("-0.39", ""), ("-1.95", "1.75 m below the section"), ("21", "21 m above the section")],
)
def test_a_level_far_off_the_section_is_said(level: str, said: str) -> None:
    """Of bearings, and of what holds across, on a deck 0.2 m deep."""
    pair = f'kind = "bearing pair"\nspacing = 2\nlevel = {level}'
    tie = f'[[spring]]\nat = "middle"\nx = "4 kN/mm"\nlevel = {level}\n'
    request = member_from_toml(DECK.replace('kind = "fork"', pair) + tie)
    found = [words for words in doubts(request) if "check its level" in words]
    assert len(found) == (3 if said else 0)
    assert all(said in words and "which is 0.2 m deep" in words for words in found)


def test_deviators_of_tendons_over_kinks_are_told() -> None:
    """2 P sin(angle / 2) = 174.3 kN toward the inner side, +x, of 1,000 kN over 10 degrees."""
    text = (
        DECK
        + """
[[kink]]
at = 4
angle = "10 deg"
[[tendon]]
name = "web"
force = "1000 kN"
points = [{ at = "start", y = -0.1 }, { at = "end", y = -0.1 }]
"""
    )
    told = render_passage(given_passages(member_from_toml(text))["Tendons"])
    row = next(line for line in told.splitlines() if line.startswith("web") and "kink at" in line)
    assert row.split()[-4:] == ["174.3", "174.3", "0", "0"]
    assert "needs a deviator" in told
