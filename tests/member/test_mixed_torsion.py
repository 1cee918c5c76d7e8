"""Mixed torsion of a span against sixty-digit solutions, for L/a from 1e-3 to 1e3."""

from __future__ import annotations

import mpmath as mp
import numpy as np
import pytest
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.model.load import LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import Support, fixed, fork, free_end, warping_held

from .models import torque_member, unit_section
from .torsion_exact import Span

RATIOS = [1e-3, 1e-2, 0.1, 0.5, 0.999, 1.001, 2.9, 6.0, 20.0, 30.0, 100.0, 1e3]
STATIONS = [0.0, 0.13, 0.37, 0.5, 0.8, 1.0]


def ends(left: str, right: str) -> list[Support]:
    made = {"fork": fork, "fixed": warping_held, "free": free_end}
    supports = [made[left](0.0), made[right](1.0)]
    if "free" in (left, right):
        supports[0] = fixed(0.0)
    return supports


def member(span: Span) -> Member:
    loads: list[PointLoad | LineLoad] = []
    if span.point:
        loads.append(PointLoad(span.at, moment=(0, 0, span.point)))
    if span.start or span.end:
        loads.append(LineLoad(0, 1, torque=span.start, torque_end=span.end))
    return torque_member(unit_section(span.u), 1.0, ends(span.left, span.right), *loads)


@pytest.mark.parametrize("u", RATIOS)
@pytest.mark.parametrize(
    ("left", "right"),
    [("fork", "fork"), ("fixed", "fixed"), ("fixed", "fork"), ("fork", "fixed"), ("fixed", "free")],
)
@pytest.mark.parametrize(
    "load",
    [
        {"point": 1.0, "at": 0.5},
        {"point": -2.0, "at": 0.3},
        {"start": 1.0, "end": 1.0},
        {"start": 0.0, "end": 1.0},
        {"start": 2.0, "end": -0.7},
    ],
    ids=["midspan", "at 0.3", "uniform", "linear", "changing sign"],
)
def test_any_ends_and_loads(u: float, left: str, right: str, load: dict[str, float]) -> None:
    span = Span(u, left, right, **load)
    exact = np.array([span.solve(z) for z in STATIONS])
    found = solve(member(span)).at(STATIONS)
    for n, word in enumerate(("phi", "tau", "B", "T")):
        values = getattr(found, word)[:, 0]
        # A bimoment that has died out at all stations is compared with its size where it was born.
        size = max(np.abs(exact[:, n]).max(), 0.01 * min(1, 1 / u) if word == "B" else 0)
        assert values == pytest.approx(exact[:, n], rel=0, abs=2e-12 * size), word


@pytest.mark.parametrize("u", RATIOS)
def test_midspan_torque_between_forks_in_closed_form(u: float) -> None:
    """phi = (T/GJ)[L/4 - (a/2) tanh(u/2)], B = (T a/2) tanh(u/2), phi'(0) = (T/2GJ)(1 -
    sech(u/2))."""
    with mp.workdps(40):
        half = mp.mpf(u) / 2
        phi = float(mp.mpf(1) / 4 - mp.tanh(half) / (2 * mp.mpf(u)))
        bimoment = float(mp.tanh(half) / (2 * mp.mpf(u)))
        rate = float((1 - mp.sech(half)) / 2)
    found = solve(member(Span(u, "fork", "fork", point=1.0))).at([0.0, 0.5])
    assert found.phi[1, 0] == pytest.approx(phi, rel=1e-12)
    assert abs(found.B[1, 0]) == pytest.approx(bimoment, rel=1e-12)
    assert found.tau[0, 0] == pytest.approx(rate, rel=1e-12)


@pytest.mark.parametrize("u", RATIOS)
def test_uniform_torque_with_warping_held_in_closed_form(u: float) -> None:
    """|B| at the ends = t a^2 [(u/2) coth(u/2) - 1]."""
    with mp.workdps(40):
        half = mp.mpf(u) / 2
        bimoment = float((half * mp.coth(half) - 1) / mp.mpf(u) ** 2)
    found = solve(member(Span(u, "fixed", "fixed", start=1.0, end=1.0)))
    assert abs(found.at(0.0).B[0, 0]) == pytest.approx(bimoment, rel=1e-12)
    assert abs(found.reactions[0][0].bimoment) == pytest.approx(bimoment, rel=1e-12)


@pytest.mark.parametrize("u", RATIOS)
def test_cantilever_tip_torque_in_closed_form(u: float) -> None:
    """phi(L) = (T/GJ)(L - a tanh u), root B = T a tanh u."""
    with mp.workdps(40):
        tip = float(1 - mp.tanh(mp.mpf(u)) / mp.mpf(u))
        root = float(mp.tanh(mp.mpf(u)) / mp.mpf(u))
    found = solve(member(Span(u, "fixed", "free", point=1.0, at=1.0))).at([0.0, 1.0])
    assert found.phi[1, 0] == pytest.approx(tip, rel=1e-12)
    assert abs(found.B[0, 0]) == pytest.approx(root, rel=1e-12)


def test_bimoment_and_twist_keep_their_stated_signs() -> None:
    """A positive torque turns x toward y; B = -E C_w phi'' is positive where phi'' is negative."""
    found = solve(member(Span(2.0, "fork", "fork", point=1.0))).at([0.0, 0.5, 0.75])
    assert found.phi[1, 0] > 0
    assert found.B[1, 0] > 0
    assert found.T[0, 0] == pytest.approx(0.5)
    assert found.T[2, 0] == pytest.approx(-0.5)


def test_an_applied_bimoment_is_the_one_at_the_free_end() -> None:
    loaded = torque_member(unit_section(2.0), 1.0, [fixed(0.0)], PointLoad(1.0, bimoment=0.7))
    found = solve(loaded).at([0.5, 1.0], side="left")
    assert found.B[1, 0] == pytest.approx(0.7, rel=1e-12)
    # No torque: B = B_L cosh((z)/a)/cosh(L/a) grows from the root, where tau = 0.
    assert found.B[0, 0] == pytest.approx(0.7 * np.cosh(1.0) / np.cosh(2.0), rel=1e-12)
    assert np.abs(found.T).max() < 1e-14


@pytest.mark.parametrize("stiffness", [1e-6, 0.3, 7.0, 1e9])
def test_a_warping_spring_lies_between_fork_and_held(stiffness: float) -> None:
    """Fixed-fork cases with a spring: end condition B(0) = -k tau(0), solved as a 4 by 4 system."""
    u = 2.0
    a = 1 / u
    loaded = torque_member(
        unit_section(u),
        1.0,
        [fork(0.0, warping=stiffness), fork(1.0)],
        LineLoad(0, 1, torque=1.0),
    )
    c, s = np.cosh(u), np.sinh(u)
    # phi = c0 + c1 z + c2 cosh + c3 sinh - z^2/2 with phi(0) = phi(1) = phi''(1) = 0 and
    # -a^2 phi''(0) = -k phi'(0): the spring pulls the face back.
    system = np.array(
        [
            [1, 0, 1, 0],
            [1, 1, c, s],
            [0, 0, c / a**2, s / a**2],
            [0, stiffness, -1, stiffness / a],
        ]
    )
    c0, c1, c2, c3 = np.linalg.solve(system, [0, 0.5, 1, -(a**2)])
    middle = c0 + c1 / 2 + c2 * np.cosh(u / 2) + c3 * np.sinh(u / 2) - 0.125
    assert solve(loaded).at(0.5).phi[0, 0] == pytest.approx(middle, rel=1e-9)
