"""The height of loads and reactions that the functions cannot place by themselves.

A force at a point of the material carries its height into the initial stress (see `enrichment`).
One that is spread over the section as Saint-Venant's stress, or whose point lies off the material,
works on second-order motion where its tractions are, not at its point; a torque's tractions are
taken to turn with half of the rotation and to do nothing. With D = P r^T of the force less that of
its tractions, the rotation theta of the section adds 1/2 theta . (tr D - sym D) theta.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..beam.junction import kink_matrix
from ..deforming.analysis import Frame
from ..deforming.holds import plumbed
from ..deforming.passing import acting_side, half_turn
from ..deforming.reactions import diaphragm_forces, rigid_forces
from ..deforming.solution import DeformingSolution
from ..model.load import LineLoad, PointLoad, Where
from ..model.member import Member
from .joined import Joined
from .linear_fields import LinearFields, height

Array = NDArray[np.float64]

#: Dyads below this share of force times the section's size are rounding.
NONE = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class LineHeight:
    """Second-order energy 1/2 q(z) a^T matrix a along elements.

    Attributes
    ----------
    elements : (e,) int
    start, end : float
        Where q runs from `first` to `last`.
    matrix : (n, n)
    case : int
    """

    elements: NDArray[np.intp]
    start: float
    end: float
    first: float
    last: float
    matrix: Array
    case: int


class Heights:
    """Second-order work beyond that of the initial stress."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self._fields = LinearFields(frame.course)
        self._joined = Joined(frame, self._fields)

    def point_loads(self) -> list[tuple[int, int, Array]]:
        """(node, case, matrix (n, n)) of the single loads of every case."""
        frame, member = self.frame, self.frame.member
        found = []
        for load in member.loads:
            if not isinstance(load, PointLoad):
                continue
            side = _side(load.at, member)
            back = kink_matrix(-half_turn(member, load.at))  # from the bisecting frame of a kink
            node = int(np.argmin(abs(frame.nodes - load.at))) % self._count
            h = self._of_force(load.at, side, load.place, back @ np.asarray(load.force, float))
            h = h + self._of_moment(load.at, side, back, np.asarray(load.moment, float))
            if h.any():
                found.append((node, member.cases.index(load.case), self._seen(load.at, side, h)))
        return found

    def line_loads(self) -> list[LineHeight]:
        """Of the line loads of every case; in a taper by the element's middle."""
        frame, member = self.frame, self.frame.member
        found = []
        middle = (frame.nodes[1:] + frame.nodes[:-1]) / 2
        long = np.diff(frame.nodes) > 0
        for load in member.loads:
            if not isinstance(load, LineLoad):
                continue
            case = member.cases.index(load.case)
            last = load.force if load.force_end is None else load.force_end
            torque = load.torque if load.torque_end is None else load.torque_end
            covered = np.flatnonzero(long & (middle > load.start) & (middle < load.end))
            for some in self._alike(covered, middle):
                z = float(middle[some[0]])
                for k in range(3):
                    force = np.eye(3)[k]
                    if load.force[k] or last[k]:
                        h = self._of_force(z, "right", load.place, force)
                        if h.any():
                            matrix = self._seen(z, "right", h)
                            span = load.start, load.end, load.force[k], last[k]
                            found.append(LineHeight(some, *span, matrix, case))
                if load.torque or torque:
                    h = self._of_torque(z, "right", 1.0)
                    if h.any():
                        matrix = self._seen(z, "right", h)
                        span = load.start, load.end, load.torque, torque
                        found.append(LineHeight(some, *span, matrix, case))
        return found

    def reactions(self, solution: DeformingSolution, c: int) -> list[tuple[int, Array]]:
        """(node, matrix) of what springs, bearings and contacts push with in combination c."""
        frame, member = self.frame, self.frame.member
        found = []
        for number, (node, row) in frame.holds.rows.items():
            push = float(solution.push[number, c])
            contact = frame.contacts[number]
            if not push or contact.freedom not in ("x", "y", "z"):
                continue
            z = float(frame.nodes[node])
            point = contact.point[0] + member.line[0], contact.point[1] + member.line[1]
            support = next((s for s in member.supports if s.title == contact.owner), None)
            back = kink_matrix(-half_turn(member, z))  # from the bisecting frame of a kink
            force = back @ plumbed(member, support, np.eye(3))["xyz".index(contact.freedom)]
            h = push * self._dyad(z, _side(z, member), row, force, point)
            if h.any():
                found.append((node, self._seen(z, _side(z, member), h)))
        return found

    def held(self, solution: DeformingSolution, c: int) -> list[tuple[int, Array]]:
        """(node, matrix) of what rigid supports and diaphragms exert in combination c.

        A diaphragm takes a load from where it acts to where the walls carry it: the stress of this
        is in the diaphragm, which rotates with the section.
        """
        frame, member = self.frame, self.frame.member
        rows = {node: rigid_forces(solution, node, c) for node in self._stiff}
        for (node, brace), force in zip(solution.braces, diaphragm_forces(solution), strict=True):
            if brace.stiffness is not None:
                own = brace.rows.T @ force.hold[:, c]
                rows[node] = rows.get(node, 0.0) + own
        rows |= {node: rigid_forces(solution, node, c) for node in self._joined.kinks}
        found = []
        for node, row in rows.items():
            if node in self._joined.hinges:
                continue
            z = float(frame.nodes[node])
            side = _side(z, member)
            three = frame.course.part(z, side).shape(z).rigid[:, :3].T @ row
            if node in self._joined.kinks:
                h = self._joined.at_kink(node, three, solution, c)
            else:
                h = self._dyad(z, side, row, three, self._joined.held_at(node))
            if h.any():
                found.append((node, self._seen(z, side, h)))
        return found

    @property
    def _stiff(self) -> set[int]:
        """Nodes that something holds rigidly, if not wholly."""
        n, holds = self.frame.course.size, self.frame.holds
        found = {node for node, rows in holds.held.items() if len(rows) < n}
        return found | {node for node, brace in self.frame.braces if brace.stiffness is None}

    def hinges(self, solution: DeformingSolution, c: int) -> list[tuple[tuple[int, int], Array]]:
        """(nodes before and beyond, (2n, 2n)) of every hinge in combination c, and of what holds
        the piece before it rigidly."""
        return [
            ((node, (node + 1) % self._count), self._joined.at_hinge(node, solution, c))
            for node in self._joined.hinges
        ]

    @property
    def _count(self) -> int:
        e = len(self.frame.nodes) - 1
        return e if self.frame.member.axis.closed else e + 1

    def _alike(self, covered: NDArray[np.intp], middle: Array) -> list[NDArray[np.intp]]:
        course = self.frame.course
        part = np.array([course.index(float(z)) for z in middle[covered]], int)
        found: list[NDArray[np.intp]] = []
        for k in np.unique(part):
            own = covered[part == k]
            tapered = course.parts[k].tapered is not None
            found += [own[j : j + 1] for j in range(len(own))] if tapered else [own]
        return found

    def _of_force(self, z: float, side: str, place: Where, force: Array) -> Array:
        member = self.frame.member
        point = member.locate(place, member.section_at(z))
        row = self.frame.grips.force(z, place, side).T @ force
        return self._dyad(z, side, row, force, point)

    def _of_moment(self, z: float, side: str, back: Array, moment: Array) -> Array:
        """Of bending moments, couples of forces along z that keep their direction, and a torque, in
        a frame that `back` turns into the section's."""
        row = self.frame.grips.moment(z, side).T @ back @ moment
        couples = np.outer([0.0, 0.0, 1.0], [-moment[1], moment[0], 0.0])
        h = height(back @ couples @ back.T - self._fields.dyad(z, side, row))
        h[np.abs(h) < NONE * np.abs(moment).max()] = 0.0
        return h

    def _of_torque(self, z: float, side: str, torque: float) -> Array:
        if not torque:
            return np.zeros((3, 3))
        row = self.frame.grips.moment(z, side)[2] * torque
        return self._dyad(z, side, row, np.zeros(3), (0.0, 0.0))

    def _dyad(
        self, z: float, side: str, row: Array, force: Array, point: tuple[float, float]
    ) -> Array:
        """(3, 3) H of the energy 1/2 theta . H theta that the tractions `row` leave out."""
        own = self._fields.dyad(z, side, row)
        d = np.outer(force, (*point, 0.0)) - own
        size = float(np.abs(row @ self._fields.at(z, side).reshape(len(row), -1)).max(initial=0.0))
        size = max(size, float(np.abs(np.outer(force, point)).max()))
        h = height(d)
        h[np.abs(h) < NONE * size] = 0.0
        return h

    def _seen(self, z: float, side: str, h: Array) -> Array:
        turn = self.frame.grips.moment(z, side)
        return np.asarray(turn.T @ h @ turn)


def _side(z: float, member: Member) -> str:
    return acting_side(member, z)
