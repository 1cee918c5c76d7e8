"""Symmetric systems of several components a function: bubbles eliminated triangle by triangle, the
rest by one sparse L D L^T.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .....geometry.errors import SolveError
from ...mesh.section_mesh import Array, Ints


@dataclass(frozen=True, slots=True, eq=False)
class CondensedSystem:
    """A factored system of d components a function.

    Attributes
    ----------
    numbers : (t, n) int
        Global number of each triangle's functions, the outer ones first.
    count, outer, components : int
        Functions in all, outer functions of a triangle, d.
    unknown : (border * d,) int
        Unknown of each component of each outer function, -1 where it is held at zero.
    recovery : (t, d m, d o)
        K_bb^-1 K_bo.
    inverse : (t, d m, d m)
        K_bb^-1.
    """

    numbers: Ints
    count: int
    outer: int
    components: int
    unknown: Ints
    recovery: Array
    inverse: Array
    freedoms: Ints
    _ldl: Any

    def solve(self, load: Array) -> Array:
        """(count, d, c) solutions of loads (count, d, c).

        Raises
        ------
        SolveError
            If a solution is not finite.
        """
        d, c = self.components, load.shape[2]
        border = len(self.unknown) // d
        t = len(self.numbers)
        # bubbles are numbered last, triangle by triangle: (t, m, d, c) -> (t, d m, c)
        inner = load[border:].reshape(t, -1, d, c).transpose(0, 2, 1, 3).reshape(t, -1, c)
        rhs = np.zeros((border * d + 1, c))
        rhs[:-1] = load[:border].reshape(border * d, c)
        if inner.shape[1]:
            carried = self.recovery.transpose(0, 2, 1) @ inner
            for k in range(c):
                rhs[:-1, k] -= np.bincount(
                    self.freedoms.ravel(), carried[..., k].ravel(), border * d
                )
        free = self.unknown >= 0
        out = np.zeros((border * d, c))
        reduced = np.ascontiguousarray(rhs[:-1][free].T)
        out[free] = np.stack([self._ldl.solve(column) for column in reduced], axis=1)
        if not np.isfinite(out).all():
            raise SolveError("the section's equations are singular; check for parts barely joined")
        full = np.empty((self.count, d, c))
        full[:border] = out.reshape(border, d, c)
        if inner.shape[1]:
            bubbles = self.inverse @ inner - self.recovery @ out[self.freedoms]
            full[border:] = bubbles.reshape(t, d, -1, c).transpose(0, 2, 1, 3).reshape(-1, d, c)
        return full


def condensed_system(
    numbers: Ints,
    count: int,
    outer: int,
    elements: Array,
    held: NDArray[np.bool_] | None = None,
) -> CondensedSystem:
    """Factor the sum of element matrices.

    Parameters
    ----------
    numbers : (t, n) int
    count, outer : int
    elements : (t, d n, d n)
        Component first.
    held : (border, d) bool, optional
        Components of outer functions that are zero.

    Raises
    ------
    SolveError
        If the matrix is singular to working precision.
    """
    t, n = numbers.shape
    d = elements.shape[1] // n
    local = np.arange(d * n).reshape(d, n)
    one, two = local[:, :outer].ravel(), local[:, outer:].ravel()
    border = count - t * (n - outer)
    stiff = elements[:, one[:, None], one]
    if two.size:
        coupling = elements[:, two[:, None], one]
        inverse: Array = np.asarray(np.linalg.inv(elements[:, two[:, None], two]), dtype=float)
        recovery = inverse @ coupling
        stiff = stiff - coupling.transpose(0, 2, 1) @ recovery
    else:
        inverse, recovery = np.zeros((t, 0, 0)), np.zeros((t, 0, d * outer))
    freedoms = (numbers[:, None, :outer] * d + np.arange(d)[:, None]).reshape(t, -1)
    fixed = np.zeros(border * d, dtype=bool) if held is None else held.ravel()
    used = np.zeros(border * d, dtype=bool)
    used[freedoms] = True
    free = used & ~fixed
    unknown = np.where(free, np.cumsum(free) - 1, -1)
    return CondensedSystem(
        numbers, count, outer, d, unknown, recovery, inverse, freedoms,
        _factored(stiff, unknown[freedoms], int(free.sum())),
    )  # fmt: skip


def _factored(stiff: Array, unknowns: Ints, size: int) -> Any:
    import qdldl
    from scipy.sparse import coo_matrix  # a matrix, no array, as qdldl asks

    i, j = np.triu_indices(stiff.shape[1])
    one, other = unknowns[:, i].astype(np.int32), unknowns[:, j].astype(np.int32)
    kept = (one >= 0) & (other >= 0)
    rows, columns = np.minimum(one, other)[kept], np.maximum(one, other)[kept]
    upper = coo_matrix((stiff[:, i, j][kept], (rows, columns)), shape=(size, size)).tocsc()
    try:
        return qdldl.Solver(upper, upper=True)
    except RuntimeError as error:
        raise SolveError(
            f"the section's equations are singular ({error}); check for parts that barely join"
        ) from error
