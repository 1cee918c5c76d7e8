"""Symmetric matrices of a chain of nodes: dense blocks on the diagonal and beside it.

Each node joins its two neighbours only, so Cholesky's factorisation passes from node to node in
dense blocks; its cost is linear in their number. Nodes that share unknowns (both sides of a hinge)
are one group, factorised as one. In a ring the last group joins the first too: it comes after all
others, each of which carries a block beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError

Array = NDArray[np.float64]

NO_ANSWER = (
    "the deforming member has no unique answer: something moves freely, or a spring is so soft or "
    "so stiff beside the member that numbers do not tell; hold what moves, and write held or free "
    "in place of such a spring"
)

Groups = tuple[tuple[int, ...], ...]
"""Nodes in order, those that share unknowns together."""


@dataclass(frozen=True, slots=True, eq=False)
class ChainBlocks:
    """K of k nodes with n functions each. Blocks are asked for one by one: they may be made when
    they are.

    Attributes
    ----------
    diagonal : k blocks (n, n)
    beside : e blocks (n, n)
        Rows of an element's first node, columns of its last.
    ends : (e, 2) int
    """

    diagonal: Sequence[Array]
    beside: Sequence[Array]
    ends: NDArray[np.intp]

    def reduced(self, spaces: Sequence[Array | None], groups: Groups | None = None) -> Chain:
        """The matrix for the unknowns that columns `spaces` (g n, f) of each group's g nodes leave
        (None: all of one node), scaled to a unit diagonal and factorised; without groups each node
        is one.

        Raises
        ------
        SolveError
            A node has no stiffness of its own, or the matrix is not positive definite.
        """
        groups = groups or tuple((k,) for k in range(len(self.diagonal)))
        blocks = GroupBlocks(self, tuple(spaces), groups)
        scale: list[Array] = []

        def own(k: int) -> Array:
            block = blocks.own(k)
            size = np.diag(block)
            if size.min(initial=1.0) <= 0:
                raise SolveError(
                    "the deforming member is loose: a node has no stiffness of its own"
                )
            scale.append(1 / np.sqrt(size))
            return np.asarray(scale[k][:, None] * block * scale[k])

        def beside(k: int) -> Array:
            other = scale[(k + 1) % len(groups)]
            return np.asarray(scale[k][:, None] * blocks.beside(k) * other)

        factor = _factorised(own, beside, len(groups), blocks.ring)
        return Chain(tuple(spaces), tuple(scale), groups, factor)


@dataclass(frozen=True, eq=False)
class GroupBlocks:
    """Blocks of each group of nodes and beside each, for the unknowns that `spaces` leave, see
    `ChainBlocks.reduced`."""

    blocks: ChainBlocks
    spaces: tuple[Array | None, ...]
    groups: Groups

    @property
    def ring(self) -> bool:
        """Whether the last group joins the first."""
        return len(self._crossing) == len(self.groups)

    def own(self, k: int) -> Array:
        """(f, f) of a group."""
        group, space = self.groups[k], self.spaces[k]
        if space is None:
            return np.array(self.blocks.diagonal[group[0]])
        found = np.zeros((space.shape[1], space.shape[1]))
        for node in group:
            rows = self._rows(k, node)
            assert rows is not None
            found += rows.T @ self.blocks.diagonal[node] @ rows
        for element in self._inside.get(k, ()):
            a, b = self.blocks.ends[element].tolist()
            across = _within(self._rows(k, a), self.blocks.beside[element], self._rows(k, b))
            found += across + across.T
        return found

    def beside(self, k: int) -> Array:
        """(f, f) rows of a group, columns of the next."""
        element = self._crossing[k]
        a, b = self.blocks.ends[element].tolist()
        other = (k + 1) % len(self.groups)
        return _within(self._rows(k, a), self.blocks.beside[element], self._rows(other, b))

    @cached_property
    def _places(self) -> list[tuple[int, int]]:
        """Groups of both ends of every element."""
        place = {node: k for k, group in enumerate(self.groups) for node in group}
        return [(place[a], place[b]) for a, b in self.blocks.ends.tolist()]

    @cached_property
    def _crossing(self) -> list[int]:
        """Elements from one group to the next."""
        alone = len(self.groups) == 1
        return [e for e, (a, b) in enumerate(self._places) if a != b or alone]

    @cached_property
    def _inside(self) -> dict[int, list[int]]:
        """Elements within a group of several."""
        found: dict[int, list[int]] = {}
        for element, (a, b) in enumerate(self._places):
            if a == b and len(self.groups) > 1:
                found.setdefault(a, []).append(element)
        return found

    def _rows(self, k: int, node: int) -> Array | None:
        space = self.spaces[k]
        if space is None:
            return None
        n = len(space) // len(self.groups[k])
        j = self.groups[k].index(node)
        return space[j * n : (j + 1) * n]


def _within(left: Array | None, block: Array, right: Array | None) -> Array:
    """A block for the unknowns of two nodes; None keeps them all."""
    if left is not None:
        block = left.T @ block
    return block if right is None else np.asarray(block @ right)


@dataclass(frozen=True, slots=True, eq=False)
class Chain:
    """A factorised chain.

    Attributes
    ----------
    spaces : arrays (g n, f) of each group; None: all of one node
    scale : arrays (f,)
    groups : tuple of tuples of nodes
    """

    spaces: tuple[Array | None, ...]
    scale: tuple[Array, ...]
    groups: Groups
    factor: _Factor

    def solve(self, right: Array) -> Array:
        """(k, n, c) solution in the spaces for right sides (k, n, c)."""
        _, n, c = right.shape
        own = []
        for f, s, g in zip(self.spaces, self.scale, self.groups, strict=True):
            force = right[list(g)].reshape(-1, c)
            own.append(s[:, None] * (force if f is None else f.T @ force))
        out = np.empty_like(right)
        solved = zip(self.spaces, self.scale, self.groups, self.factor.solve(own), strict=True)
        for f, s, g, u in solved:
            moved = s[:, None] * u
            out[list(g)] = (moved if f is None else f @ moved).reshape(-1, n, c)
        return out


@dataclass(frozen=True, slots=True, eq=False)
class _Factor:
    """Lower factors of the diagonal blocks, and L^-1 of the block beside each; of a ring the last
    block stands alone, and `closing` are L^-1 of the others' blocks beside it."""

    lower: tuple[Array, ...]
    carried: tuple[Array, ...]
    closing: tuple[Array, ...] = ()

    def solve(self, right: list[Array]) -> list[Array]:
        found: list[Array] = []
        for k, (lower, r) in enumerate(zip(self.lower, right, strict=True)):
            if 0 < k <= len(self.carried):
                r = r - self.carried[k - 1].T @ found[-1]
            if self.closing and k == len(self.closing):
                r = r - sum(c.T @ u for c, u in zip(self.closing, found, strict=True))
            found.append(_passed(lower, r))
        for k in reversed(range(len(found))):
            r = found[k]
            if k < len(self.carried):
                r = r - self.carried[k] @ found[k + 1]
            if k < len(self.closing):
                r = r - self.closing[k] @ found[-1]
            found[k] = _passed(self.lower[k], r, back=True)
        return found


