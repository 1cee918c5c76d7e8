"""From element matrices to one sparse system: numbering, condensing the bubbles, solving.

All problems of a section share the Laplacian, so one batched elimination of the bubbles serves them
all, done once for all triangles of one shape. With a weight c per triangle the condensed matrix is
c times the unweighted one, and the condensed load does not depend on c; the bubbles follow from the
border coefficients as  u_b = (K_bb^-1 f_b)/c - K_bb^-1 K_bi u_i.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from ...geometry.errors import SolveError
from .bordered import BLOCK, Bordered
from .elements import ElementIntegrals
from .mesh import Array, Ints, SectionMesh


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
        outer = solution[self.freedoms]
        carried = (self.recovery[self.kind] @ outer[..., None])[..., 0]
        inner = self.bubble_loads[..., load] / weight[:, None] - carried
        return np.concatenate([outer, inner], axis=1)

    def gathered(self, load: int) -> Array:
        """(count,) one load column, summed over the triangles."""
        return np.bincount(
            self.freedoms.ravel(), weights=self.loads[..., load].ravel(), minlength=self.count
        ).astype(np.float64)

    def matrix(self, weight: Array) -> Any:
        """(count, count) upper triangle of the sum of weight (t,) * stiffness over all triangles,
        a sparse matrix."""
        from scipy.sparse import coo_array

        i, j = np.triu_indices(self.stiffness.shape[1])
        entries = self.stiffness[:, i, j][self.kind]
        if not np.all(weight == 1):
            entries = entries * weight[:, None]
        dofs = self.freedoms.astype(np.int32)
        one, other = dofs[:, i], dofs[:, j]
        rows, cols = np.minimum(one, other), np.maximum(one, other)
        shape = (self.count, self.count)
        return coo_array((entries.ravel(), (rows.ravel(), cols.ravel())), shape=shape).tocsc()


def condense(mesh: SectionMesh, order: int, integrals: ElementIntegrals, loads: Array) -> Condensed:
    """Number the functions and eliminate the bubbles. `loads` is (t, n, c)."""
    k = integrals.stiffness
    outer = 3 * order
    edge = mesh.triangle_edges[..., None] * (order - 1) + np.arange(order - 1) + len(mesh.vertices)
    freedoms = np.concatenate([mesh.triangles, edge.reshape(len(mesh.triangles), -1)], axis=1)
    coupling = k[:, outer:, :outer]
    inverse: Array = np.asarray(np.linalg.inv(k[:, outer:, outer:]), dtype=np.float64)
    recovery = inverse @ coupling
    return Condensed(
        freedoms,
        len(mesh.vertices) + len(mesh.edges) * (order - 1),
        integrals.kind,
        k[:, :outer, :outer] - coupling.transpose(0, 2, 1) @ recovery,
        recovery,
        inverse,
        loads[:, :0],
        loads[:, :0],
    ).with_loads(loads)


@dataclass(frozen=True, slots=True, eq=False)
class Factored:
    """A factored system over some of the global functions.

    Attributes
    ----------
    matrix : (count, count) sparse array
        Upper triangle.
    free : (n,) int
        Functions solved for, each for itself, ascending.
    tied : sequence of arrays of int
        Functions that have one common value, unknown: one array a value.
    """

    matrix: Any
    free: Ints
    tied: Sequence[Ints]
    _factors: Any

    def __reduce__(self) -> tuple[Any, ...]:
        """Results travel from worker processes, which the factors cannot: factor again."""
        return factor, (self.matrix, self.free, self.tied)

    def solve(self, load: Array, tied_load: Array | None = None) -> Array:
        """(count,) coefficients for a (count,) load, plus a load on each tied value; the functions
        that are neither free nor tied stay zero.

        Raises
        ------
        SolveError
            If the solution is not finite.
        """
        out = np.zeros(len(load))
        if not self.tied:
            out[self.free] = self._factors.solve(load[self.free])
        else:
            common = np.array([load[some].sum() for some in self.tied])
            if tied_load is not None:
                common = common + tied_load
            out[self.free], values = self._factors.solve(load[self.free], common)
            for some, value in zip(self.tied, values, strict=True):
                out[some] = value
        if not np.isfinite(out).all():
            raise _singular("their solution is not finite")
        return out


def factor(matrix: Any, free: Ints, tied: Sequence[Ints] = ()) -> Factored:
    """Factor the part of an assembled matrix that belongs to the free functions and tied values.

    Raises
    ------
    SolveError
        If the matrix is singular to working precision.
    """
    inner = _SparseFactors(matrix[free][:, free])
    if not len(tied):
        return Factored(matrix, free, tied, inner)
    coupling, held = _tied_parts(matrix, free, tied)
    return Factored(matrix, free, tied, Bordered(inner, coupling, held))


def _tied_parts(matrix: Any, free: Ints, tied: Sequence[Ints]) -> tuple[Any, Array]:
    """Coupling (n, h) of the free functions with the tied values, and of these (h, h)."""
    from scipy.sparse import csc_array, hstack

    diagonal = matrix.diagonal()[:, None]
    coupling, held = [], np.empty((len(tied), len(tied)))
    for first in range(0, len(tied), BLOCK):
        some = tied[first : first + BLOCK]
        ties = np.zeros((matrix.shape[0], len(some)))
        for k, functions in enumerate(some):
            ties[functions, k] = 1
        column = matrix @ ties + matrix.T @ ties - diagonal * ties
        coupling.append(csc_array(column[free]))
        held[:, first : first + BLOCK] = [column[functions].sum(axis=0) for functions in tied]
    return hstack(coupling, format="csc"), held


class _SparseFactors:
    """L D L^T of a symmetric, positive definite matrix given by its upper triangle."""

    __slots__ = ("_ldl", "_size")

    def __init__(self, upper: Any) -> None:
        import qdldl
        from scipy.sparse import csc_matrix  # the type that qdldl asks for

        self._size = upper.shape[0]
        try:
            self._ldl = qdldl.Solver(csc_matrix(upper), upper=True) if self._size else None
        except RuntimeError as error:
            raise _singular(str(error)) from error

    def solve(self, load: Array) -> Array:
        """Solution for one load (n,) or several (n, k)."""
        if self._ldl is None:
            return load
        if load.ndim == 1:
            return np.asarray(self._ldl.solve(load))
        return np.stack([self._ldl.solve(column) for column in load.T], axis=1)


def _singular(why: str) -> SolveError:
    return SolveError(
        f"the section's equations are singular ({why}); check for parts that barely join"
    )
