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

from ...section.deforming.reduced import ReducedSection
from ...section.deforming.span import products, scalar_product
from ..beam.junction import kink_matrix
from ..deforming.analysis import Frame
from ..deforming.holds import plumbed
from ..deforming.passing import acting_side, half_turn
from ..deforming.reactions import diaphragm_forces, rigid_forces
from ..deforming.solution import DeformingSolution
from ..model.load import LineLoad, PointLoad, Where
from ..model.member import Member

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
        self._linear: dict[int, Array] = {}

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
            h = h + self._of_torque(load.at, side, load.moment[2])
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
            force = plumbed(member, support, np.eye(3))["xyz".index(contact.freedom)]
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
        rows |= {node: rigid_forces(solution, node, c) for node in self._kinked}
        found = []
        for node, row in rows.items():
            z = float(frame.nodes[node])
            side = _side(z, member)
            three = frame.course.part(z, side).shape(z).rigid[:, :3].T @ row
            if node in self._kinked:
                h = self._of_kink(node, three, solution, c)
            else:
                h = self._dyad(z, side, row, three, self._held_at(node, z))
            if h.any():
                found.append((node, self._seen(z, side, h)))
        return found

    @property
    def _stiff(self) -> set[int]:
        """Nodes that something holds rigidly, if not wholly."""
        n, holds = self.frame.course.size, self.frame.holds
        found = {node for node, rows in holds.held.items() if len(rows) < n}
        return found | {node for node, brace in self.frame.braces if brace.stiffness is None}

    @property
    def _kinked(self) -> dict[int, float]:
        """Angles of the kinks by the node before them."""
        kinks = {k.at: k.angle for k in self.frame.member.axis.kinks}
        nodes = {int(np.argmin(abs(self.frame.nodes - at))): angle for at, angle in kinks.items()}
        return {node: angle for node, angle in nodes.items() if node in self.frame.passings}

    def _of_kink(self, node: int, three: Array, solution: DeformingSolution, c: int) -> Array:
        """(3, 3) H of the diaphragm of a kink, which both pieces pull at with their own tractions,
        and which a support may hold with `three`.

        The pieces end at the same points of the diaphragm in different directions: what one pulls
        with does not undo what the other does, as it does where a member runs on. The dyads of all
        that acts are taken about the axis point, about which the frame turns.
        """
        member, z = self.frame.member, float(self.frame.nodes[node])
        before, beyond = (forces[:, c] for forces in solution.passed[node])
        for where, row in self._pushes(solution, c):
            if where == node:
                before = before - row
        turn = kink_matrix(self._kinked[node])
        arm = np.subtract(self._held_at(node, z), member.line)
        d = np.outer(three, (*arm, 0.0))
        d -= self._about_axis(z, "left", before)
        d -= turn.T @ self._about_axis(z, "right", beyond) @ turn
        d = (d + d.T) / 2
        return np.asarray(np.trace(d) * np.eye(3) - d)

    def _about_axis(self, z: float, side: str, row: Array) -> Array:
        """(3, 3) dyad of the tractions `row` about the axis point."""
        rigid = self.frame.course.part(z, side).shape(z).rigid[:, :3]
        own = np.einsum("n,nij->ij", row, self._fields(z, side))
        own = own - np.outer(rigid.T @ row, self.frame.member.line)
        return np.column_stack([own, np.zeros(3)])

    def _pushes(self, solution: DeformingSolution, c: int) -> list[tuple[int, Array]]:
        """(node, row (n,)) of the forces of all contacts."""
        rows = self.frame.holds.rows.items()
        return [(node, float(solution.push[k, c]) * row) for k, (node, row) in rows]

    def _held_at(self, node: int, z: float) -> tuple[float, float]:
        """The point of the support that holds a node."""
        member = self.frame.member
        section = member.section_at(z)
        titles = [title for title, (at, _) in self.frame.holds.plain.items() if at == node]
        for support in member.supports:
            if support.title in titles and support.point is not None:
                return member.locate(support.point, section)
        return section.shear_centre

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

    def _of_torque(self, z: float, side: str, torque: float) -> Array:
        if not torque:
            return np.zeros((3, 3))
        row = self.frame.grips.moment(z, side)[2] * torque
        return self._dyad(z, side, row, np.zeros(3), (0.0, 0.0))

    def _dyad(
        self, z: float, side: str, row: Array, force: Array, point: tuple[float, float]
    ) -> Array:
        """(3, 3) H of the energy 1/2 theta . H theta that the tractions `row` leave out."""
        own = np.einsum("n,nij->ij", row, self._fields(z, side))
        d = np.outer(force, (*point, 0.0)) - np.column_stack([own, np.zeros(3)])
        size = float(np.abs(row @ self._fields(z, side).reshape(len(row), -1)).max(initial=0.0))
        size = max(size, float(np.abs(np.outer(force, point)).max()))
        d = (d + d.T) / 2
        d[np.abs(d) < NONE * size] = 0.0
        return np.asarray(np.trace(d) * np.eye(3) - d)

    def _seen(self, z: float, side: str, h: Array) -> Array:
        turn = self.frame.grips.moment(z, side)
        return np.asarray(turn.T @ h @ turn)

    def _fields(self, z: float, side: str) -> Array:
        """(n, 3, 2) coefficients of the motions e_i x_j, linear along a taper as its points are."""
        part = self.frame.course.part(z, side)
        first = self._of(part.straight)
        if part.taper is None:
            return first
        share = float(part.taper.share(np.array([z]))[0])
        return (1 - share) * first + share * self._of(part.taper.last)

    def _of(self, section: ReducedSection) -> Array:
        if id(section) not in self._linear:
            self._linear[id(section)] = linear_fields(section)
        return self._linear[id(section)]


def linear_fields(section: ReducedSection) -> Array:
    """(n, 3, 2) coefficients of the motions e_i x_j, i = x, y, z, j = x, y."""
    fields = section.fields
    lines = fields.lines
    product = scalar_product(fields)
    n = section.size
    motions = np.zeros((len(lines), 3, 6))
    for k in range(6):
        motions[:, k // 2, k] = lines[:, k % 2]
    # In a taper the functions are orthonormal on the first section alone.
    own = products(product, fields.coefficients, fields.coefficients)
    right = products(product, fields.coefficients, motions)
    return np.asarray(np.linalg.solve(own, right).reshape(n, 3, 2))


def _side(z: float, member: Member) -> str:
    return acting_side(member, z)
