"""The plan of bearings can be read: numbers stand clear, and notes speak of what happens."""

from __future__ import annotations

from itertools import product

import pytest
from soapfilm.report.influence.bearing_plan import plot_bearings
from soapfilm.report.member.units import MemberUnits
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.influence.envelope import envelope_of

from .test_beam_lines import BAR

BRIDGE = """
[analysis]
sections = "keep their shape"
[[span]]
length = 20
[[span]]
length = 20
[[support]]
name = "abutment"
at = ["start", "end"]
kind = "bearing pair"
spacing = 1.2
[[support]]
name = "pier"
at = "end of span 1"
kind = "bearing pair"
spacing = 1.2
z = "held"
[[load]]
case = "dead"
weight = "10 kN/m"
place = [0, 0]
[[load]]
case = "dead"
m_t = "MOMENT kN"
[[combination]]
name = "use"
factors = { dead = 1.0 }
[[vehicle]]
name = "cart"
axles = [{ at = 0, force = "1 kN" }]
lines = [[0, 0]]
[[combination]]
name = "cart"
factors = { dead = 1.0, cart = 1.0 }
"""


def test_numbers_stand_clear_of_bearings_in_order_along_the_member() -> None:
    request = member_from_toml(BAR + BRIDGE.replace("MOMENT", "0.1"))
    figure = plot_bearings(envelope_of(request), MemberUnits(request.units))
    figure.canvas.draw()
    (axes,) = figure.axes
    squares = [line for line in axes.lines if line.get_marker() == "s"]
    numbers = [text for text in axes.texts if text.get_text().isdigit()]
    assert [n.get_text() for n in numbers] == ["1", "2", "3", "4", "5", "6"]
    for number, square in product(numbers, squares):
        assert not number.get_window_extent().overlaps(square.get_window_extent())
    along = [n.get_window_extent().x0 for n in numbers]
    assert along == sorted(along)


@pytest.mark.parametrize(("moment", "said"), [("0.1", False), ("20", True)])
def test_bearings_are_taken_as_shut_where_one_lifts(moment: str, said: bool) -> None:
    """A spread torque of 20 kN m/m over 40 m against pairs 1.2 m apart lifts them: half of it,
    400 kN m, goes to the pier, +-333 kN, and its dead load is 250 kN, 125 kN each."""
    envelope = envelope_of(member_from_toml(BAR + BRIDGE.replace("MOMENT", moment)))
    assert bool(envelope.uplift) is said
    assert any("taken as shut" in note for note in envelope.notes) is said


@pytest.mark.parametrize(("line", "fixed"), [('z = "held"', 1), ("", 0)])
def test_a_bearing_says_what_it_does_in_plan(line: str, fixed: int) -> None:
    """Guided along, but for the support that holds along: the first where none is said to."""
    text = BAR + BRIDGE.replace("MOMENT", "0.1").replace('z = "held"', line)
    request = member_from_toml(text)
    figure = plot_bearings(envelope_of(request), MemberUnits(request.units))
    words = [t.get_text() for t in figure.texts]
    kinds = [w for w in words if w in ("fixed", "free", "guided along", "guided across")]
    expected = [["guided along"] * 2 for _ in range(3)]
    expected[fixed] = ["fixed"] * 2
    assert kinds == [kind for pair in expected for kind in pair]
