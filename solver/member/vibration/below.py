"""How many natural frequencies lie below a given one, counted without finding them.

The negative pivots of K - s M are as many as frequencies have omega^2 < s (Sylvester's law of
inertia; Wittrick & Williams, Q. J. Mech. Appl. Math. 24 (1971) 263): first those of the inner
functions of every element, then those of the chain of nodes.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..deforming.block_chain import ChainBlocks, GroupBlocks
from ..deforming.system import groups_of, space_of
from .moving_member import MovingMember

Array = NDArray[np.float64]


def count_below(member: MovingMember, square: float) -> int:
    """Number of modes with omega^2 below `square`."""
    n, k = member.size, member.count
    e = len(member.elements)
    diagonal, beside = np.zeros((k, n, n)), np.zeros((e, n, n))
    stiff = np.zeros((k, n))
    made: dict[tuple[int, bytes], tuple[int, Array]] = {}
    total = 0
    for number, (element, mass) in enumerate(zip(member.elements, member.along, strict=True)):
        key = (id(element), mass.mass.tobytes()[:4096] + np.round(mass.weight, 12).tobytes())
        if key not in made:
            assert element.stiffness is not None  # it was kept
            made[key] = _condensed(element.stiffness, mass.matrix(), square, n)
        inside, own = made[key]
        total += inside
        a, b = number, (number + 1) % k
        diagonal[a] += own[:n, :n]
        diagonal[b] += own[n:, n:]
        beside[number] = own[:n, n:]
        own_stiff = np.diag(element.condensed)
        stiff[a] += own_stiff[:n]
        stiff[b] += own_stiff[n:]
    for node, spring in member.springs.items():
        diagonal[node] += spring
        stiff[node] += np.diag(spring)
    for node, heavy in member.points.items():
        diagonal[node] -= square * heavy
    ends = np.column_stack([np.arange(e), (np.arange(e) + 1) % k])
    groups = groups_of(k, ends, member.ties)
    spaces = []
    for group in groups:
        free = space_of(group, n, member.held, ends, member.ties)
        free = np.eye(n) if free is None else free
        scale = 1 / np.sqrt(np.maximum(free.T**2 @ stiff[list(group)].ravel(), 1e-300))
        spaces.append(free * scale)
    grouped = GroupBlocks(ChainBlocks(list(diagonal), list(beside), ends), tuple(spaces), groups)
    blocks = [grouped.own(k) for k in range(len(groups))]
    next_to = [grouped.beside(k) for k in range(len(groups) - (not grouped.ring))]
    return total + (_ring(blocks, next_to) if grouped.ring else _chain(blocks, next_to))


def _condensed(stiffness: Array, mass: Array, square: float, n: int) -> tuple[int, Array]:
    """Negative pivots of an element's inner functions, and what is left at its ends."""
    matrix = stiffness - square * mass
    scale = 1 / np.sqrt(np.diag(stiffness)[2 * n :])
    inner = scale[:, None] * matrix[2 * n :, 2 * n :] * scale
    across = scale[:, None] * matrix[2 * n :, : 2 * n]
    found, carried = _passed_on(inner, across)
    left = matrix[: 2 * n, : 2 * n] - carried
    return found, (left + left.T) / 2


def _chain(own: list[Array], beside: list[Array]) -> int:
    found, carried = 0, np.zeros(())
    for block, across in zip(own, beside, strict=False):  # the last has none beside it
        count, carried = _passed_on((block + block.T) / 2 - carried, across)
        found += count
    return found + negatives(own[-1] - (carried + carried.T) / 2)


def _passed_on(matrix: Array, across: Array) -> tuple[int, Array]:
    """Negative eigenvalues of a symmetric matrix, and across^T matrix^-1 across."""
    from scipy.linalg import solve_triangular

    if not matrix.size:
        return 0, np.zeros((across.shape[1],) * 2)
    try:
        lower = np.linalg.cholesky(matrix)
    except np.linalg.LinAlgError:
        return negatives(matrix), across.T @ np.linalg.solve(matrix, across)
    half = solve_triangular(lower, across, lower=True, check_finite=False)
    return 0, half.T @ half


def _ring(own: list[Array], beside: list[Array]) -> int:
    """The same where the last group, which comes after all others, joins the first."""
    last, across = own[-1], beside[-1]
    if len(own) == 1:
        return negatives(last + across + across.T)
    found, joined = 0, across.T
    before = np.zeros((0, 0))
    for k, block in enumerate(own[:-1]):
        if k:
            both = np.linalg.solve(before, np.hstack([beside[k - 1], joined]))
            carried = beside[k - 1].T @ both
            size = block.shape[1]
            block, joined = block - carried[:, :size], -carried[:, size:]
            block = (block + block.T) / 2
        if k == len(own) - 2:
            joined = joined + beside[k]
        last = last - joined.T @ np.linalg.solve(block, joined)
        found += negatives(block)
        before = block
    return found + negatives((last + last.T) / 2)


def negatives(matrix: Array) -> int:
    """Number of negative eigenvalues of a symmetric matrix."""
    if not matrix.size:
        return 0
    try:
        np.linalg.cholesky(matrix)
    except np.linalg.LinAlgError:
        return int((np.linalg.eigvalsh(matrix) < 0).sum())
    return 0
