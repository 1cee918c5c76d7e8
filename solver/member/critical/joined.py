"""Second-order work where two pieces of a member meet, at kinks and at hinges.

At a kink both pieces pull at the diaphragm with their own tractions, in different directions: what
one pulls with does not undo what the other does, as it does where a member runs on. At a hinge the
two sides turn apart, and each takes its own tractions with it; what passes works on how they part
(see `hinge_work`).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..beam.hinge_work import hinge_work
from ..beam.junction import kink_matrix
from ..deforming.analysis import Frame
from ..deforming.reactions import diaphragm_forces
from ..deforming.solution import DeformingSolution
from ..model.hinge import Hinge
from .linear_fields import LinearFields, height

Array = NDArray[np.float64]


class Joined:
    """The kinks and hinges of a frame.

    Attributes
    ----------
    kinks : dict of node to float
        Angles of the kinks by the node before them.
    hinges : dict of node to Hinge
    """

    def __init__(self, frame: Frame, fields: LinearFields) -> None:
        self._frame, self._fields = frame, fields
        member = frame.member

        def node(at: float) -> int:
            return int(np.argmin(abs(frame.nodes - at)))

        self.kinks = {node(k.at): k.angle for k in member.axis.kinks}
        self.hinges: dict[int, Hinge] = {node(h.at): h for h in member.hinges}

    def at_kink(self, node: int, three: Array, solution: DeformingSolution, c: int) -> Array:
        """(3, 3) H of what pulls at the diaphragm of a kink, which a support may hold with `three`,
        loads and contacts left out; by dyads about the axis point, about which the frame turns."""
        member, z = self._frame.member, float(self._frame.nodes[node])
        line = np.array([*member.line, 0.0])
        before, beyond = self._ends(solution, node, c)
        turn = kink_matrix(self.kinks[node])
        d = np.outer(three, np.array([*self.held_at(node), 0.0]) - line)
        for side, row, q in (("left", before, np.eye(3)), ("right", beyond, turn)):
            rigid = self._frame.course.part(z, side).shape(z).rigid[:, :3]
            d -= q.T @ (self._fields.dyad(z, side, row) - np.outer(rigid.T @ row, line)) @ q
        return height(d)

    def at_hinge(self, node: int, solution: DeformingSolution, c: int) -> Array:
        """(2n, 2n) second derivatives by the functions on both sides of a hinge, and of what holds
        the piece before it rigidly, loads and contacts left out."""
        frame, z = self._frame, float(self._frame.nodes[node])
        before, beyond = self._ends(solution, node, c)
        rigid = frame.course.part(z, "left").shape(z).rigid
        three = rigid[:, :3].T @ (before + beyond)
        own = np.stack([self._fields.dyad(z, "left", row) for row in (before, beyond)])
        own[0] -= np.outer(three, (*self.held_at(node), 0.0))
        work = hinge_work(frame.member, self.hinges[node], -rigid.T @ beyond, (0.0, 0.0), own)
        moves = np.kron(np.eye(2), frame.grips.tractions(z).T)
        return np.asarray(moves.T @ work @ moves)

    def held_at(self, node: int) -> tuple[float, float]:
        """The point of the support that holds a node."""
        member = self._frame.member
        section = member.section_at(float(self._frame.nodes[node]))
        titles = [title for title, (at, _) in self._frame.holds.plain.items() if at == node]
        for support in member.supports:
            if support.title in titles and support.point is not None:
                return member.locate(support.point, section)
        return section.shear_centre

    def _ends(self, solution: DeformingSolution, node: int, c: int) -> tuple[Array, Array]:
        """(n,) each: what acts on the pieces before and beyond, loads and contacts left out."""
        before, beyond = (forces[:, c] for forces in solution.passed[node])
        for k, (where, row) in self._frame.holds.rows.items():
            if where == node:
                before = before - float(solution.push[k, c]) * row
        for (where, brace), force in zip(solution.braces, diaphragm_forces(solution), strict=True):
            if where == node and brace.stiffness is not None:
                before = before + brace.rows.T @ force.hold[:, c]
        return before, beyond
