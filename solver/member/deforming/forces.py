"""Loads of every combination as forces on nodes and on the elements' shape functions."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..beam.equilibrium import about_start
from ..beam.junction import kink_matrix
from ..beam.loading import moment_of
from ..beam.settled import ground_motion
from ..model.load import LineLoad, PointLoad, SelfWeight
from ..model.member import Member
from ..model.mitre import mitre_loads
from .course import Course
from .grip import Grips
from .lobatto import sampled
from .passing import acting_side, facing, half_turn, turned_motion
from .strained import ImposedStrains
from .tendon_forces import tendon_forces

Array = NDArray[np.float64]

#: Gauss points of a line load beyond half the order: loads are linear, rows may bend in a taper.
EXTRA_POINTS = 3


@dataclass(frozen=True, slots=True, eq=False)
class Forces:
    """Loads of c combinations.

    Attributes
    ----------
    nodal : (k, n, c)
        On the distinct nodes.
    inner : (e, (p + 1) n, c)
        On the shape functions of every element.
    names : tuple of str
    sums : (6, c)
        Force and moment of all of them about the member's start, in the frame there.
    given : (k, n, c)
        Functions at nodes whose support moves, as its ground moves them; zero elsewhere.
    """

    nodal: Array
    inner: Array
    names: tuple[str, ...]
    sums: Array
    given: Array


def forces_of(
    member: Member,
    course: Course,
    grips: Grips,
    strained: ImposedStrains,
    nodes: Array,
    order: int,
) -> Forces:
    """All loads, combined."""
    e, n = len(nodes) - 1, course.size
    count = e if member.axis.closed else e + 1
    cases = member.cases
    nodal = np.zeros((count, n, len(cases)))
    inner = np.zeros((e, (order + 1) * n, len(cases)))
    sums = np.zeros((6, len(cases)))
    for load in (*member.loads, *mitre_loads(member)):
        case = cases.index(load.case)
        if isinstance(load, PointLoad):
            node = int(np.argmin(abs(nodes - load.at)))
            side = acting_side(member, load.at)
            rows = facing(member, load.at, grips.force(load.at, load.place, side))
            turns = facing(member, load.at, grips.moment(load.at, side))
            force = rows.T @ np.asarray(load.force, float)
            force = force + turns.T @ np.asarray(load.moment, float)
            if load.bimoment:
                force = force - load.bimoment * grips.warping(load.at, side)[0]
            nodal[node % count, :, case] += force
            sums[:, case] += _sum(grips, np.array([load.at]), force[None], side)
            continue
        start, end = (load.start, load.end) if isinstance(load, LineLoad) else (0.0, member.length)
        middle = (nodes[1:] + nodes[:-1]) / 2
        for k in np.flatnonzero((middle > start) & (middle < end) & (np.diff(nodes) > 0)):
            a, b = nodes[k], nodes[k + 1]
            own, z, acting = _spread_along(load, grips, a, b, order)
            inner[k, :, case] += own
            sums[:, case] += _sum(grips, z, acting, middle=float(middle[k]))
    for action in strained.actions:
        inner[..., cases.index(action.case)] += strained.loads(action, nodes, order)
    for tendon in member.tendons:
        at_nodes, between = tendon_forces(tendon, grips, nodes, order)
        nodal[..., cases.index(tendon.case)] += at_nodes
        inner[..., cases.index(tendon.case)] += between
    combined = member.combined
    factors = np.array([[c.factors.get(case, 0.0) for c in combined] for case in cases], float)
    names = tuple(c.name for c in combined)
    given = _given(member, course, nodes)
    return Forces(nodal @ factors, inner @ factors, names, sums @ factors, given)


def _given(member: Member, course: Course, nodes: Array) -> Array:
    """(k, n, c) rigid motions of the section where a support moves."""
    count = len(nodes) - 1 if member.axis.closed else len(nodes)
    found = np.zeros((count, course.size, len(member.combined)))
    for support in member.supports:
        section = member.section_at(support.at)
        point = section.shear_centre
        if support.point is not None:
            point = member.locate(support.point, section)
        ground = ground_motion(member, support.title, point)
        if ground.any():
            shape = course.part(support.at, acting_side(member, support.at)).shape(support.at)
            node, turn = int(np.argmin(abs(nodes - support.at))), half_turn(member, support.at)
            found[node % count] += shape.rigid @ turned_motion(-turn, member.line) @ ground
            if node + 1 < len(nodes) and nodes[node + 1] == nodes[node]:
                found[node + 1] += shape.rigid @ turned_motion(turn, member.line) @ ground
    return found


def _sum(
    grips: Grips, z: Array, acting: Array, side: str = "right", middle: float | None = None
) -> Array:
    """(6,) force and moment about the start of forces (m, n) on the functions at stations z."""
    member = grips.member
    part = grips.course.part(float(z[0]), side) if middle is None else grips.course.part(middle)
    local = np.array([part.shape(float(s)).rigid.T @ f for s, f in zip(z, acting, strict=True)])
    # About the section's origin so far: brought to the point that follows the axis.
    local[:, 3:] -= moment_of(np.asarray(member.line), local[:, :3])
    if middle is None:
        turn = np.kron(np.eye(2), kink_matrix(half_turn(member, float(z[0]))))
        local = local @ turn.T
    return np.asarray(about_start(member.axis, z, local[..., None]).sum(axis=0)[:, 0])


def _spread_along(
    load: LineLoad | SelfWeight, grips: Grips, a: float, b: float, order: int
) -> tuple[Array, Array, Array]:
    """((p + 1) n,) of one load on one element; its stations, and what it sums up to at each."""
    x, w, value, _ = sampled(order, order // 2 + 1 + EXTRA_POINTS)
    z = a + (b - a) * (1 + x) / 2
    # Places just inside the element, so that a step at its end does not mix sections.
    part = grips.course.part((a + b) / 2)
    if part.tapered is None or isinstance(load, SelfWeight):
        per_length = np.array([_intensity(load, grips, float(s), (a + b) / 2) for s in z])
    else:
        rows = grips.between(part, z, load.place)
        per_length = np.array(
            [
                _intensity(load, grips, float(s), (a + b) / 2, r)
                for s, r in zip(z, rows, strict=True)
            ]
        )
    acting = per_length * (w * (b - a) / 2)[:, None]
    return np.asarray((value.T @ acting).ravel()), z, acting


def _intensity(
    load: LineLoad | SelfWeight,
    grips: Grips,
    z: float,
    middle: float,
    rows: Array | None = None,
) -> Array:
    """(n,) load per length of the axis at a station."""
    part = grips.course.part(middle)
    at = z if part.tapered is not None else middle
    if isinstance(load, SelfWeight):
        section = part.at(at)
        down = np.asarray(grips.member.pitch.down)
        return np.asarray(load.gravity * part.ratio * section.weight @ down)
    share = (z - load.start) / (load.end - load.start)
    force_end = load.force if load.force_end is None else load.force_end
    torque_end = load.torque if load.torque_end is None else load.torque_end
    force = (1 - share) * np.asarray(load.force) + share * np.asarray(force_end)
    torque = (1 - share) * load.torque + share * torque_end
    if load.measured_along == "line":
        member = grips.member
        point = member.locate(load.place, member.section_at(at))
        per = 1 - float(member.axis.curvature([middle])[0]) * (point[0] - member.line[0])
        force, torque = force * per, torque * per
    found = (grips.force(at, load.place) if rows is None else rows).T @ force
    return np.asarray(found + grips.moment(at)[2] * torque if torque else found)
