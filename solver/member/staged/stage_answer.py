"""What one stage adds, by either theory: turns and movements, and where its bearings touch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..beam.solution import Solution
from ..beam.support_reaction import SupportReaction
from ..deforming.holds import bearing_point
from ..deforming.solution import DeformingSolution
from ..model.held_point import held_point
from ..model.member import Member
from ..model.support import Support
from .stage import Stage

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class StageAnswer:
    """What one stage adds.

    Attributes
    ----------
    stage : Stage
    member : Member
        As it stands, with its own loads and with what is given back to it.
    solutions : tuple of Solution or of DeformingSolution
        One with all combinations, or one each; none where the stage brings no load.
    reactions : tuple per combination of tuple of SupportReaction
    released : tuple of str
        What was taken away.
    """

    stage: Stage
    member: Member
    solutions: tuple[Solution, ...] | tuple[DeformingSolution, ...]
    reactions: tuple[tuple[SupportReaction, ...], ...]
    released: tuple[str, ...]

    def twist(self, z: ArrayLike) -> Array:
        """(m, c) added at stations z (m,)."""
        return self._joined([_twist(s, z) for s in self.solutions], z)

    def movement(self, point: Any, z: ArrayLike) -> tuple[Array, Array]:
        """Added movement across and up (m, c) of a place of the section."""
        each = [s.movement(point, z) for s in self.solutions]
        return self._joined([e[0] for e in each], z), self._joined([e[1] for e in each], z)

    def over_bearing(self, support: Support, number: int, c: int) -> float:
        """How far up the member moves over one bearing of a support, under a combination."""
        if not self.solutions:
            return 0.0
        single = len(self.solutions) == 1
        solution = self.solutions[0 if single else c]
        column = c if single else 0
        if isinstance(solution, DeformingSolution):
            contact = next(
                k
                for k, one in enumerate(solution.contacts)
                if one.owner == support.title and one.freedom == f"bearing {number}"
            )
            _, row = solution.holds.rows[contact]
            side = "right" if support.at < self.member.length / 2 else "left"
            return float(row @ solution.functions([support.at], side)[1][0, :, column])
        place = self.bearing_place(support, number)
        return float(solution.movement(place, [support.at])[1][0, column])

    def bearing_place(self, support: Support, number: int) -> tuple[float, float]:
        """Where a bearing touches the section."""
        bearing, section = support.bearings[number - 1], self.member.section_at(support.at)
        x, y = bearing.x, held_point(self.member, support)[1]
        if bearing.y is not None:
            y = section.height(bearing.y)
        if self.solutions and isinstance(self.solutions[0], DeformingSolution):
            side = "right" if support.at < self.member.length / 2 else "left"
            return bearing_point(self.solutions[0].grips, support.at, bearing, (x, y), side)
        return (x, y)

    def _joined(self, columns: list[Array], z: ArrayLike) -> Array:
        if not columns:
            return np.zeros((len(np.atleast_1d(z)), len(self.reactions)))
        return np.concatenate(columns, axis=-1)


def _twist(solution: Solution | DeformingSolution, z: ArrayLike) -> Array:
    if isinstance(solution, DeformingSolution):
        return solution.twist(z)
    return solution.at(z).phi
