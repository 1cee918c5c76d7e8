"""From element matrices to one sparse system: numbering, condensing the bubbles, solving.

All problems of a section share the Laplacian, so one batched elimination of the bubbles serves them
all, done once for all triangles of one shape. With a weight c per triangle the condensed matrix is
c times the unweighted one, and the condensed load does not depend on c; the bubbles follow from the
border coefficients as  u_b = (K_bb^-1 f_b)/c - K_bb^-1 K_bi u_i.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from ....geometry.errors import SolveError
from ..mesh.section_mesh import Array, Ints, SectionMesh
from .integrals import ElementIntegrals


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
class Factored:
    """L D L^T of a symmetric, positive definite system.

    Attributes
    ----------
    upper : (size, size) sparse matrix
        Upper triangle of the system.
    unknown : (count,) int
        Unknown of each global function, -1 where it is zero; functions that share an unknown are
        tied to one value.
    _ldl
        The factors; None where they are made when they are asked for.
    """

    upper: Any
    unknown: Ints
    _ldl: Any = None

    def __reduce__(self) -> tuple[Any, ...]:
        """Results travel from worker processes, which the factors cannot: factor again."""
        return _factored, (self.upper, self.unknown)

    def solve(self, load: Array, extra: Array | None = None) -> Array:
        """(count,) coefficients for a (count,) load, plus an extra (size,) load on the unknowns.

        Raises
        ------
        SolveError
            If the solution is not finite.
        """
        size = self.upper.shape[0]
        rhs: Array = np.bincount(self.unknown + 1, load, size + 1)[1:].astype(np.float64)
        if extra is not None:
            rhs = rhs + extra
        ldl: Any = self._ldl or (_factored(self.upper, self.unknown)._ldl if size else None)
        solution = ldl.solve(rhs) if size else rhs
        if not np.isfinite(solution).all():
            raise _singular("their solution is not finite")
        return np.asarray(np.append(solution, 0.0)[self.unknown])


def factor(condensed: Condensed, weight: Array, unknown: Ints, size: int) -> Factored:
    """Assemble and factor the sum of weight (t,) * stiffness over `size` unknowns.

    Raises
    ------
    SolveError
        If the matrix is singular to working precision.
    """
    from scipy.sparse import coo_matrix  # a matrix, no array, as qdldl asks

    i, j = np.triu_indices(condensed.stiffness.shape[1])
    entries = condensed.stiffness[:, i, j][condensed.kind]
    if not np.all(weight == 1):
        entries = entries * weight[:, None]
    dofs = unknown[condensed.freedoms].astype(np.int32)
    one, other = dofs[:, i], dofs[:, j]
    kept = (one >= 0) & (other >= 0)
    rows, cols = np.minimum(one, other)[kept], np.maximum(one, other)[kept]
    values = entries[kept]
    # the two entries of a pair of tied functions meet on the diagonal
    values[(rows == cols) & np.broadcast_to(i != j, kept.shape)[kept]] *= 2
    return _factored(coo_matrix((values, (rows, cols)), shape=(size, size)).tocsc(), unknown)


def _factored(upper: Any, unknown: Ints) -> Factored:
    import qdldl

    try:
        return Factored(upper, unknown, qdldl.Solver(upper, upper=True) if upper.shape[0] else None)
    except RuntimeError as error:
        raise _singular(str(error)) from error


def _singular(why: str) -> SolveError:
    return SolveError(
        f"the section's equations are singular ({why}); check for parts that barely join"
    )
