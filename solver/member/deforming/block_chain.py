"""Symmetric matrices of a chain of nodes: dense blocks on the diagonal and beside it.

Each node joins its two neighbours only, so Cholesky's factorisation passes from node to node in
dense blocks; its cost is linear in their number. Nodes that share unknowns (both sides of a hinge)
are one group, factorised as one. A ring, whose last node joins the first, is factorised as one
dense matrix.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError

Array = NDArray[np.float64]

Groups = tuple[tuple[int, ...], ...]
"""Nodes in order, those that share unknowns together."""


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

    def projected(
        self, spaces: Sequence[Array], groups: Groups
    ) -> tuple[list[Array], list[Array], bool]:
        """Blocks of each group and beside each, for the unknowns that columns `spaces` (g n, f) of
        the groups' g nodes leave; and whether they make a ring."""
        n = self.diagonal.shape[1]
        place = {node: (k, j) for k, group in enumerate(groups) for j, node in enumerate(group)}

        def rows(node: int) -> Array:
            k, j = place[node]
            return spaces[k][j * n : (j + 1) * n]

        own = [np.zeros((f.shape[1], f.shape[1])) for f in spaces]
        for node, (k, _) in place.items():
            own[k] += rows(node).T @ self.diagonal[node] @ rows(node)
        beside = []
        for (a, b), block in zip(self.ends.tolist(), self.beside, strict=True):
            across = rows(a).T @ block @ rows(b)
            if place[a][0] == place[b][0] and len(groups) > 1:
                own[place[a][0]] += across + across.T
            else:
                beside.append(across)
        return own, beside, len(beside) == len(groups)

    def reduced(self, spaces: Sequence[Array], groups: Groups | None = None) -> Chain:
        """The matrix for the unknowns that columns `spaces` (g n, f) of each group's g nodes leave,
        scaled to a unit diagonal and factorised; without groups each node is one.

        Raises
        ------
        SolveError
            A node has no stiffness of its own, or the matrix is not positive definite.
        """
        groups = groups or tuple((k,) for k in range(len(self.diagonal)))
        own, beside, ring = self.projected(spaces, groups)
        weak = [np.diag(d).min(initial=1.0) for d in own]
        if min(weak) <= 0:
            raise SolveError("the deforming member is loose: a node has no stiffness of its own")
        scale = [1 / np.sqrt(np.diag(d)) for d in own]
        own = [s[:, None] * d * s for s, d in zip(scale, own, strict=True)]
        beside = [
            scale[k][:, None] * block * scale[(k + 1) % len(own)] for k, block in enumerate(beside)
        ]
        return Chain(tuple(spaces), tuple(scale), groups, _factorised(own, beside, ring))


@dataclass(frozen=True, slots=True, eq=False)
class Chain:
    """A factorised chain.

    Attributes
    ----------
    spaces : arrays (g n, f) of each group
    scale : arrays (f,)
    groups : tuple of tuples of nodes
    """

    spaces: tuple[Array, ...]
    scale: tuple[Array, ...]
    groups: Groups
    factor: _Factor

    def solve(self, right: Array) -> Array:
        """(k, n, c) solution in the spaces for right sides (k, n, c)."""
        _, n, c = right.shape
        own = [
            s[:, None] * (f.T @ right[list(g)].reshape(-1, c))
            for f, s, g in zip(self.spaces, self.scale, self.groups, strict=True)
        ]
        out = np.empty_like(right)
        solved = zip(self.spaces, self.scale, self.groups, self.factor.solve(own), strict=True)
        for f, s, g, u in solved:
            out[list(g)] = (f @ (s[:, None] * u)).reshape(-1, n, c)
        return out


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
