"""Members on clothoids beside many short arcs; their coordinates are among the checks."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.errors import InputError
from soapfilm.solver.member.beam.analysis import critical_loads, solve
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.file import member_from_toml
from soapfilm.solver.member.model.axis import Arc, Axis, Kink, Straight
from soapfilm.solver.member.model.axis_piece import Transition
from soapfilm.solver.member.model.constants import SectionConstants
from soapfilm.solver.member.model.load import LineLoad, Place, SelfWeight
from soapfilm.solver.member.model.member import Member
from soapfilm.solver.member.model.support import fixed, fork

from tests.member.models import closed_section, skew_section

AXIS = Axis(
    (
        Straight(3e3),
        Transition(8e3, 0.0, 1 / 9e3),
        Arc(4e3, 9e3),
        Transition(6e3, 1 / 9e3, -1 / 12e3),
    )
)


def test_transition_is_the_limit_of_short_arcs_in_plan() -> None:
    exact = np.array(AXIS.plan(np.linspace(0, AXIS.length, 9)))
    gaps = [
        np.abs(np.array(AXIS.in_arcs(n).plan(np.linspace(0, AXIS.length, 9))) - exact).max()
        for n in (64, 128)
    ]
    assert gaps[0] / gaps[1] == pytest.approx(4.0, rel=0.05)
    cut = Axis(AXIS.pieces, kinks=(Kink(7e3, 0.1),))
    assert cut.curvature([6.9e3, 7.1e3]) == pytest.approx(AXIS.curvature([6.9e3, 7.1e3]))
    assert len(cut.pieces) == 5


def answers(axis: Axis, section: SectionConstants) -> np.ndarray:
    loads = [
        LineLoad(0, axis.length, (0.0, -5.0, 0.0), (1.0, -3.0, 0.0), Place("centroid", 80.0),
                 measured_along="line", case="a"),
        *([SelfWeight(9810.0, wedge=True, case="a")] if section.mass_per_length else []),
    ]  # fmt: skip
    supports = [fixed(0.0), fork(9e3), fixed(axis.length)]
    found = solve(Member.prismatic(axis, section, supports, loads=loads))
    assert float(found.residual.max()) < 1e-12
    table = found.at([5e3, 14e3, 18e3])
    return np.array([table.phi, table.M_x, table.T, table.M_y, table.v])[..., 0]


@pytest.mark.parametrize(
    "section",
    [skew_section(), skew_section(warping_constant=0.0), closed_section()],
    ids=["open", "plain", "closed"],
)
def test_member_on_transitions_beside_many_short_arcs(section: SectionConstants) -> None:
    exact = answers(AXIS, section)
    size = np.abs(exact).max(axis=1, keepdims=True)
    gaps = [np.abs((answers(AXIS.in_arcs(n), section) - exact) / size).max() for n in (32, 64)]
    assert gaps[1] < 2e-3
    if section.name != "deck":  # whose layers, shorter than L / 10,000, arcs keep and these drop
        assert gaps[0] / gaps[1] == pytest.approx(4.0, rel=0.06)


def test_elements_of_transitions_are_exact() -> None:
    """A load that does not follow the curvature: stations cut elements and change nothing."""
    member = Member.prismatic(
        AXIS, skew_section(), [fixed(0.0), fork(9e3), fixed(AXIS.length)],
        loads=[LineLoad(0, AXIS.length, (0.0, -5.0, 0.0), place=(80.0, 0.0))],
    )  # fmt: skip
    one = solve(member).at([5e3, 18e3])
    other = solve(member, stations=np.linspace(0, AXIS.length, 301)).at([5e3, 18e3])
    for word in ("phi", "T", "B", "M_x", "v"):
        assert getattr(one, word) == pytest.approx(getattr(other, word), rel=1e-8)


def test_reversal() -> None:
    pieces = [
        Transition(p.length, -p.last, -p.first) if isinstance(p, Transition)
        else Arc(p.length, -p.radius) if isinstance(p, Arc) else p
        for p in reversed(AXIS.pieces)
    ]  # fmt: skip
    turned = skew_section(
        centroid=(-22.0, 140.0), shear_centre=(31.0, 165.0), product_moment=-17e6,
    )  # fmt: skip
    load = {"place": (80.0, 0.0), "measured_along": "line"}
    back = {"place": (-80.0, 0.0), "measured_along": "line"}
    one = solve(Member.prismatic(
        AXIS, skew_section(), [fixed(0.0), fork(AXIS.length)],
        loads=[LineLoad(0, AXIS.length, (2.0, -5.0, 0.0), **load)]))  # type: ignore[arg-type]  # fmt: skip
    other = solve(Member.prismatic(
        Axis(tuple(pieces)), turned, [fork(0.0), fixed(AXIS.length)],
        loads=[LineLoad(0, AXIS.length, (-2.0, -5.0, 0.0), **back)]))  # type: ignore[arg-type]  # fmt: skip
    z = np.array([4e3, 12e3, 17e3])
    assert other.at(AXIS.length - z).phi == pytest.approx(-one.at(z).phi, rel=1e-8)
    assert other.at(AXIS.length - z).M_x == pytest.approx(one.at(z).M_x, rel=1e-8)


def test_critical_loads_follow_transitions() -> None:
    def factor(axis: Axis) -> float:
        member = Member.prismatic(
            axis, skew_section(), [fixed(0.0), fixed(axis.length)],
            loads=[LineLoad(0, axis.length, (0.0, -5.0, 0.0), place=Place("centroid"))],
        )  # fmt: skip
        return critical_loads(member)[0].factor

    axis = Axis((Transition(8e3, 0.0, 1 / 20e3),))
    assert factor(axis) == pytest.approx(factor(axis.in_arcs(64)), rel=3e-3)


# -- files, and sections that deform ---------------------------------------------------------------
FILE = """
unit = "mm"
[section.box]
[[section.box.shape]]
profile = "IfcRectangleHollowProfileDef"
XDim = 600
YDim = 400
WallThickness = 20
material = "S355"
[[support]]
at = ["start", "end"]
kind = "fixed"
[[diaphragm]]
at = ["2 m", "4 m", "6 m"]
[[load]]
weight = "30 kN/m"
place = "shear centre"
"""
RAMP = '[[span]]\nlength = "8 m"\nradius_end = "12 m"\n'


def test_sections_that_deform_take_arcs_for_a_transition() -> None:
    request = member_from_toml(FILE + RAMP)
    member = request.member
    assert member.axis.pieces == (Transition(8e3, 0.0, 1 / 12e3),)
    finer = member.with_(axis=member.axis.in_arcs(24))
    z = [3e3, 5e3]
    one, other = (solve_deforming(m, course_of(m, request.sections, 4)) for m in (member, finer))
    for word in ("M_x", "T"):
        mine, theirs = (getattr(s.resultants(z), word) for s in (one, other))
        assert np.abs(mine - theirs).max() < 4e-3 * np.abs(theirs).max()
    beam = solve(member)
    assert one.movement("centroid", z)[1] == pytest.approx(
        beam.movement("centroid", z)[1], rel=0.02
    )


@pytest.mark.parametrize(
    ("span", "words"),
    [
        ('length = "8 m"\nradius_end = 0', "radius_end must not be 0"),
        ('length = "8 m"\nradius_end = "12 m"\nradius = "9 m"', "not both"),
        ('plan = [{ transition = "8 m" }]', "needs radius_start or radius_end"),
        ('plan = [{ transition = "-8 m", radius_end = "9 m" }]', "must be positive"),
        ('plan = [{ transition = "8 m", radius = "9 m" }]', "not both"),
        ('plan = [{ straight = "8 m" }]\nradius_end = "9 m"', "not both"),
        ('length = "1.6 m"\nradius_end = "290 mm"', "is not larger than the 300 mm"),
        ('length = "8 m"\nradius_end = "1 mm"', "more than a full turn"),
    ],
)
def test_bad_transitions_say_so(span: str, words: str) -> None:
    with pytest.raises(InputError) as error:
        member_from_toml(FILE + "[[span]]\n" + span)
    assert words in str(error.value)
    assert "\n" not in str(error.value)
