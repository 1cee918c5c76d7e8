"""Seats of a half-joint under what travels, by statics.

The drop-in span of 8 m stands on two seats at x = -0.9 and 0.9 and on one bearing at its end,
which lets it twist: a load P at x = e, s beyond the joint, gives the joint P (8 - s) / 8 and all of
its moment P e about the bearing's line, which the seats share as a couple. What stands on the
cantilever before it gives them nothing. A force below zero presses where the piece before carries.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.file import MemberRequest, member_from_toml
from soapfilm.solver.member.influence.analysis import influence_of
from soapfilm.solver.member.influence.deforming_adjoint import DeformingField
from soapfilm.solver.member.influence.envelope import envelope_of
from soapfilm.solver.member.influence.words import asked_in_words, line_in_words

GERBER = """
name = "drop-in span"
unit = "m"
[material.steel]
grade = "S355"
[section.box]
[[section.box.shape]]
profile = "IfcRectangleHollowProfileDef"
XDim = 2.4
YDim = 0.8
WallThickness = 0.05
material = "steel"
[[span]]
length = 10
[[span]]
length = 10
[[support]]
name = "abutment"
at = "start"
kind = "fork"
z = "held"
[[support]]
name = "pier"
at = "end of span 1"
kind = "fork"
[[support]]
name = "end"
at = "end"
bearings = [{ x = 0, y = "bottom" }]
z = "held"
x = "held"
[[diaphragm]]
at = [11.99, "end"]
[[hinge]]
name = "joint"
at = 12
kind = "half-joint"
seats = [[-0.9, -0.3], [0.9, -0.3]]
[[load]]
name = "finish"
case = "dead"
weight = "5 kN/m"
place = [0.6, 0]
[[vehicle]]
name = "cart"
axles = [{ at = 0, force = "40 kN" }, { at = "3 m", force = "20 kN" }]
lines = [[0.5, 0.4]]
[[combination]]
name = "all"
factors = { dead = 1.0, cart = 1.2 }
"""


def request_of(*, keep_shape: bool) -> MemberRequest:
    return replace(member_from_toml(GERBER), keep_shape=keep_shape)


def seats(s: np.ndarray, e: float, force: float = 1.0) -> np.ndarray:
    """(m, 2) of a load s beyond the joint, pressing down on the piece before."""
    whole, couple = force * (8 - s) / 8, force * e / 1.8
    return -np.stack([whole / 2 - couple, whole / 2 + couple], axis=1) * (s > 0)[:, None]


@pytest.mark.parametrize("keep_shape", [True, False])
def test_influence_lines(keep_shape: bool) -> None:
    request = request_of(keep_shape=keep_shape)
    member, units = request.member, request.units
    asked = [asked_in_words(f"seat {n} of joint", member, units) for n in (1, 2)]
    line = line_in_words("[0.5, 0.4]", member, units)
    found = influence_of(member, request.sections, asked, [line], keep_shape=keep_shape)
    assert isinstance(found.field, DeformingField) != keep_shape
    s = np.array([-9.0, -1.0, 0.5, 3.0, 7.0])
    close = 1e-9 if keep_shape else 1e-6
    assert found.field.on(line.place).at(12 + s) == pytest.approx(seats(s, 0.5), abs=close)


@pytest.mark.parametrize("keep_shape", [True, False])
def test_envelope(keep_shape: bool) -> None:
    """The heavy axle just beyond the joint and the other 3 m on press most on the seat at x = 0.9,
    beside 5 kN/m at x = 0.6 all along; near the far end the same couple lifts the other."""
    found = envelope_of(request_of(keep_shape=keep_shape))
    titles = [one.title for one in found.influence.asked]
    dead = 5 * 8 * np.array([1 / 4 - 0.6 / 1.8, 1 / 4 + 0.6 / 1.8])
    near = 1.2 * (seats(np.array([1e-9]), 0.5, 40) + seats(np.array([3.0]), 0.5, 20))[0]
    own = found.governing(titles.index("seat 2 of joint"), False)
    close = 1e-6 if keep_shape else 1e-4
    assert own.value == pytest.approx((-dead[1] + near[1]) * 1e3, rel=close)
    assert own.together[titles.index("seat 1 of joint")] == pytest.approx(
        (-dead[0] + near[0]) * 1e3, rel=10 * close
    )
    # Upward on seat 1: P (e / 1.8 - (8 - s) / 16) is largest at the far end.
    far = 1.2 * (seats(np.array([8.0]), 0.5, 40) + seats(np.array([5.0]), 0.5, 20))[0]
    most = found.governing(titles.index("seat 1 of joint"), True)
    assert most.value == pytest.approx((-dead[0] + far[0]) * 1e3, rel=close)


@pytest.mark.parametrize(
    ("words", "message"),
    [("seat 3 of joint", "'joint' has 2 seats"), ("seat 1 of gap", "no hinge 'gap'; hinges are")],
)
def test_words(words: str, message: str) -> None:
    request = request_of(keep_shape=True)
    with pytest.raises(InputError, match=message):
        asked_in_words(words, request.member, request.units)
