"""What a page says was given of moving loads and combinations: short, in units of the trade."""

from __future__ import annotations

from soapfilm.report.member.given import given_passages
from soapfilm.report.text.rendering import render_passage
from soapfilm.solver.member.file import member_from_toml

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
