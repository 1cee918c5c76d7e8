"""Symmetric systems of several components a function: bubbles eliminated triangle by triangle, the
rest by one sparse L D L^T.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
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
    return CondensedSystems(numbers, count, outer, held).factored(elements)


class CondensedSystems:
    """Systems of one mesh, factored one after the other: each answers until the next is asked for.

    The order of elimination is found once for all of them.
    """

    def __init__(
        self, numbers: Ints, count: int, outer: int, held: NDArray[np.bool_] | None = None
    ) -> None:
        self._numbers, self._count, self._outer, self._held = numbers, count, outer, held
        self._solver: Any = None

    def factored(self, elements: Array) -> CondensedSystem:
        """The sum of element matrices, see `condensed_system`."""
        numbers, outer = self._numbers, self._outer
        t, n = numbers.shape
        d = elements.shape[1] // n
        local = np.arange(d * n).reshape(d, n)
        one, two = local[:, :outer].ravel(), local[:, outer:].ravel()
        border = self._count - t * (n - outer)
        stiff = elements[:, one[:, None], one]
        if two.size:
            coupling = elements[:, two[:, None], one]
            inverse: Array = np.asarray(np.linalg.inv(elements[:, two[:, None], two]), dtype=float)
            recovery = inverse @ coupling
            stiff = stiff - coupling.transpose(0, 2, 1) @ recovery
        else:
            inverse, recovery = np.zeros((t, 0, 0)), np.zeros((t, 0, d * outer))
        freedoms = (numbers[:, None, :outer] * d + np.arange(d)[:, None]).reshape(t, -1)
        fixed = np.zeros(border * d, dtype=bool) if self._held is None else self._held.ravel()
        used = np.zeros(border * d, dtype=bool)
        used[freedoms] = True
        free = used & ~fixed
        unknown = np.where(free, np.cumsum(free) - 1, -1)
        ldl = self._decomposed(stiff, unknown[freedoms], int(free.sum()))
        return CondensedSystem(
            numbers, self._count, outer, d, unknown, recovery, inverse, freedoms, ldl
        )

    def _decomposed(self, stiff: Array, unknowns: Ints, size: int) -> Any:
        import qdldl

        entries = _entries_of(unknowns.astype(np.int64).tobytes(), len(unknowns), size)
        upper = entries.upper(stiff)
        try:
            if self._solver is None:
                self._solver = qdldl.Solver(upper, upper=True)
            else:
                self._solver.update(upper, upper=True)
        except RuntimeError as error:
            raise SolveError(
                f"the section's equations are singular ({error}); check for parts that barely join"
            ) from error
        return self._solver


@lru_cache(maxsize=4)
def _entries_of(unknowns: bytes, count: int, size: int) -> _Entries:
    """Of matrices of unknowns (count, m): one mesh has many systems."""
    return _Entries.of(np.frombuffer(unknowns, np.int64).reshape(count, -1), size)


@dataclass(frozen=True, slots=True, eq=False)
class _Entries:
    """Entries of the upper triangle of a sum of matrices (t, m, m), and which of theirs go there.

    Attributes
    ----------
    i, j : (e,) int
        Row and column within the matrices.
    kept : (t, e) bool
        Entries of unknowns.
    place : (kept,) int
        Entry of the sum that each is added to.
    indices, indptr : int
        Of the sum, by columns.
    """

    i: Ints
    j: Ints
    kept: NDArray[np.bool_]
    place: Ints
    indices: NDArray[np.int32]
    indptr: NDArray[np.int32]

    @classmethod
    def of(cls, unknowns: Ints, size: int) -> _Entries:
        """Of matrices whose rows are `unknowns` (t, m), -1 for none, of `size` in all."""
        i, j = np.triu_indices(unknowns.shape[1])
        one, other = unknowns[:, i], unknowns[:, j]
        kept = (one >= 0) & (other >= 0)
        rows, columns = np.minimum(one, other)[kept], np.maximum(one, other)[kept]
        used, place = np.unique(columns * size + rows, return_inverse=True)
        indptr = np.searchsorted(used, np.arange(size + 1) * size)
        return cls(
            i, j, kept, place, (used % size).astype(np.int32), indptr.astype(np.int32)
        )  # fmt: skip

    def upper(self, stiff: Array) -> Any:
        """(size, size) sparse sum of matrices (t, m, m)."""
        from scipy.sparse import csc_matrix  # a matrix, no array, as qdldl asks

        some = stiff[:, self.i, self.j][self.kept]
        data = np.bincount(self.place, some, len(self.indices))
        size = len(self.indptr) - 1
        return csc_matrix((data, self.indices, self.indptr), shape=(size, size))
