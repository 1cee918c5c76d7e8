"""Adjoint fields of a member whose sections deform.

Every result is one of two functionals of the values v of a at the nodes and the loads f:

- a row of a at a station (twist, displacement): the field of that row as load;
- a force of part of the structure, G^T (K' v - f'), G a unit motion of one node in that part: the
  right-hand element for an internal force (and, with a row of a, for a stress), all that meets
  there for a reaction. Its field is that of
  the load K' G less G itself, which leaves the jump of the influence line (Mueller-Breslau) exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..beam.contact import BOTH
from ..deforming.amplitude import Amplitudes
from ..deforming.analysis import Frame, assembled
from ..deforming.node_places import node_at
from ..deforming.passing import acting_side, facing, half_turn, turned_motion
from ..deforming.traction import torsional_warping
from ..model.load import Where
from ..model.member import SAME_STATION
from .asked import DISPLACEMENTS, ROTATIONS, STRESSES, AskedResult, motion_of
from .line_ordinates import MORE, LineOrdinates, fitted

Array = NDArray[np.float64]

#: Share of a unit motion that rigid holds may contradict before they are called redundant.
CONTRADICTED = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class DeformingField:
    """Influence of a vertical unit load, downward, on c results."""

    frame: Frame
    amplitudes: Amplitudes
    _known: dict[Where, LineOrdinates] = field(default_factory=dict)

    @property
    def nodes(self) -> Array:
        """Stations between which the lines are smooth."""
        return self.amplitudes.nodes

    def on(self, place: Where) -> LineOrdinates:
        """The lines of all results for a load at a place of stations."""
        if place not in self._known:
            self._known[place] = LineOrdinates(Amplitudes(self.nodes, self._along(place)))
        return self._known[place]

    def _along(self, place: Where) -> Array:
        """Coefficients (e, q + 1, 1, c)."""
        grips, course = self.frame.grips, self.frame.course
        nodes, own = self.nodes, self.amplitudes.coefficients
        middle = (nodes[1:] + nodes[:-1]) / 2
        index = np.array([course.index(float(z)) for z in middle])
        tapered = np.array([course.parts[k].tapered is not None for k in index])
        down = np.asarray(self.frame.member.pitch.down)
        order = self.amplitudes.order + (MORE if tapered.any() else 0)
        found = np.zeros((len(middle), order + 1, 1, own.shape[-1]))
        for k in np.unique(index[~tapered]):
            mine = np.flatnonzero(index == k)
            row = down @ grips.force(float(middle[mine[0]]), place)
            found[mine, : own.shape[1], 0] = np.einsum("n,einc->eic", row, own[mine])
        for e in np.flatnonzero(tapered):
            inside = lambda z: self.ordinates(z, place)  # noqa: E731
            found[e, :, 0] = fitted(nodes[e : e + 2], order, inside)[0]
        return found

    def ordinates(self, z: Array, place: Where, side: str = "right") -> Array:
        """(m, c) results of a load at a place of stations z (m,)."""
        _, a, _ = self.amplitudes.at(z, side)
        grips, course = self.frame.grips, self.frame.course
        index = np.array([course.index(float(s), side) for s in z])
        down = np.asarray(self.frame.member.pitch.down)
        found = np.empty((len(z), a.shape[-1]))
        for k in np.unique(index):
            part, own = course.parts[k], np.flatnonzero(index == k)
            if part.tapered is None:
                middle = (part.start + part.end) / 2
                found[own] = np.einsum("n,mnc->mc", down @ grips.force(middle, place), a[own])
            else:
                rows = np.einsum("d,mdn->mn", down, grips.between(part, z[own], place))
                found[own] = np.einsum("mn,mnc->mc", rows, a[own])
        return found


def deforming_field(frame: Frame, order: int, asked: Sequence[AskedResult]) -> DeformingField:
    """One factorisation, one solve a result.

    Bearings that may lift and connections with slip are taken as shut.

    Raises
    ------
    InputError
        A reaction that rigid holds share in no single way; a point outside the material.
    """
    system = assembled(frame, order, [BOTH] * len(frame.contacts), loaded=False)
    k, n, e = system.count, system.size, len(system.elements)
    nodal = np.zeros((k, n, len(asked)))
    bare = np.zeros((e, (order + 1) * n, len(asked)))
    less: list[tuple[int, int, Array]] = []
    for c, one in enumerate(asked):
        if one.kind in ("action", "seat", "stress"):
            motion = _stress(frame, one)[1] if one.kind == "stress" else _works(frame, one)
            number, ends = _cut(frame, one.at, motion)
            if one.kind == "stress":
                beside = system.ends[number][1 if _side(frame, one.at) == "left" else 0]
                nodal[beside, :, c] += _stress(frame, one)[0]
            load = system.elements[number].condensed @ ends
            for node, half in zip(system.ends[number], (load[:n], load[n:]), strict=True):
                nodal[node, :, c] += half
            less.append((number, c, ends))
        elif one.kind in ("reaction", "bearing"):
            node, motion, row = _held(frame, one)
            nodal[node, :, c] += row
            lifted = np.zeros((k, n, 1))
            lifted[node : node + len(motion), :, 0] = motion
            nodal[:, :, c] += system.matrix.applied(lifted)[..., 0]
            for number, own in enumerate(system.ends):
                both = lifted[own, :, 0].ravel()
                if both.any():
                    less.append((number, c, both))
        else:
            nodal[node_at(frame.nodes, one.at, frame.member), :, c] += moved_row(frame, one)
    found = system.whole(system.solve(nodal, bare), bare)
    for number, c, ends in less:
        own = system.elements[number].whole(ends[:, None], bare[number, :, :1])
        found[number, ..., c] -= own.reshape(-1, n)
    return DeformingField(frame, Amplitudes(frame.nodes, found))


def _side(frame: Frame, z: float) -> str:
    """The side of a station that belongs to the member: its end is seen from the left."""
    return "left" if z >= frame.member.length * (1 - SAME_STATION) else "right"


def _element(frame: Frame, z: float) -> int:
    """Number of the element that starts at a node, at the member's end that which ends there; of a
    hinge or kink the one beyond."""
    found = int(np.argmin(abs(frame.nodes - z)))
    return min(found + (found in frame.passings), len(frame.nodes) - 2)


def _works(frame: Frame, one: AskedResult, turn: float = 0.0) -> Array:
    """(n,) unit motion of the functions on which a resultant works, in a frame turned by an
    angle."""
    side = _side(frame, one.at)
    shape = frame.course.part(one.at, side).shape(one.at)
    if one.component == "B":
        return -torsional_warping(shape, shape.rigid)
    section = frame.member.section_at(one.at)
    motion = motion_of(
        frame.member, one, np.asarray(section.centroid), np.asarray(section.shear_centre)
    )
    if turn:
        motion = turned_motion(-turn, frame.member.line) @ motion
    return np.asarray(shape.rigid @ motion)


def _cut(frame: Frame, at: float, motion: Array) -> tuple[int, Array]:
    """Element beside a station, and the movement (2n,) of its ends on which what passes through the
    station works; `motion` is that of the face that looks along the member."""
    still = np.zeros_like(motion)
    if _side(frame, at) == "left":
        return _element(frame, at), np.concatenate([still, motion])
    return _element(frame, at), np.concatenate([-motion, still])


def _held(frame: Frame, one: AskedResult) -> tuple[int, Array, Array]:
    """Node of a support, the motion (1, n) that its rigid holds alone resist, and the row of a that
    its springs add. At a hinge or kink the motion (2, n) is that of both its nodes."""
    holds = frame.holds
    mine = [k for k, c in enumerate(frame.contacts) if c.owner == one.owner and k in holds.rows]
    if one.kind == "bearing":
        mine = [k for k in mine if frame.contacts[k].freedom == f"bearing {one.number}"]
    node = holds.rows[mine[0]][0] if mine else holds.plain[one.owner][0]
    works = None if one.kind == "bearing" else _works(frame, one, half_turn(frame.member, one.at))
    rows: list[Array] = []
    weights: list[float] = []
    row = np.zeros(frame.course.size)
    for k, (where, own) in holds.rows.items():
        share = 0.0
        if k in mine:
            share = 1.0 if works is None else float(own @ works)
        if frame.contacts[k].softness:
            row -= share / frame.contacts[k].softness * own
        elif where == node:
            rows.append(own)
            weights.append(share)
    for owner, (where, several) in holds.plain.items():
        if where == node:
            rows += list(several)
            if works is not None and owner == one.owner:
                weights += (several @ works).tolist()
            else:
                weights += [0.0] * len(several)
    for where, brace in frame.braces:
        if where == node and brace.stiffness is None:
            rows += list(brace.rows)
            weights += [0.0] * len(brace.rows)
    if not any(weights):
        return node, np.zeros((1, len(row))), row
    passing = frame.passings.get(node)
    if passing is not None:
        rows = [np.concatenate([r, np.zeros_like(r)]) for r in rows] + list(passing.rows)
        weights += [0.0] * len(passing.rows)
    size = np.linalg.norm(rows, axis=1)
    kept = size > 0
    matrix = np.array(rows)[kept] / size[kept, None]
    aim = np.array(weights)[kept] / size[kept]
    motion = np.linalg.pinv(matrix, rcond=1e-9) @ aim
    if np.linalg.norm(matrix @ motion - aim) > CONTRADICTED * np.linalg.norm(aim):
        raise InputError(
            f"{one.title}: rigid holds at one station share it in no single way; give the bearings "
            "or supports there a stiffness"
        )
    return node, motion.reshape(-1, len(row)), row


def answerable(frame: Frame, one: AskedResult) -> bool:
    """Whether a result has one value: rigid holds at one station may share a reaction at will."""
    if one.kind not in ("reaction", "bearing"):
        return True
    try:
        _held(frame, one)
    except InputError:
        return False
    return True


def moved_row(frame: Frame, one: AskedResult) -> Array:
    """(n,) row of a twist, rotation or displacement; in a kink of the bisecting frame."""
    member = frame.member
    side = acting_side(member, one.at)
    if one.kind in ("twist", "rotation"):
        k = 2 if one.kind == "twist" else ROTATIONS.index(one.component)
        return np.asarray(facing(member, one.at, frame.grips.moment(one.at, side))[k])
    k = DISPLACEMENTS.index(one.component)
    return np.asarray(facing(member, one.at, frame.grips.force(one.at, one.place, side))[k])


def _stress(frame: Frame, one: AskedResult) -> tuple[Array, Array]:
    """Row (n,) of a, and motion (n,) on whose resultant a stress depends.

    The resultants of all functions are F = M a' + L a, so a stress s0 a + s1 a' is
    (s0 - s1 M^-1 L) a + (M^-1 s1) F; F is a force of the part beside the station.
    """
    side = _side(frame, one.at)
    part = frame.course.part(one.at, side)
    point = frame.member.locate(one.place, frame.member.section_at(one.at))
    still, along = part.at(one.at).stress_rows(np.array([point]))
    k = STRESSES.index(one.component)
    piece = part.piece
    energy = piece.energy if piece.along is None else piece.along(np.array([one.at]))
    m, cross = (np.asarray(x).reshape(-1, still.shape[-1], still.shape[-1])[0]
                for x in (energy.M, energy.L))  # fmt: skip
    motion = np.linalg.solve(m, along[0, k] / part.ratio)
    return np.asarray(still[0, k] - cross.T @ motion), motion
