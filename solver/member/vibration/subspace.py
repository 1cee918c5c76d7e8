"""The lowest modes by a block Krylov space of K^-1 M, kept M-orthonormal in full.

Each step answers the inertia of the last block statically, so that low modes grow as 1/omega^2; the
modes are the Ritz vectors of all blocks together. Blocks find modes of equal frequency. (Grimes,
Lewis & Simon, SIAM J. Matrix Anal. 15 (1994) 228, without shifts.)
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from ..deforming.system import DeformingSystem
from .moving_member import MovingMember

Array = NDArray[np.float64]

#: Vectors of a block, and blocks at most.
BLOCK, MOST_BLOCKS = 8, 40
#: Vectors at random beside modes that are nearly known, so that none stays unseen.
UNSEEN = 2

#: Residual of K^-1 M a - a / omega^2, relative: frequencies are then right to its square. The
#: second serves where frequencies alone are asked for, to see what a change does to them.
RESIDUAL, COMPARED = 1e-6, 1e-3

#: Share of a vector that must be new for it to join the space.
NEW = 1e-9


def lowest(
    member: MovingMember,
    count: int,
    *,
    spare: int = 1,
    residual: float = RESIDUAL,
    near: Array | None = None,
) -> tuple[Array, Array]:
    """Squares omega^2 (c,) ascending and modes (e, p + 1, n, c), each with a^T M a = 1.

    Parameters
    ----------
    count : int
        Modes that must have converged.
    spare : int
        Ritz vectors beyond them, as they are; fewer come where the member has no more.
    residual : float
        Of each of the `count` modes, relative.
    near : (e, p + 1, n, c), optional
        Modes of a member much like this one, to begin with.

    Raises
    ------
    SolveError
        No convergence.
    """
    system = member.system()
    try:
        return _lowest(member, system, count, spare, residual, near, refined=False)
    except SolveError:
        return _lowest(member, system, count, spare, residual, near, refined=True)


def _lowest(
    member: MovingMember,
    system: DeformingSystem,
    count: int,
    spare: int,
    residual: float,
    near: Array | None,
    *,
    refined: bool,
) -> tuple[Array, Array]:
    """The same; `refined` answers are those of statics, which stiffnesses far apart need."""
    e, p, n = len(member.elements), member.functions, member.size
    random = np.random.default_rng(20)

    def answered(inner: Array, nodal: Array) -> Array:
        if refined:
            return system.whole(system.solve(nodal, inner), inner)
        return system.whole(system.chain.solve(system.gathered(nodal, inner)), inner)

    def column(a: Array) -> Array:
        c = a.shape[-1]
        return np.concatenate([a.reshape(-1, c), member.at_nodes(a).reshape(-1, c)])

    def heavy(a: Array) -> Array:
        inner, nodal = member.heavy(a)
        c = a.shape[-1]
        return np.concatenate([inner.reshape(-1, c), nodal.reshape(-1, c)])

    def static(h: Array) -> Array:
        c = h.shape[-1]
        cut = e * p * n
        return answered(h[:cut].reshape(e, p * n, c), h[cut:].reshape(-1, n, c))

    start = random.standard_normal((e, p, n, BLOCK if near is None else UNSEEN))
    start[:, 0][1:] = start[:-1, 1]  # continuous at the nodes
    if near is not None:
        # What is left of modes where something is held or left out is of no account: one step.
        size = np.abs(near).max(axis=(0, 1, 2))
        start = np.concatenate([near / size, start], axis=3)
    block = static(heavy(start))
    space = np.zeros((e * p * n + member.count * n, 0))
    pressed = space.copy()  # M times the space
    answers = space.copy()  # K^-1 M times the space
    for _ in range(MOST_BLOCKS):
        fresh, weight = _orthonormal(column(block), heavy(block), space, pressed)
        if not fresh.shape[1]:
            break
        space = np.concatenate([space, fresh], axis=1)
        pressed = np.concatenate([pressed, weight], axis=1)
        block = static(weight)
        answers = np.concatenate([answers, column(block)], axis=1)
        matrix = pressed.T @ answers
        theta, turn = np.linalg.eigh((matrix + matrix.T) / 2)
        theta, turn = theta[::-1], turn[:, ::-1]
        if len(theta) < count + spare:
            continue
        first = turn[:, :count]
        left = answers @ first - (space @ first) * theta[:count]
        # The M-norm of what is left, by its part outside the space and inside it.
        size = np.sqrt(np.abs(_norms(member, left, (e, p, n))))
        if (size <= residual * theta[:count]).all():
            break
    else:
        raise SolveError(
            "the natural frequencies did not converge; check for stiffnesses or masses that are "
            "many orders of magnitude apart"
        )
    if not space.shape[1]:
        raise SolveError("nothing of the member's mass can move: it is held everywhere")
    kept = min(count + spare, int((theta > 1e-13 * theta[0]).sum()))
    modes = (space @ turn[:, :kept])[: e * p * n].reshape(e, p, n, kept)
    return 1 / theta[:kept], modes


def _norms(member: MovingMember, vectors: Array, shape: tuple[int, int, int]) -> Array:
    e, p, n = shape
    a = vectors[: e * p * n].reshape(e, p, n, -1)
    inner, nodal = member.heavy(a)
    c = a.shape[-1]
    weight = np.concatenate([inner.reshape(-1, c), nodal.reshape(-1, c)])
    return np.asarray(np.einsum("kc,kc->c", vectors, weight))


def _orthonormal(
    vectors: Array, weight: Array, space: Array, pressed: Array
) -> tuple[Array, Array]:
    """What vectors add to the space, M-orthonormal, and M times it."""
    before = np.sqrt(np.maximum(np.einsum("kc,kc->c", vectors, weight), 1e-300))
    vectors, weight = vectors / before, weight / before
    for _ in range(2):
        share = pressed.T @ vectors
        vectors, weight = vectors - space @ share, weight - pressed @ share
        gram = vectors.T @ weight
        value, turn = np.linalg.eigh((gram + gram.T) / 2)
        kept = value > NEW**2 + 1e-15 * float(value[-1])
        turn = turn[:, kept] / np.sqrt(value[kept])
        vectors, weight = vectors @ turn, weight @ turn
        if not kept.any():
            break
    return vectors, weight
