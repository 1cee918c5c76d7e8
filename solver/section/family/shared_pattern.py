"""One sparse system after another of the same pattern: numbered and ordered once."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from ..elements.system import Factored, upper_pairs
from ..mesh.section_mesh import Array, Ints


@dataclass(frozen=True, slots=True, eq=False)
class SharedPattern:
    """Where the entries of the elements' matrices go.

    Attributes
    ----------
    unknown : (count,) int
        As in `Factored`.
    size : int
    sums : (z, m) sparse matrix
        What each entry of the system has of the entries of all elements' upper triangles: 1, or 2
        for pairs of functions that are tied to each other, which meet on the diagonal.
    rows, columns : int arrays
        Compressed columns of the system's upper triangle.
    made : list
        The solver with its order of elimination, once there is one.
    """

    unknown: Ints
    size: int
    sums: Any
    rows: Ints
    columns: Ints
    made: list[Any] = field(default_factory=list)

    @classmethod
    def of(cls, freedoms: Ints, unknown: Ints, size: int) -> SharedPattern:
        """Of elements' functions (t, f) and the unknown of each function."""
        from scipy.sparse import csr_array

        i, j = upper_pairs(freedoms.shape[1])
        dofs = unknown[freedoms]
        one, other = dofs[:, i], dofs[:, j]
        low, high = np.minimum(one, other).ravel(), np.maximum(one, other).ravel()
        kept = np.flatnonzero(low >= 0)
        key = high[kept] * size + low[kept]
        by_key = np.argsort(key, kind="stable")
        order, key = kept[by_key], key[by_key]
        first = np.flatnonzero(np.diff(key, prepend=-1))
        tied = (low == high)[order] & np.broadcast_to(i != j, one.shape).ravel()[order]
        rows, columns = key[first] % size, key[first] // size
        return cls(
            unknown,
            size,
            csr_array(
                (np.where(tied, 2.0, 1.0), order, np.append(first, len(order))),
                shape=(len(first), len(low)),
            ),
            rows.astype(np.int32),
            np.searchsorted(columns, np.arange(size + 1)).astype(np.int32),
        )

    def gathered(self, loads: Array) -> Array:
        """(k, size) loads on the unknowns, from those on the functions (k, count)."""
        k, width = len(loads), self.size + 1
        where = (self.unknown + 1) + width * np.arange(k)[:, None]
        summed = np.bincount(where.ravel(), loads.ravel(), k * width)
        return np.asarray(summed.reshape(k, width)[:, 1:], dtype=np.float64)

    def solved(self, entries: Array, loads: Array) -> tuple[Array, list[Factored]]:
        """(k, size) solutions of k systems by the entries of their elements (k, t * pairs) and
        loads (k, size), and the systems themselves, which are factored again if they are asked for
        more; nan where one is singular."""
        import qdldl

        out, systems = np.empty_like(loads), []
        for k, own in enumerate(entries):
            matrix = self._matrix(self.sums @ own)
            systems.append(Factored(matrix, self.unknown))
            if not self.size:
                continue
            try:
                if self.made:
                    self.made[0].update(matrix, upper=True)
                else:
                    self.made.append(qdldl.Solver(matrix, upper=True))
                out[k] = self.made[0].solve(loads[k])
            except RuntimeError:
                self.made.clear()
                out[k] = np.nan
        return out, systems

    def _matrix(self, values: Array) -> Any:
        from scipy.sparse import csc_matrix

        shape = (self.size, self.size)
        return csc_matrix((values, self.rows, self.columns), shape=shape)
