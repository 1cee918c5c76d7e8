"""Symmetric matrices of a chain of nodes: dense blocks on the diagonal and beside it.

Each node joins its two neighbours only, so Cholesky's factorisation passes from node to node in
dense blocks; its cost is linear in their number. A ring, whose last node joins the first, is
factorised as one dense matrix.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class ChainBlocks:
    """K of k nodes with n functions each.

    Attributes
    ----------
    diagonal : (k, n, n)
    beside : (e, n, n)
        Rows of an element's first node, columns of its last.
    ends : (e, 2) int
    """

    diagonal: Array
    beside: Array
    ends: NDArray[np.intp]

    def applied(self, values: Array) -> Array:
        """(k, n, c) product with values (k, n, c)."""
        out = self.diagonal @ values
        a, b = self.ends.T
        # Each node is the first of one element at most, and the last of one.
        out[a] += self.beside @ values[b]
        out[b] += self.beside.transpose(0, 2, 1) @ values[a]
        return np.asarray(out)

    def reduced(self, spaces: Sequence[Array]) -> Chain:
        """The matrix for the unknowns that columns `spaces` (n, f) of each node leave, scaled to a
        unit diagonal and factorised.

        Raises
        ------
        SolveError
            A node has no stiffness of its own, or the matrix is not positive definite.
        """
        own = [f.T @ d @ f for f, d in zip(spaces, self.diagonal, strict=True)]
        weak = [np.diag(d).min(initial=1.0) for d in own]
        if min(weak) <= 0:
            raise SolveError("the deforming member is loose: a node has no stiffness of its own")
        scale = [1 / np.sqrt(np.diag(d)) for d in own]
        own = [s[:, None] * d * s for s, d in zip(scale, own, strict=True)]
        beside = [
            scale[a][:, None] * (spaces[a].T @ block @ spaces[b]) * scale[b]
            for (a, b), block in zip(self.ends, self.beside, strict=True)
        ]
        ring = len(self.ends) == len(self.diagonal)
        return Chain(tuple(spaces), tuple(scale), _factorised(own, beside, ring))


@dataclass(frozen=True, slots=True, eq=False)
class Chain:
    """A factorised chain.

    Attributes
    ----------
    spaces : k arrays (n, f)
    scale : k arrays (f,)
    """

    spaces: tuple[Array, ...]
    scale: tuple[Array, ...]
    factor: _Factor

    def solve(self, right: Array) -> Array:
        """(k, n, c) solution in the spaces for right sides (k, n, c)."""
        own = [
            s[:, None] * (f.T @ r) for f, s, r in zip(self.spaces, self.scale, right, strict=True)
        ]
        found = self.factor.solve(own)
        return np.stack(
            [f @ (s[:, None] * u) for f, s, u in zip(self.spaces, self.scale, found, strict=True)]
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Factor:
    """Lower factors of the diagonal blocks, and L^-1 of the block beside each; a ring has one
    diagonal block."""

    lower: tuple[Array, ...]
    carried: tuple[Array, ...]
    sizes: tuple[int, ...]

    def solve(self, right: list[Array]) -> list[Array]:
        from scipy.linalg import solve_triangular

        if len(self.lower) < len(right):
            right = [np.concatenate(right)]
        found: list[Array] = []
        for k, (lower, r) in enumerate(zip(self.lower, right, strict=True)):
            if k:
                r = r - self.carried[k - 1].T @ found[-1]
            found.append(solve_triangular(lower, r, lower=True, check_finite=False))
        for k in reversed(range(len(found))):
            r = found[k]
            if k + 1 < len(found):
                r = r - self.carried[k] @ found[k + 1]
            found[k] = solve_triangular(self.lower[k], r, lower=True, trans="T", check_finite=False)
        if len(self.sizes) > len(found):
            return np.split(found[0], np.cumsum(self.sizes)[:-1])
        return found


def _factorised(own: list[Array], beside: list[Array], ring: bool) -> _Factor:
    from scipy.linalg import LinAlgError, cholesky, solve_triangular

    sizes = tuple(len(d) for d in own)
    if ring:
        own, beside = [ring_matrix(own, beside)], []
    lower: list[Array] = []
    carried: list[Array] = []
    try:
        for k, block in enumerate(own):
            if k:
                block = block - carried[-1].T @ carried[-1]
            lower.append(cholesky(block, lower=True, check_finite=False))
            if k < len(beside):
                carried.append(
                    solve_triangular(lower[-1], beside[k], lower=True, check_finite=False)
                )
    except LinAlgError as reason:
        raise SolveError(f"the deforming member has no unique answer ({reason})") from reason
    return _Factor(tuple(lower), tuple(carried), sizes)


def ring_matrix(own: list[Array], beside: list[Array]) -> Array:
    """The dense matrix of a ring of diagonal blocks and of those beside each."""
    first = np.concatenate([[0], np.cumsum([len(d) for d in own])])
    out = np.zeros((first[-1], first[-1]))
    for k, block in enumerate(own):
        out[first[k] : first[k + 1], first[k] : first[k + 1]] = block
    for k, block in enumerate(beside):
        a, b = k, (k + 1) % len(own)
        rows, columns = slice(first[a], first[a + 1]), slice(first[b], first[b + 1])
        out[rows, columns] += block
        out[columns, rows] += block.T
    return out
