"""Loads of every combination as forces on nodes and on the elements' shape functions."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..beam.equilibrium import about_start
from ..beam.junction import kink_matrix
from ..beam.loading import moment_of
from ..beam.settled import ground_motion
from ..model.held_point import held_point
from ..model.load import LineLoad, Load, PointLoad, SelfWeight
from ..model.member import Member
from ..model.mitre import mitre_loads
from .course import Course, MemberPart
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
    combined = member.combined
    nodal = np.zeros((count, n, len(combined)))
    inner = np.zeros((e, (order + 1) * n, len(combined)))
    sums = np.zeros((6, len(combined)))
    loads = (*member.loads, *mitre_loads(member))
    # Case by case: all of them side by side would be as large as the answers, several times.
    for case in member.cases:
        own = _OfCase(np.zeros((count, n)), np.zeros((e, (order + 1) * n)), np.zeros(6))
        for load in loads:
            if load.case == case:
                _add(own, load, grips, nodes, order)
        for action in strained.actions:
            if action.case == case:
                own.inner[:] += strained.loads(action, nodes, order)
        for tendon in member.tendons:
            if tendon.case == case:
                at_nodes, between = tendon_forces(tendon, grips, nodes, order)
                own.nodal[:] += at_nodes
                own.inner[:] += between
        factors = np.array([c.factors.get(case, 0.0) for c in combined])
        _combine(nodal, own.nodal, factors)
        _combine(inner, own.inner, factors)
        sums += np.outer(own.sums, factors)
    names = tuple(c.name for c in combined)
    return Forces(nodal, inner, names, sums, _given(member, course, nodes))


def _combine(total: Array, own: Array, factors: Array) -> None:
    """Add forces (k, m) of a case, times its factors (c,), to all combinations (k, m, c): where it
    acts alone, for one arrangement of what travels acts on few elements in one of many."""
    acting = np.flatnonzero(factors)
    for k in np.flatnonzero(own.any(axis=1)):
        total[k][:, acting] += np.outer(own[k], factors[acting])


@dataclass(frozen=True, slots=True, eq=False)
class _OfCase:
    """Loads of one case: (k, n), (e, (p + 1) n) and (6,)."""

    nodal: Array
    inner: Array
    sums: Array


def _add(own: _OfCase, load: Load, grips: Grips, nodes: Array, order: int) -> None:
    """Add a load to those of its case."""
    member, course = grips.member, grips.course
    if isinstance(load, PointLoad):
        node = int(np.argmin(abs(nodes - load.at)))
        side = acting_side(member, load.at)
        rows = facing(member, load.at, grips.force(load.at, load.place, side))
        turns = facing(member, load.at, grips.moment(load.at, side))
        force = rows.T @ np.asarray(load.force, float)
        force = force + turns.T @ np.asarray(load.moment, float)
        if load.bimoment:
            force = force - load.bimoment * grips.warping(load.at, side)[0]
        own.nodal[node % len(own.nodal)] += force
        own.sums[:] += _sum(grips, np.array([load.at]), force[None], side)
        return
    start, end = (load.start, load.end) if isinstance(load, LineLoad) else (0.0, member.length)
    middle = (nodes[1:] + nodes[:-1]) / 2
    loaded = np.flatnonzero((middle > start) & (middle < end) & (np.diff(nodes) > 0))
    part_of = np.array([course.index(float(z)) for z in middle[loaded]], int)
    for number in np.unique(part_of):
        some = loaded[part_of == number]
        work, total = _spread_along(load, grips, course.parts[number], nodes, some, order)
        own.inner[some] += work
        own.sums[:] += total


def _given(member: Member, course: Course, nodes: Array) -> Array:
    """(k, n, c) rigid motions of the section where a support moves."""
    count = len(nodes) - 1 if member.axis.closed else len(nodes)
    found = np.zeros((count, course.size, len(member.combined)))
    for support in member.supports:
        ground = ground_motion(member, support.title, held_point(member, support))
        if ground.any():
            shape = course.part(support.at, acting_side(member, support.at)).shape(support.at)
            node, turn = int(np.argmin(abs(nodes - support.at))), half_turn(member, support.at)
            found[node % count] += shape.rigid @ turned_motion(-turn, member.line) @ ground
            if node + 1 < len(nodes) and nodes[node + 1] == nodes[node]:
                found[node + 1] += shape.rigid @ turned_motion(turn, member.line) @ ground
    return found


def _sum(grips: Grips, z: Array, acting: Array, side: str) -> Array:
    """(6,) force and moment about the start of forces (m, n) on the functions at a node."""
    member = grips.member
    part = grips.course.part(float(z[0]), side)
    turn = np.kron(np.eye(2), kink_matrix(half_turn(member, float(z[0]))))
    local = _about_axis(member, acting @ part.rigid(float(z[0]))) @ turn.T
    return np.asarray(about_start(member.axis, z, local[..., None]).sum(axis=0)[:, 0])


def _about_axis(member: Member, local: Array) -> Array:
    """Forces and moments (m, 6) about the section's origin, brought to the point that follows the
    axis."""
    found = local.copy()
    found[:, 3:] -= moment_of(np.asarray(member.line), local[:, :3])
    return found


def _spread_along(
    load: LineLoad | SelfWeight,
    grips: Grips,
    part: MemberPart,
    nodes: Array,
    elements: NDArray[np.intp],
    order: int,
) -> tuple[Array, Array]:
    """(k, (p + 1) n) of a load on k elements of a part, and what it sums up to about the start."""
    x, w, value, _ = sampled(order, order // 2 + 1 + EXTRA_POINTS)
    a, length = nodes[elements, None], np.diff(nodes)[elements, None]
    z = a + length * (1 + x) / 2
    # Places just inside the element, so that a step at its end does not mix sections.
    middle = np.repeat(a + length / 2, len(x), axis=1)
    at = z if part.tapered is not None else middle
    per_length = _intensity(load, grips, part, z.ravel(), middle.ravel(), at.ravel())
    acting = per_length.reshape(*z.shape, -1) * (w * length / 2)[..., None]
    member, flat = grips.member, acting.reshape(z.size, -1)
    if part.tapered is None:
        local = flat @ part.straight.rigid
    else:
        rigid = (part.rigid(float(s)) for s in z.ravel())
        local = np.array([f @ r for f, r in zip(flat, rigid, strict=True)])
    total = about_start(member.axis, z.ravel(), _about_axis(member, local)[..., None])
    return (value.T @ acting).reshape(len(elements), -1), np.asarray(total.sum(axis=0)[:, 0])


def _intensity(
    load: LineLoad | SelfWeight,
    grips: Grips,
    part: MemberPart,
    z: Array,
    middle: Array,
    at: Array,
) -> Array:
    """(m, n) load per length of the axis at stations z of a part: `middle` of their elements, and
    where the section is asked for."""
    alone = at[:1] if part.tapered is None else at  # one section all along, or each its own
    if isinstance(load, SelfWeight):
        down = np.asarray(grips.member.pitch.down)
        own = part.section.weight[None] if part.taper is None else part.taper.weights(at)
        return np.broadcast_to(load.gravity * part.ratio * (own @ down), (len(z), own.shape[1]))
    share = ((z - load.start) / (load.end - load.start))[:, None]
    force_end = load.force if load.force_end is None else load.force_end
    torque_end = load.torque if load.torque_end is None else load.torque_end
    force = (1 - share) * np.asarray(load.force) + share * np.asarray(force_end)
    torque = (1 - share) * load.torque + share * torque_end
    if load.measured_along == "line":
        member = grips.member
        across = [member.locate(load.place, member.section_at(float(s)))[0] for s in alone]
        per = 1 - member.axis.curvature(middle) * (np.array(across) - member.line[0])
        force, torque = force * per[:, None], torque * per[:, None]
    if part.tapered is None:
        found = force @ grips.force(float(at[0]), load.place)
        return np.asarray(found + torque * grips.moment(float(at[0]))[2] if torque.any() else found)
    found = np.einsum("mi,min->mn", force, grips.between(part, z, load.place))
    if torque.any():
        found = found + torque * np.array([grips.moment(float(s))[2] for s in z])
    return np.asarray(found)
