"""Tendons as forces on the functions of sections that deform: at their own points of the material.

What quadrature leaves of the change of a tendon's wrench over an element is spread over the section
at its end, so that all of a tendon is in equilibrium to rounding.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..beam.equilibrium import about_start
from ..beam.junction import kink_matrix
from ..model.tendon import Tendon
from ..model.tendon_path import TendonRun, tendon_runs
from .course import MemberPart
from .grip import Grips, arm_moments
from .lobatto import sampled
from .passing import half_turn

Array = NDArray[np.float64]

#: Gauss points of an element beyond its order: the tendon's row changes as it moves in the section.
_MORE = 4


def tendon_forces(tendon: Tendon, grips: Grips, nodes: Array, order: int) -> tuple[Array, Array]:
    """(k, n) at the nodes, and (e, (p + 1) n) on the shape functions of every element."""
    n, e = grips.course.size, len(nodes) - 1
    count = e if grips.member.axis.closed else e + 1
    nodal, inner = np.zeros((count, n)), np.zeros((e, (order + 1) * n))
    middle = (nodes[1:] + nodes[:-1]) / 2
    x, w, value, _ = sampled(order, order + _MORE)
    for run in tendon_runs(tendon, grips.member):
        on = np.flatnonzero((middle > run.start) & (middle < run.end))
        length = np.diff(nodes)[on, None]
        z = (nodes[on, None] + length * (1 + x) / 2).ravel()
        place, _, q = run.acting(z)
        step = q * (w * length / 2).reshape(-1, 1)
        part_of = np.array([grips.course.index(float(s)) for s in middle[on]])
        for number in np.unique(part_of):
            some = on[part_of == number]
            own = np.repeat(part_of == number, len(x))
            acting = _rows(grips, grips.course.parts[number], z[own], place[own], step[own])
            inner[some] += (value.T @ acting.reshape(len(some), len(x), n)).reshape(len(some), -1)
        left = np.diff(_wrenches(grips, run, nodes[[*on, on[-1] + 1]]), axis=0)
        left -= (
            _about(grips, z, place, step, np.zeros(len(z))).reshape(len(on), len(x), 6).sum(axis=1)
        )
        for k, wrench in zip(on, left, strict=True):
            ends = bool(k == on[-1])
            nodal[(k + 1) % count] += _spread(grips, float(nodes[k + 1]), wrench, ends=ends)
        for station, sign, node in (
            (run.start, 1.0, on[0]),
            (run.end, -1.0, (on[-1] + 1) % count),
        ):
            place, force, _ = run.acting(np.array([station]))
            side = "right" if sign > 0 else "left"
            part = grips.course.part(station, side)
            nodal[node] += _rows(grips, part, np.array([station]), place, sign * force)[0]
    return nodal, inner


def tendon_states(tendon: Tendon, grips: Grips, part: MemberPart, z: Array) -> Array:
    """(m, 2, n) a and a' at stations of a part whose stress has the tendon's own force: what its
    tension adds to the stress of the section that moves with it."""
    found = np.zeros((len(z), 2, grips.course.size))
    for run in tendon_runs(tendon, grips.member):
        on = np.flatnonzero((z > run.start) & (z < run.end))
        if not len(on):
            continue
        place, force, _ = run.acting(z[on])
        rows = _rows(grips, part, z[on], place, force)
        work = np.concatenate([np.zeros_like(rows), rows], axis=1)
        found[on] += _answers(part, z[on], work).reshape(len(on), 2, -1)
    return found


def _answers(part: MemberPart, z: Array, work: Array) -> Array:
    """(m, 2n) states a, a' of least energy under work on them."""
    own = part.section
    if part.taper is None:
        energy = np.block([[own.C, own.L.T], [own.L, own.M]])
        return work @ np.linalg.pinv(energy, rcond=1e-13, hermitian=True)
    found = part.taper.matrices(z)
    energies = np.block([[found.C, found.L.transpose(0, 2, 1)], [found.L, found.M]])
    turned = np.linalg.pinv(energies, rcond=1e-13, hermitian=True)
    return np.asarray(np.einsum("mij,mj->mi", turned, work))


def _rows(grips: Grips, part: MemberPart, z: Array, place: Array, force: Array) -> Array:
    """(m, n) forces (m, 3) at places (m, 2) from the axis point; those off the material take hold
    of it as loads do."""
    points = place + np.asarray(grips.member.line)
    if part.tapered is None:
        return np.asarray(np.einsum("mdn,md->mn", grips.point_forces(part, points), force))
    side = "left" if z[-1] >= part.end else "right"
    rows = zip(z.tolist(), points.tolist(), force, strict=True)
    return np.array([f @ grips.point_force(at, (x, y), side) for at, (x, y), f in rows])


def _wrenches(grips: Grips, run: TendonRun, z: Array) -> Array:
    """(m, 6) about the member's start, of the tendon's force at stations from end to end."""
    place, force, _ = run.acting(z)
    turn = np.zeros(len(z))
    turn[0] = -half_turn(grips.member, run.start)
    turn[-1] = half_turn(grips.member, run.end)
    return _about(grips, z, place, force, turn)


def _about(grips: Grips, z: Array, place: Array, force: Array, turn: Array) -> Array:
    """(m, 6) about the member's start, of forces (m, 3) at places from the axis point. In a kink
    the bisecting frame, in which they are summed up, is turned by `turn` (m,) from theirs."""
    moment = np.einsum("mdc,md->mc", np.array([arm_moments((x, y)) for x, y in place]), force)
    local = np.concatenate([force, moment], axis=1)
    for k, angle in enumerate(turn):
        if angle:
            local[k] = np.concatenate(
                [kink_matrix(float(angle)) @ f for f in np.split(local[k], 2)]
            )
    return np.asarray(about_start(grips.member.axis, z, local[..., None])[..., 0])


def _spread(grips: Grips, z: float, wrench: Array, *, ends: bool) -> Array:
    """(n,) a wrench about the member's start, spread over the section at a station, where its run
    `ends` or on its way."""
    axis = grips.member.axis
    units = about_start(axis, np.full(6, z), np.eye(6)[..., None])[..., 0]
    local = np.linalg.solve(units.T, wrench)
    turn = half_turn(grips.member, z)
    if turn:
        local = np.concatenate([kink_matrix(-turn) @ f for f in np.split(local, 2)])
    side = "left" if ends else "right"
    origin = grips.member.line
    rows = grips.spread_force(z, (float(origin[0]), float(origin[1])), side)
    return np.asarray(local[:3] @ rows + local[3:] @ grips.moment(z, side))
