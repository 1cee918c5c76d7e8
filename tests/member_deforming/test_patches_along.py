"""Patch tests of members that are not prisms: what is exact in them.

Rigid motions are exact in all. Constant stress, Saint-Venant's torsion and his bending are states
of straight prisms alone: a curved, tapered or stepped member has no such state under any end loads
(its stress is hyperbolic over the depth, radial, or disturbed at the step). What holds exactly
there is statics, N, V, M and T of a member held at one end; and Saint-Venant's states where a taper
or a step is between sections that are alike.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.element import elements_of
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.model.axis import Axis
from soapfilm.solver.member.model.load import Place, PointLoad
from soapfilm.solver.member.model.member import Member, Segment
from soapfilm.solver.member.model.solved_section import solved_section
from soapfilm.solver.member.model.support import Support, fixed

from .sections import rectangle
from .test_laws import KINDS, LENGTH, RADIUS, bar, solved

#: Points of the material all along every kind, inside triangles: on their borders either side's
#: stress would be as good.
POINTS = np.array([(-21.3, -29.1), (-27.9, 9.7), (11.3, -19.7), (-7.1, 36.4)])
RIGID = np.diag([1.0, 1.0, 1.0, 1e-2, 1e-2, 1e-2])
FORCE, MOMENT = (100.0, -200.0, 3000.0), (2e5, 1e5, 3e5)


def frame(kind: str, z: float) -> tuple[np.ndarray, np.ndarray]:
    """Axes (x, y, z) of the section at z as rows, and its origin, both in those of the start."""
    if kind != "curved":
        return np.eye(3), np.array([0.0, 0.0, z])
    c, s = np.cos(z / RADIUS), np.sin(z / RADIUS)
    return np.array([[c, 0, -s], [0, 1, 0], [s, 0, c]]), RADIUS * np.array([1 - c, 0, s])


def rigid(kind: str, z: float, motion: np.ndarray) -> np.ndarray:
    """(6,) translation and rotation, in its own axes, of the section at z when the whole member
    moves rigidly."""
    axes, origin = frame(kind, z)
    return np.concatenate([axes @ (motion[:3] + np.cross(motion[3:], origin)), axes @ motion[3:]])


@pytest.mark.parametrize("kind", KINDS)
def test_rigid_motions_bring_no_stress(kind: str) -> None:
    for part in solved(kind).course.parts:
        h = (part.end - part.start) / 200
        for z in np.linspace(part.start + 3 * h, part.end - 3 * h, 4):
            still, along = part.at(z).stress_rows(POINTS)
            for motion in RIGID:
                near = z + h * np.arange(-2, 3)
                a = [part.shape(s).rigid @ rigid(kind, s, motion) for s in near]
                rate = (8 * (a[3] - a[1]) - (a[4] - a[0])) / (12 * h)
                # A unit motion over the member's length would bring a stress of E / LENGTH.
                stress = still @ a[2] + along @ rate / part.ratio
                assert np.abs(stress).max() < 1e-8 * 210_000.0 / LENGTH


@pytest.mark.parametrize("kind", KINDS)
def test_rigid_motions_need_no_force(kind: str) -> None:
    found = solved(kind)
    nodes = found.field.nodes
    ends = list(pairwise(nodes))
    for (a, b), element in zip(ends, elements_of(7, nodes, found.course.pieces), strict=True):
        shape = found.course.part((a + b) / 2).shape
        for motion in RIGID:
            moved = np.concatenate([shape(z).rigid @ rigid(kind, z, motion) for z in (a, b)])
            size = np.abs(element.condensed) @ np.abs(moved)
            assert np.abs(element.condensed @ moved).max() < 1e-8 * size.max()


@pytest.mark.parametrize("kind", KINDS)
def test_resultants_are_those_of_statics(kind: str) -> None:
    """Integrated from the stress, a section's size and more from ends and steps; elements meet
    them as their order lets them, not to rounding."""
    course = solved(kind).course
    member = cantilever(kind)
    found = solve_deforming(member, course, orders=(9,))
    z = np.array([150.0, 300.0, 450.0, 850.0, 1000.0])
    told = found.resultants(z)
    got = np.stack([told.N, told.V_x, told.V_y, told.M_x, told.M_y, told.T])[..., 0]
    axes, end = frame(kind, LENGTH)
    force, moment = axes.T @ FORCE, axes.T @ MOMENT
    for n, station in enumerate(z):
        section = member.section_at(station)
        axes, origin = frame(kind, station)
        (x, y, along), own = axes @ force, axes @ (moment + np.cross(end - origin, force))
        (c_x, c_y), (s_x, s_y) = section.centroid, section.shear_centre
        bending = (own[0] - c_y * along, own[1] + c_x * along)
        exact = (along, x, y, *bending, own[2] - s_x * y + s_y * x)
        size = np.repeat([np.linalg.norm(force), np.linalg.norm(moment)], 3)
        assert np.abs((got[:, n] - exact) / size).max() < 1e-6


def cantilever(kind: str) -> Member:
    """Forces and moments on the far end."""
    like = solved(kind).member
    loads = (PointLoad(LENGTH, FORCE, moment=MOMENT, place=(0.0, 0.0)),)
    return Member(like.axis, like.segments, (fixed(0.0),), loads=loads)


@pytest.mark.parametrize("kind", ["tapered", "stepped"])
def test_between_sections_alike_saint_venants_states_are_exact(kind: str) -> None:
    one, other = (solved_section(bar(40.0, 1.0, 1.0), name, 1e-4) for name in ("one", "other"))
    if kind == "tapered":
        segments = (Segment(0.0, LENGTH, one.constants, other.constants),)
    else:
        segments = (
            Segment(0.0, LENGTH / 2, one.constants),
            Segment(LENGTH / 2, LENGTH, other.constants),
        )
    # Springs hold twist and x, so that no plate holds the section's contraction.
    held = Support(
        0.0, x=1e12, y="held", z="held", bend_x="held", bend_y="held", twist=1e12, warping="free"
    )
    loads = (
        PointLoad(LENGTH, (0, 0, 3e5), place=Place("centroid"), case="extension"),
        PointLoad(LENGTH, moment=(1e6, 0, 0), case="bending"),
        PointLoad(LENGTH, moment=(0, 0, 1e6), case="torsion"),
    )
    member = Member(Axis.straight(LENGTH), segments, (held,), loads=loads)
    course = course_of(member, {"one": one, "other": other}, 1, answers=False)
    found = solve_deforming(member, course)
    stress = found.stress(POINTS, np.linspace(0, LENGTH, 7), "left")
    for name in found.names:
        own = stress[..., found.column(name)]
        size = np.abs(own).max()
        assert np.abs(own - own[0]).max() < 1e-8 * size, name
        idle = [0, 1, 2, 5] if name == "torsion" else [0, 1, 3, 4, 5]
        assert np.abs(own[..., idle]).max() < 1e-8 * size, name
    pulled = stress[..., 2, found.column("extension")]
    assert pulled == pytest.approx(3e5 / one.constants.area, rel=1e-8)


def test_a_taper_without_slope_is_a_prism() -> None:
    """Beside a step: the same member with and without it."""
    one, other, wider = (
        solved_section(bar(height, 1.0, 1.0), name, 1e-4)
        for height, name in ((40.0, "one"), (40.0, "other"), (60.0, "wider"))
    )
    known = {s.constants.name: s for s in (one, other, wider)}
    z = np.linspace(0, LENGTH, 9)
    found = []
    for last in (None, other.constants):
        segments = (
            Segment(0.0, LENGTH / 2, one.constants, last),
            Segment(LENGTH / 2, LENGTH, wider.constants),
        )
        loads = (PointLoad(LENGTH, FORCE, moment=MOMENT, place=(0.0, 0.0)),)
        member = Member(Axis.straight(LENGTH), segments, (fixed(0.0),), loads=loads)
        course = course_of(member, known, 1, answers=False)
        found.append(solve_deforming(member, course, orders=(7,)).displacement(POINTS, z))
    assert np.abs(found[1] - found[0]).max() < 1e-8 * np.abs(found[0]).max()


def test_a_member_that_tapers_and_steps_is_tied_where_it_is() -> None:
    """Its sections once were tied corner by corner across the step, and a bar bent 44 % too far."""
    one, two, three = (
        solved_section(rectangle(100.0, height), name, 1e-4)
        for height, name in ((150.0, "one"), (120.0, "two"), (90.0, "three"))
    )
    sections = {"one": one, "two": two, "three": three}
    segments = (
        Segment(0.0, 800.0, one.constants, two.constants),
        Segment(800.0, 2000.0, three.constants),
    )
    load = PointLoad(2000.0, (0.0, -1e3, 0.0), place=Place("centroid"))
    member = Member(Axis.straight(2000.0), segments, (fixed(0.0),), loads=(load,))
    found = solve_deforming(member, course_of(member, sections, 1), orders=(7,))
    _, down = found.movement((0.0, 0.0), [2000.0])
    _, classical = solve(member).movement((0.0, 0.0), [2000.0])
    # shear, and what a step adds of its own, make it softer
    assert 0 < down[0, 0] / classical[0, 0] - 1 < 1e-2
