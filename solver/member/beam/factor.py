"""A member's equations factorised: states under any loads, and the transposed equations."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from .system import States, System

Array = NDArray[np.float64]


def factorised(system: System, engaged: Sequence[int], geometric: Any = None) -> Factor:
    """Factorise a system's `matrix`."""
    from scipy import sparse
    from scipy.sparse.linalg import splu

    matrix = system.matrix(engaged, geometric) @ sparse.diags_array(system.scale)
    largest = abs(matrix).max(axis=1).toarray().ravel()
    rows = 1 / np.where(largest > 0, largest, 1.0)
    matrix = (sparse.diags_array(rows) @ matrix).tocsc()
    try:
        lu = splu(matrix)
    except RuntimeError as reason:
        raise SolveError(
            f"the member's equations have no unique answer ({reason}); "
            "check for springs or sections that are many orders of magnitude apart"
        ) from reason
    return Factor(system, tuple(engaged), geometric, matrix, rows, lu)


@dataclass(frozen=True, slots=True)
class Factor:
    """A factorised system."""

    system: System
    engaged: tuple[int, ...]
    geometric: Any
    matrix: Any
    rows: Array
    lu: Any

    def solve(
        self,
        start: Array,
        end: Array,
        nodal: Array,
        shift: Array | None = None,
        jump: Array | None = None,
    ) -> States:
        """States under loads per length (n, 6, c) at element ends and nodal forces (k, 7, c).

        Contacts with play that are engaged stand at the end of their play; `shift` (m, c) moves
        the place where a contact carries nothing; `jump` (n, 7, c) is by how much the movement at
        an element's start exceeds that of its node.
        """
        right = self.system.right(self.engaged, start, end, nodal, shift, jump)
        states = self.system.collected(self.unknowns(right), nodal, self.geometric)
        if jump is not None:
            states.start[:, :7] += jump
        return states

    def motion(self, nodal: Array) -> Array:
        """(k, 7, c) motion that `solve` finds under nodal forces alone, every contact open or
        without play: iterations ask for no more, hundreds of times."""
        on_node, count = self.system.on_node, nodal.shape[-1]
        right = np.zeros((len(self.rows), count))
        right[: on_node.shape[0]] = -(on_node @ nodal.reshape(-1, count))
        return self.unknowns(right)[: nodal.shape[0] * 7].reshape(nodal.shape)

    def unknowns(self, right: Array) -> Array:
        """(7k + 7n + m, c) movements of nodes, forces at the starts of elements and contact forces
        from the equations' right-hand sides."""
        right = right * self.rows[:, None]
        found = self.lu.solve(right)
        # One step of refinement takes out what pivoting left.
        found += self.lu.solve(right - self.matrix @ found)
        if not np.isfinite(found).all():
            raise SolveError(
                "the member's equations have no finite answer; check the size of its loads and "
                "what its supports hold"
            )
        return np.asarray(found * self.system.scale[:, None])

    def multipliers(self, weights: Array) -> Array:
        """(rows, c) answers of the transposed equations: by what each equation's right-hand side
        moves a result whose weights on the unknowns are (7k + 7n + m, c)."""
        right = weights * self.system.scale[:, None]
        found = self.lu.solve(right, trans="T")
        found += self.lu.solve(right - self.matrix.T @ found, trans="T")
        return np.asarray(found * self.rows[:, None])
