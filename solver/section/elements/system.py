"""From element matrices to one sparse system: numbering, condensing the bubbles, solving.

All problems of a section share the Laplacian, so one batched elimination of the bubbles serves them
all, done once for all triangles of one shape. With a weight c per triangle the condensed matrix is
c times the unweighted one, and the condensed load does not depend on c; the bubbles follow from the
border coefficients as  u_b = (K_bb^-1 f_b)/c - K_bb^-1 K_bi u_i.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from ..mesh.section_mesh import Array, Ints, SectionMesh
from .integrals import ElementIntegrals

_EVERY = slice(None)


@dataclass(frozen=True, slots=True, eq=False)
class Condensed:
    """Elements without their bubbles; k shapes of triangles, see `ElementIntegrals`.

    Attributes
    ----------
    freedoms : (t, 3p) int
        Global number of each vertex and edge function.
    count : int
        Number of global functions.
    kind : (t,) int
        Shape of each triangle.
    stiffness : (k, 3p, 3p)
    recovery : (k, m, 3p)
        K_bb^-1 K_bi.
    bubble_inverse : (k, m, m)
        K_bb^-1.
    loads : (t, 3p, c)
        One column a load.
    bubble_loads : (t, m, c)
        K_bb^-1 f_b.
    """

    freedoms: Ints
    count: int
    kind: Ints
    stiffness: Array
    recovery: Array
    bubble_inverse: Array
    loads: Array
    bubble_loads: Array

    def with_loads(self, columns: Array) -> Condensed:
        """The same elements with other load columns (t, n, c)."""
        outer = self.stiffness.shape[1]
        bubble = columns[:, outer:]
        # K_ib K_bb^-1 f_b = recovery^T f_b, by symmetry
        carried = self.recovery.transpose(0, 2, 1)[self.kind] @ bubble
        return replace(
            self,
            loads=columns[:, :outer] - carried,
            bubble_loads=self.bubble_inverse[self.kind] @ bubble,
        )

    def expand(self, solution: Array, load: int, weight: Array) -> Array:
        """(t, n) element coefficients from the (count,) global solution of one load."""
        return self.expand_all([solution], weight, slice(load, load + 1))[0]

    def expand_all(
        self, solutions: Sequence[Array], weight: Array, loads: slice = _EVERY
    ) -> list[Array]:
        """The same of every load, or of some, from a solution each."""
        outer = np.stack([one[self.freedoms] for one in solutions], axis=2)
        carried = self.recovery[self.kind] @ outer
        inner = self.bubble_loads[..., loads] / weight[:, None, None] - carried
        return [
            np.concatenate([outer[..., k], inner[..., k]], axis=1) for k in range(len(solutions))
        ]

    def gathered(self, load: int) -> Array:
        """(count,) one load column, summed over the triangles."""
        return np.bincount(
            self.freedoms.ravel(), weights=self.loads[..., load].ravel(), minlength=self.count
        ).astype(np.float64)

    def upper_entries(self) -> Array:
        """(t, pairs) entries of each triangle's stiffness at `upper_pairs`."""
        i, j = upper_pairs(self.stiffness.shape[1])
        return self.stiffness[:, i, j][self.kind]


def condense(mesh: SectionMesh, order: int, integrals: ElementIntegrals, loads: Array) -> Condensed:
    """Number the functions and eliminate the bubbles. `loads` is (t, n, c)."""
    k = integrals.stiffness
    outer = 3 * order
    coupling = k[:, outer:, :outer]
    inverse: Array = np.asarray(np.linalg.inv(k[:, outer:, outer:]), dtype=np.float64)
    recovery = inverse @ coupling
    return Condensed(
        functions_of(mesh, order),
        len(mesh.vertices) + len(mesh.edges) * (order - 1),
        integrals.kind,
        k[:, :outer, :outer] - coupling.transpose(0, 2, 1) @ recovery,
        recovery,
        inverse,
        loads[:, :0],
        loads[:, :0],
    ).with_loads(loads)


def functions_of(mesh: SectionMesh, order: int) -> Ints:
    """(t, 3p) global number of each vertex and edge function of the triangles."""
    edge = mesh.triangle_edges[..., None] * (order - 1) + np.arange(order - 1) + len(mesh.vertices)
    return np.concatenate([mesh.triangles, edge.reshape(len(mesh.triangles), -1)], axis=1)


