"""Extreme eigenvalues of B x = mu A x by Lanczos' iteration with A^-1 B, B and A symmetric.

Products with A are not needed: if w = B q and z = A^-1 w, then A z = w, and what is taken from z
is taken from w likewise. All vectors are kept and every new one is made A-orthogonal to all before
it, twice (Parlett, The Symmetric Eigenvalue Problem, SIAM 1998, ch. 13).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: Vectors at most; a residual of an eigenvalue, by the eigenvalue, that is good enough (its error
#: is about the square of it); vectors between two looks.
MOST, CLOSE, LOOK = 240, 3e-4, 3
#: Vectors for which there is room at first.
_FIRST = 60
#: Residual by the eigenvalue at which one below half of what counts is left as it is.
_SURE = 0.3


@dataclass(frozen=True, slots=True, eq=False)
class Extremes:
    """Largest eigenvalues first.

    Attributes
    ----------
    values : (k,)
        All that were found, descending; the first ones converge first.
    vectors, forces : (m, k)
        Of the first k, and A times these.
    residual : (k,)
        Of each value, by the value.
    lowest : float
        The least eigenvalue.
    """

    values: Array
    vectors: Array
    forces: Array
    residual: Array
    lowest: float


def extremes(
    push: Callable[[Array], Array],
    solve: Callable[[Array], Array],
    start: Array,
    wanted: int = 1,
    *,
    most: int = MOST,
    close: float = CLOSE,
    least: float = 0.0,
    low: float = np.inf,
) -> Extremes:
    """The largest eigenvalues of B x = mu A x.

    Parameters
    ----------
    push, solve : functions
        B and A^-1 on vectors shaped as `start`.
    start : array
        A force; the first vector is A^-1 of it.
    wanted : int
        Largest eigenvalues that must be converged, as far as they are positive.
    least : float
        Where the largest is clearly below this, it need not be converged (see `_SURE`).
    low : float
        Residual of the least eigenvalue, by it, that is good enough where it is negative.
    """
    shape, size = start.shape, start.size
    q, p = np.zeros((2, min(_FIRST, most), size))
    force = start.ravel().copy()
    z = solve(start).ravel()
    h = np.zeros((most, most))
    count = 0
    values, ritz, residual = np.zeros(0), np.zeros((0, 0)), np.zeros(0)
    norm = first = _root(z, force)
    while count < most and norm > 1e-12 * max(first, 1e-300):
        if count == len(q):
            more = np.zeros((min(count, most - count), size))
            q, p = np.concatenate([q, more]), np.concatenate([p, more])
        q[count], p[count] = z / norm, force / norm
        count += 1
        force = push(q[count - 1].reshape(shape)).ravel()
        z = solve(force.reshape(shape)).ravel()
        if count == 1:
            first = max(_root(z, force), 1e-300)
        for _ in range(2):
            taken = q[:count] @ force if _ == 0 else p[:count] @ z
            h[:count, count - 1] += taken
            z -= taken @ q[:count]
            force -= taken @ p[:count]
        norm = _root(z, force)
        if count % LOOK and count < most and norm > 1e-12 * first:
            continue
        values, ritz = np.linalg.eigh(h[:count, :count], UPLO="U")
        residual = norm * np.abs(ritz[-1])
        top = values[::-1][:wanted]
        left = residual[::-1][:wanted]
        reach = float(np.abs(values).max())
        if least and top[0] + left[0] <= least / 2 and left[0] <= _SURE * abs(top[0]):
            break
        done = (left <= close * np.abs(top)) | (top <= 1e-9 * reach)
        settled = values[0] >= -1e-9 * reach or residual[0] <= low * abs(values[0])
        if count >= min(3 * wanted, most) and done.all() and settled:
            break
    order = np.argsort(values)[::-1]
    vectors, forces = (own[:count].T @ ritz[:, order[:wanted]] for own in (q, p))
    scale = np.maximum(np.abs(values[order]), 1e-300)
    left = residual[order] / scale
    return Extremes(values[order], vectors, forces, left, float(values.min(initial=0.0)))


def _root(z: Array, force: Array) -> float:
    """Length of z in the energy of A, z = A^-1 force."""
    return float(np.sqrt(max(float(z @ force), 0.0)))
