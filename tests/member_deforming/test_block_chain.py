"""ChainBlocks of a chain and of a ring, beside the same matrix in one piece."""

from __future__ import annotations

import numpy as np
import pytest
from soapfilm.geometry.errors import SolveError
from soapfilm.solver.member.deforming.block_chain import ChainBlocks


def some_blocks(count: int, n: int, *, ring: bool) -> ChainBlocks:
    """A positive definite chain."""
    draw = np.random.default_rng(3)
    e = count if ring else count - 1
    ends = np.column_stack([np.arange(e), (np.arange(e) + 1) % count])
    beside = draw.standard_normal((e, n, n))
    own = draw.standard_normal((count, n, n))
    return ChainBlocks(own @ own.transpose(0, 2, 1) + 8 * n * np.eye(n), beside, ends)


def dense(blocks: ChainBlocks) -> np.ndarray:
    own = np.asarray(blocks.diagonal)
    k, n, _ = own.shape
    whole = np.zeros((k, n, k, n))
    for node, block in enumerate(own):
        whole[node, :, node] = block
    for (a, b), block in zip(blocks.ends, blocks.beside, strict=True):
        whole[a, :, b] += block
        whole[b, :, a] += block.T
    return whole.reshape(k * n, k * n)


@pytest.mark.parametrize("ring", [False, True])
def test_chain_solves_what_the_whole_matrix_solves(ring: bool) -> None:
    blocks = some_blocks(5, 4, ring=ring)
    whole = dense(blocks)
    assert whole == pytest.approx(whole.T)
    spaces = [None, np.eye(4), None, None, None]
    spaces[2] = np.linalg.qr(np.random.default_rng(1).standard_normal((4, 4)))[0][:, :2]
    spaces[4] = np.zeros((4, 0))
    right = np.random.default_rng(2).standard_normal((5, 4, 3))
    free = np.zeros((20, 14))
    column = 0
    for node, space in enumerate(spaces):
        own = np.eye(4) if space is None else space
        free[4 * node : 4 * node + 4, column : column + own.shape[1]] = own
        column += own.shape[1]
    exact = free @ np.linalg.solve(free.T @ whole @ free, free.T @ right.reshape(20, 3))
    assert blocks.reduced(spaces).solve(right) == pytest.approx(exact.reshape(5, 4, 3), abs=1e-14)


@pytest.mark.parametrize("count", [1, 2, 3])
def test_small_rings(count: int) -> None:
    blocks = some_blocks(count, 3, ring=True)
    whole = dense(blocks)
    right = np.random.default_rng(2).standard_normal((count, 3, 2))
    exact = np.linalg.solve(whole, right.reshape(-1, 2)).reshape(right.shape)
    assert blocks.reduced([None] * count).solve(right) == pytest.approx(exact, abs=1e-13)


def test_a_ring_holds_blocks_and_no_matrix_of_them_all() -> None:
    """So that its cost is linear in the number of its nodes, as a chain's is."""
    blocks = some_blocks(40, 3, ring=True)
    factor = blocks.reduced([None] * 40).factor
    held = sum(a.size for a in (*factor.lower, *factor.carried, *factor.closing))
    assert held <= 3 * 40 * 9


def test_a_chain_that_is_not_positive_definite_is_refused() -> None:
    blocks = some_blocks(3, 2, ring=False)
    loose = ChainBlocks(blocks.diagonal * 0.001, blocks.beside, blocks.ends)
    with pytest.raises(SolveError, match="no unique answer"):
        loose.reduced([np.eye(2)] * 3)
    none = ChainBlocks(0 * blocks.diagonal, blocks.beside, blocks.ends)
    with pytest.raises(SolveError, match="loose"):
        none.reduced([np.eye(2)] * 3)