@dataclass(frozen=True, slots=True, eq=False)
class Summed:
    """The elements' matrices summed over the global functions: entries of the upper triangle.

    Attributes
    ----------
    low, high : (m,) int
        Functions of each entry, low <= high, sorted by `high`, then by `low`.
    values : (m,)
    """

    low: Ints
    high: Ints
    values: Array

    def upper(self, unknown: Ints, size: int) -> Any:
        """(size, size) sparse upper triangle of the unknowns (count,) of the functions.

        Unknowns of one function each must be numbered in the functions' order, those that tie
        several to one value after them.
        """
        from scipy.sparse import csc_matrix  # a matrix, no array, as qdldl asks

        one, other = unknown[self.low], unknown[self.high]
        kept = np.flatnonzero((one >= 0) & (other >= 0))
        one, other, values = one[kept], other[kept], self.values[kept]
        uses = np.bincount(unknown + 1, minlength=size + 1)[1:]
        several = np.flatnonzero(uses > 1)
        if several.size:
            rows, cols = np.minimum(one, other), np.maximum(one, other)
            # the two entries of a pair of tied functions meet on the diagonal
            doubled = (rows == cols) & (self.low[kept] != self.high[kept])
            values = np.where(doubled, 2 * values, values)
            tied = cols >= several[0]
            keys, at = np.unique(cols[tied] * size + rows[tied], return_inverse=True)
            one = np.concatenate([rows[~tied], keys % size])
            other = np.concatenate([cols[~tied], keys // size])
            values = np.concatenate([values[~tied], np.bincount(at, values[tied])])
        starts = np.searchsorted(other, np.arange(size + 1))
        return csc_matrix((values, one.astype(np.int32), starts.astype(np.int32)), (size, size))


def summed(condensed: Condensed, weight: Array, kept: NDArray[np.bool_]) -> Summed:
    """Sum weight (t,) * stiffness over the global functions that are kept (count,)."""
    from scipy.sparse import coo_array

    i, j = upper_pairs(condensed.stiffness.shape[1])
    entries = condensed.upper_entries()
    if not np.all(weight == 1):
        entries = entries * weight[:, None]
    number = numbered(~kept).astype(np.int32)
    functions = number[condensed.freedoms]
    one, other = functions[:, i].ravel(), functions[:, j].ravel()
    low, high = np.minimum(one, other), np.maximum(one, other)
    values = entries.ravel()
    if not kept.all():
        some = np.flatnonzero(low >= 0)
        low, high, values = low[some], high[some], values[some]
    old = np.flatnonzero(kept)
    matrix = coo_array((values, (low, high)), shape=(len(old), len(old))).tocsc()
    return Summed(old[matrix.indices], np.repeat(old, np.diff(matrix.indptr)), matrix.data)


def numbered(left_out: NDArray[np.bool_]) -> Ints:
    """The functions that stay, numbered; -1 for the others."""
    return np.where(left_out, -1, np.cumsum(~left_out) - 1)


@lru_cache(maxsize=16)
def upper_pairs(size: int) -> tuple[Ints, Ints]:
    """Rows and columns of an upper triangle of so many rows."""
    return np.triu_indices(size)


@dataclass(frozen=True, slots=True, eq=False)
class Factored:
    """L D L^T of a symmetric, positive definite system, made when it is first asked for.

    Attributes
    ----------
    upper : (size, size) sparse matrix
        Upper triangle of the system.
    unknown : (count,) int
        Unknown of each global function, -1 where it is zero; functions that share an unknown are
        tied to one value.
    """

    upper: Any
    unknown: Ints
    _ldl: list[Any] = field(default_factory=list)

    def __reduce__(self) -> tuple[Any, ...]:
        """Results travel from worker processes, which the factors cannot: factor again."""
        return Factored, (self.upper, self.unknown)

    def solve(self, load: Array, extra: Array | None = None) -> Array:
        """(count,) coefficients for a (count,) load, plus an extra (size,) load on the unknowns.

        Raises
        ------
        SolveError
            If the matrix is singular to working precision, or the solution is not finite.
        """
        size = self.upper.shape[0]
        solution: Array = np.bincount(self.unknown + 1, load, size + 1)[1:].astype(np.float64)
        if extra is not None:
            solution = solution + extra
        if size:
            if not self._ldl:
                self._ldl.append(_factors(self.upper))
            solution = self._ldl[0].solve(solution)
        if not np.isfinite(solution).all():
            raise _singular("their solution is not finite")
        return np.asarray(np.append(solution, 0.0)[self.unknown])


def factor(condensed: Condensed, weight: Array, unknown: Ints, size: int) -> Factored:
    """Sum weight (t,) * stiffness over `size` unknowns, numbered as `Summed.upper` says."""
    return Factored(summed(condensed, weight, unknown >= 0).upper(unknown, size), unknown)


def _factors(upper: Any) -> Any:
    """L D L^T of a sparse upper triangle.

    Raises
    ------
    SolveError
        If the matrix is singular to working precision.
    """
    import qdldl

    try:
        return qdldl.Solver(upper, upper=True)
    except RuntimeError as error:
        raise _singular(str(error)) from error


def _singular(why: str) -> SolveError:
    return SolveError(
        f"the section's equations are singular ({why}); check for parts that barely join"
    )