def _passed(lower: Array, right: Array, *, back: bool = False) -> Array:
    """L^-1 r, or L^-T r: LAPACK itself, as thousands of small blocks spend more time in the checks
    around it than in it."""
    from scipy.linalg.lapack import dtrtrs

    if not len(right):
        return right
    found, failed = dtrtrs(lower, right, lower=1, trans=int(back))
    if failed:
        raise SolveError(NO_ANSWER)
    return np.asarray(found)


def _factorised(
    own: Callable[[int], Array], beside: Callable[[int], Array], count: int, ring: bool
) -> _Factor:
    """Of blocks that are asked for when their turn comes, and overwritten."""
    from scipy.linalg import LinAlgError, cholesky

    lower: list[Array] = []
    carried: list[Array] = []
    closing: list[Array] = []

    def add(block: Array) -> None:
        lower.append(cholesky(block.T, lower=True, overwrite_a=True, check_finite=False))

    try:
        if not ring:
            for k in range(count):
                block = own(k)
                if k:
                    carried.append(_passed(lower[-1], beside(k - 1)))
                    block -= carried[-1].T @ carried[-1]
                add(block)
            return _Factor(tuple(lower), tuple(carried))
        blocks = [own(k) for k in range(count)]  # what is beside the last asks for the first
        last, across = blocks.pop(), beside(count - 1)
        if not blocks:
            add(last + across + across.T)
        else:
            joined = across.T  # the first beside the last
            for k, block in enumerate(blocks):
                if k:
                    carried.append(_passed(lower[-1], beside(k - 1)))
                    block -= carried[-1].T @ carried[-1]
                    joined = -carried[-1].T @ closing[-1]
                if k == count - 2:
                    joined = joined + beside(k)
                add(block)
                closing.append(_passed(lower[-1], joined))
                last -= closing[-1].T @ closing[-1]
            add(last)
    except LinAlgError as reason:
        raise SolveError(NO_ANSWER) from reason
    return _Factor(tuple(lower), tuple(carried), tuple(closing))
