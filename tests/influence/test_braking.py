"""Horizontal forces of what travels: by statics, and in sets of combinations."""

from __future__ import annotations

import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.file import member_from_toml

from .test_beam_lines import BAR

SPANS = """
[analysis]
sections = "keep their shape"
[[span]]
length = 9
[[span]]
length = 7
[[support]]
name = "prop"
at = ["start", "end of span 1", "end of span 2"]
kind = "fork"
"""
BRAKED = """
[[crowd]]
name = "walkers"
pressure = "5 kN/m^2"
strips = [{ place = [-0.5, 0], width = "1 m" }, { place = [0.5, 0], width = "1 m" }]
[[vehicle]]
name = "van"
axles = [{ force = "20 kN" }, { at = "2 m", force = "10 kN" }]
lines = [[0, 0]]
[[braking]]
of = "walkers"
place = [0, 0]
[[braking]]
of = "van"
place = [0, 0]
case = "stop"
[[combination_set]]
code = "EN 1990"
structure = "footbridge"
states = ["6.10"]
"""


def test_forces_are_shares_of_all_that_travels_and_act_with_it() -> None:
    request = member_from_toml(BAR + SPANS + BRAKED)
    length = request.member.length
    solution = solve(request.member)
    sums = {}
    for name in ("walkers along", "stop"):
        c = solution.names.index(name)
        sums[name] = sum(r.force[2] for r in solution.reactions[c])
    assert sums["walkers along"] == pytest.approx(-0.1 * 5e3 * 2 * length, rel=1e-9)
    assert sums["stop"] == pytest.approx(-0.6 * 30e3, rel=1e-9)
    for one in request.variable:
        for name, case in (("walkers", "walkers along"), ("van", "stop")):
            factor = one.moving.get(name, 0.0)
            assert one.cases.get(case, (0.0, 0.0)) == (-factor, factor)
    assert any(one.cases.get("stop", (0, 0))[1] == 1.35 for one in request.variable)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (('of = "van"', 'of = "truck"'), "no vehicle or crowd 'truck'"),
        (("share = 0.1", "share = -1"), "share is positive"),
    ],
)
def test_slips_are_told(change: tuple[str, str], words: str) -> None:
    text = BRAKED.replace('of = "walkers"\n', 'of = "walkers"\nshare = 0.1\n')
    with pytest.raises(InputError, match=words):
        member_from_toml(BAR + SPANS + text.replace(*change))
