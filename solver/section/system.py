"""From element matrices to one sparse system: numbering, condensing the bubbles, solving.

All problems of a section share the Laplacian, so one batched elimination of the bubbles serves them
all. With a weight c per triangle the condensed matrix is c times the unweighted one, and the
condensed load does not depend on c; the bubbles follow from the border coefficients as  u_b =
(K_bb^-1 f_b)/c - K_bb^-1 K_bi u_i.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from ...geometry.errors import SolveError
from .bordered import MANY, Bordered
from .elements import ElementIntegrals
from .mesh import Array, Ints, SectionMesh


@dataclass(frozen=True, slots=True, eq=False)
class Condensed:
    """Elements without their bubbles.

    Attributes
    ----------
    order : int
    freedoms : (t, 3p) int
        Global number of each vertex and edge function.
    count : int
        Number of global functions.
    stiffness : (t, 3p, 3p)
    loads : (t, 3p, k)
        One column a load.
    recovery : (t, m, 3p)
        K_bb^-1 K_bi.
    bubble_loads : (t, m, k)
        K_bb^-1 f_b.
    bubble_stiffness : (t, m, m)
        K_bb, kept for further loads.
    """

    order: int
    freedoms: Ints
    count: int
    stiffness: Array
    loads: Array
    recovery: Array
    bubble_loads: Array
    bubble_stiffness: Array

    def with_loads(self, columns: Array) -> Condensed:
        """The same elements with other load columns (t, n, k)."""
        outer = self.loads.shape[1]
        bubble = columns[:, outer:]
        solved: Array = bubble
        if bubble.shape[1]:
            solved = np.asarray(np.linalg.solve(self.bubble_stiffness, bubble), dtype=np.float64)
        # K_ib K_bb^-1 f_b = recovery^T f_b, by symmetry
        loads = columns[:, :outer] - self.recovery.transpose(0, 2, 1) @ bubble
        return replace(self, loads=loads, bubble_loads=solved)

    def expand(self, solution: Array, load: int, weight: Array) -> Array:
        """(t, n) element coefficients from the (count,) global solution of one load."""
        outer = solution[self.freedoms]
        inner = self.bubble_loads[..., load] / weight[:, None] - np.einsum(
            "tmi,ti->tm", self.recovery, outer
        )
        return np.concatenate([outer, inner], axis=1)


def condense(mesh: SectionMesh, order: int, integrals: ElementIntegrals, loads: Array) -> Condensed:
    """Number the functions and eliminate the bubbles. `loads` is (t, n, k)."""
    k = integrals.stiffness
    outer = 3 * order
    edge = mesh.triangle_edges[..., None] * (order - 1) + np.arange(order - 1) + len(mesh.vertices)
    freedoms = np.concatenate([mesh.triangles, edge.reshape(len(mesh.triangles), -1)], axis=1)
    count = len(mesh.vertices) + len(mesh.edges) * (order - 1)
    if k.shape[1] == outer:
        empty = np.zeros((len(k), 0, outer))
        none = np.zeros((len(k), 0, loads.shape[2]))
        return Condensed(order, freedoms, count, k, loads, empty, none, np.zeros((len(k), 0, 0)))
    coupling = k[:, outer:, :outer]
    solved = np.linalg.solve(
        k[:, outer:, outer:], np.concatenate([coupling, loads[:, outer:]], axis=2)
    )
    recovery, bubble_loads = solved[..., :outer], solved[..., outer:]
    down = coupling.transpose(0, 2, 1)
    return Condensed(
        order,
        freedoms,
        count,
        k[:, :outer, :outer] - down @ recovery,
        loads[:, :outer] - down @ bubble_loads,
        recovery,
        bubble_loads,
        k[:, outer:, outer:],
    )


@dataclass(frozen=True, slots=True, eq=False)
class Factored:
    """A factored system: global functions mapped to unknowns (-1: held at zero), ties allowed."""

    unknown: Ints
    size: int
    matrix: Any
    held_back: int
    _lu: Any

    def __reduce__(self) -> tuple[Any, ...]:
        """Results travel from worker processes, which SuperLU's objects cannot: factor again."""
        return _factored, (self.matrix, self.unknown, self.size, self.held_back)

    def solve(self, condensed: Condensed, load: int, extra: Array | None = None) -> Array:
        """(count,) global coefficients for one load column, plus an extra load per unknown."""
        rhs: Array = np.bincount(
            self.unknown[condensed.freedoms].ravel() + 1,
            weights=condensed.loads[..., load].ravel(),
            minlength=self.size + 1,
        )[1:].astype(np.float64)
        if extra is not None:
            rhs = rhs + extra
        solution = np.append(self._lu.solve(rhs), 0.0)
        return solution[self.unknown]


def factor(
    condensed: Condensed, weight: Array, unknown: Ints, size: int, held_back: int = 0
) -> Factored:
    """Assemble and factor sum of weight * stiffness over the kept unknowns.

    The last `held_back` unknowns have long rows (see `bordered`).

    Raises
    ------
    SolveError
        If the matrix is singular to working precision.
    """
    from scipy.sparse import coo_array

    dofs = unknown[condensed.freedoms]
    n = dofs.shape[1]
    rows = np.repeat(dofs, n, axis=1).ravel()
    cols = np.tile(dofs, (1, n)).ravel()
    data = (condensed.stiffness * weight[:, None, None]).ravel()
    keep = (rows >= 0) & (cols >= 0)
    matrix = coo_array((data[keep], (rows[keep], cols[keep])), shape=(size, size)).tocsc()
    return _factored(matrix, unknown, size, held_back)


def _factored(matrix: Any, unknown: Ints, size: int, held_back: int) -> Factored:
    apart = MANY <= held_back < size
    lu = Bordered(matrix, held_back, _sparse_factors) if apart else _sparse_factors(matrix)
    return Factored(unknown, size, matrix, held_back, lu)


def _sparse_factors(matrix: Any) -> Any:
    from scipy.sparse.linalg import splu

    try:
        return splu(
            matrix,
            permc_spec="MMD_AT_PLUS_A",
            diag_pivot_thresh=0.0,
            options={"SymmetricMode": True},
        )
    except RuntimeError as error:
        raise SolveError(
            f"the section's equations are singular ({error}); check for parts that barely join"
        ) from error
