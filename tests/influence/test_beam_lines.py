"""Influence lines of the classical beam against closed forms and unit loads one by one."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from soapfilm.geometry.errors import InputError
from soapfilm.geometry.units import Units
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.file import MemberRequest, member_from_toml
from soapfilm.solver.member.influence.analysis import Influence, TravelLine, influence_of
from soapfilm.solver.member.influence.words import asked_in_words, line_in_words
from soapfilm.solver.member.model.load import PointLoad

Array = NDArray[np.float64]

#: A bar known by its figures: the classical theory answers.
BAR = """
name = "bar"
unit = "m"
[section.bar]
E = "210 GPa"
G = "81 GPa"
A = "5000 mm^2"
I_x = "4e6 mm^4"
I_y = "1e6 mm^4"
J = "1e8 mm^4"
C_w = "1e13 mm^6"
"""


def request_of(spans: list[float], radius: float | None = None) -> MemberRequest:
    text = BAR
    for length in spans:
        text += f"[[span]]\nlength = {length}\n" + (f"radius = {radius}\n" if radius else "")
    at = ["start"] + [f"end of span {n + 1}" for n in range(len(spans))]
    text += f"[[support]]\nname = 'prop'\nat = {at}\nkind = 'fork'\n".replace("'", '"')
    return member_from_toml(text)


def lines_of(request: MemberRequest, *results: str, line: str = "[0, 0]") -> Influence:
    member, units = request.member, request.units
    asked = [asked_in_words(words, member, units) for words in results]
    return influence_of(
        member, request.sections, asked, [line_in_words(line, member, units)], keep_shape=True
    )


def ordinates(found: Influence, z: list[float], side: str = "right") -> Array:
    """(m, c)"""
    return found.field.ordinates(np.array(z), found.lines[0].place, side)


def test_simple_span() -> None:
    """R = 1 - z/L, M = a b / L below the load, V jumps by one; common statics."""
    found = lines_of(request_of([10.0]), "reaction of prop 1", "M_x at 4", "V_y at 4", "N at 4")
    z = [1.0, 3.0, 7.0, 9.0]
    r, m, v, n = ordinates(found, z).T
    assert r == pytest.approx(1 - np.array(z) / 10, abs=1e-9)
    assert -m == pytest.approx([0.6, 1.8, 1.2, 0.4], abs=1e-9)
    assert n == pytest.approx(0, abs=1e-9)
    # On the face that looks along the member: upward where the part beyond carries more.
    assert abs(ordinates(found, [4.0])[0, 2] - ordinates(found, [4.0], "left")[0, 2]) == (
        pytest.approx(1.0, abs=1e-9)
    )
    assert abs(v) == pytest.approx([0.1, 0.3, 0.3, 0.1], abs=1e-9)
    assert (found.minima[1].at, found.minima[1].value) == pytest.approx((4.0, -2.4), abs=1e-9)


def test_two_equal_spans() -> None:
    """M_B = -u (1 - u^2) L / 4, R_A = 1 - u + M_B / L (three moments); the largest at 1/sqrt(3)."""
    found = lines_of(request_of([1.0, 1.0]), "M_x at end of span 1", "reaction of prop 1")
    u = np.arange(1, 6) / 6
    m, r = ordinates(found, list(u)).T
    assert m == pytest.approx(u * (1 - u**2) / 4, abs=1e-9)
    assert r == pytest.approx(1 - u - u * (1 - u**2) / 4, abs=1e-9)
    far = ordinates(found, list(2 - u))[:, 0]
    assert far == pytest.approx(m, abs=1e-9)
    best = found.maxima[0]
    assert best.value == pytest.approx(0.0962250449, rel=1e-8)
    assert min(abs(best.at - 0.577350269), abs(best.at - 2 + 0.577350269)) < 1e-6


def test_three_spans_published() -> None:
    """Support moments and the middle of span 2 by three moments: derived fractions."""
    found = lines_of(request_of([1.0, 1.0, 1.0]), "M_x at end of span 1", "M_x at middle of span 2")
    places = [0.2, 0.4, 0.5, 0.6, 0.8]
    expected = [
        [-0.0512, -0.0896, -0.1, -0.1024, -0.0768],
        [-0.064, -0.08, -0.075, -0.064, -0.032],
        [0.0192, 0.0256, 0.025, 0.0224, 0.0128],
    ]
    for n, row in enumerate(expected):
        assert -ordinates(found, [n + p for p in places])[:, 0] == pytest.approx(row, abs=1e-9)
    middle = -ordinates(found, [0.25, 0.75, 1.25, 1.5, 2.5])[:, 1]
    assert middle == pytest.approx([-0.0234375, -0.0328125, 0.06875, 0.175, -0.0375], abs=1e-9)


def test_torque_between_forks() -> None:
    """A load at an arm e from the shear centre: T = e (1 - z/L) before the station, jump e."""
    request = request_of([8.0])
    found = lines_of(request, "T at 3", "T of prop 1", line="[0.05, 0]")
    z = np.array([1.0, 2.0, 5.0, 7.0])
    t, held = ordinates(found, list(z)).T
    assert abs(t) == pytest.approx(0.05 * np.where(z < 3, z / 8, 1 - z / 8), abs=1e-9)
    assert abs(held) == pytest.approx(0.05 * (1 - z / 8), abs=1e-9)
    jump = ordinates(found, [3.0])[0, 0] - ordinates(found, [3.0], "left")[0, 0]
    assert abs(jump) == pytest.approx(0.05, abs=1e-9)


@pytest.mark.parametrize("radius", [None, 20.0])
def test_against_unit_loads_one_by_one(radius: float | None) -> None:
    request = request_of([6.0, 8.0], radius)
    words = (
        "reaction of prop 2", "T of prop 1", "M_x at 4", "M_y at 4", "V_y at 4", "T at 9", "B at 9",
        "twist at 3", "displacement of [0.1, 0.2] at 10", "u_x of [0, 0.2] at 10",
    )  # fmt: skip
    found = lines_of(request, *words, line="[0.3, 0.1]")
    stations = [0.7, 3.1, 5.2, 8.8, 11.5]
    ours = ordinates(found, stations)
    for z, row in zip(stations, ours, strict=True):
        load = PointLoad(z, (0.0, -1.0, 0.0), (0.3, 0.1))
        solution = solve(request.member.with_(loads=(load,)))
        four, nine, three = (solution.at([s]) for s in (4.0, 9.0, 3.0))
        _, up = solution.movement((0.1, 0.2), [10.0])
        aside, _ = solution.movement((0.0, 0.2), [10.0])
        by_title = {r.title: r for r in solution.reactions[0]}
        theirs = [
            by_title["prop 2"].force[1], by_title["prop 1"].torque, four.M_x[0, 0],
            four.M_y[0, 0], four.V_y[0, 0], nine.T[0, 0], nine.B[0, 0], three.phi[0, 0],
            up[0, 0], aside[0, 0],
        ]  # fmt: skip
        size = abs(ours).max(axis=0)
        assert abs(row - theirs) / np.where(size > 0, size, 1) == pytest.approx(0, abs=1e-9)


def test_what_cannot_be_told() -> None:
    request = request_of([10.0])
    with pytest.raises(InputError, match="need sections that deform"):
        lines_of(request, "stress of [0, 0] at 4")
    with pytest.raises(InputError, match="before the member's end"):
        lines_of(request, "T at end")
    with pytest.raises(InputError, match="one result and one line"):
        influence_of(request.member, request.sections, [], [TravelLine("a", (0.0, 0.0))])


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ("reaction of pier", "no support 'pier'; supports are 'prop 1', 'prop 2'"),
        ("bearing 1 of prop 1", "'prop 1' has 0 bearings"),
        ("M_x at 12", "outside the member"),
        ("M_x at middle of span 3", "no span 3"),
        ("M_q at 4", "these are no result; write"),
        ("displacement of nowhere at 4", "no point 'nowhere'"),
        ("stress pp of [0, 0] at 4", "these are no result"),
        ("", "these are no result"),
    ],
)
def test_bad_words(words: str, message: str) -> None:
    request = request_of([10.0])
    with pytest.raises(InputError, match=message.replace("[", r"\[")) as caught:
        asked_in_words(words, request.member, Units("m"))
    assert "\n" not in str(caught.value)
