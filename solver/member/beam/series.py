"""Exponential of many small matrices at once, with its integrals, by its power series.

Each matrix is split into pieces short enough for the series to converge to rounding in a few terms.
The entries that matter most here are chains of nilpotent couplings (load to shear to moment to
rotation to deflection), which the series meets exactly and without mixing scales.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

# Longest coupling chain: linear load, T, B, tau, phi, and from there through the curvature into
# bending and v.
CHAIN = 12


# Terms of the series where the matrix changes along the piece: pieces are as short as else.
TERMS = 40


def growing(matrix: Array, slope: Array, length: Array) -> tuple[Array, Array, Array]:
    """The same as `exponential` for Y' = (A + s A_1) Y, linear in s: the fundamental solution at h,
    and the answers at h to a unit and to a linear right side s, from zero.

    With Y = sum y_k s^k, (k + 1) y_(k+1) = A y_k + A_1 y_(k-1) plus the right side's own term.
    """
    h = length[:, None, None]
    first, second = matrix * h, slope * h * h
    eye = np.broadcast_to(np.eye(matrix.shape[-1]), matrix.shape)
    found = []
    for start, given, order in (
        (eye, eye * 0, 0),
        (eye * 0, eye * h, 0),
        (eye * 0, eye * h * h, 1),
    ):
        before, term = np.zeros_like(start), start.copy()
        total = term.copy()
        for k in range(TERMS):
            new = first @ term + second @ before
            if k == order:
                new = new + given
            before, term = term, new / (k + 1)
            total += term
        found.append(total)
    return found[0], found[1], found[2]


def fundamental(
    matrix: Array, growth: Array | None, length: Array, rate: float
) -> tuple[Array, Array, Array]:
    """`exponential`, but `growing` where the matrix grows along the piece."""
    found = exponential(matrix, length, rate)
    if growth is None or not growth.any():
        return found
    own = np.flatnonzero(growth.any(axis=(1, 2)))
    for whole, some in zip(found, growing(matrix[own], growth[own], length[own]), strict=True):
        whole[own] = some
    return found


def exponential(matrix: Array, length: Array, rate: float) -> tuple[Array, Array, Array]:
    """exp(A h), int_0^h exp(A (h - s)) ds and int_0^h exp(A (h - s)) s ds.

    Parameters
    ----------
    matrix : (n, m, m)
    length : (n,)
        h of each.
    rate : float
        Bound of |eigenvalue| times h over all, which sets the number of terms; keep it near 1 or
        below.

    Returns
    -------
    three (n, m, m) arrays: sum A^k h^k/k!, sum A^k h^(k+1)/(k+1)!, sum A^k h^(k+2)/(k+2)!.
    """
    h = length[:, None, None]
    term = np.broadcast_to(np.eye(matrix.shape[-1]), matrix.shape).copy()
    total, once, twice = term.copy(), term * h, term * h * h / 2
    size = 1.0
    k = 0
    # A chain of length CHAIN may carry each power of the rate, so the stop looks at the term that
    # far behind.
    while k < CHAIN or size > 1e-17:
        k += 1
        term = term @ matrix * (h / k)
        total += term
        once += term * (h / (k + 1))
        twice += term * (h * h / ((k + 1) * (k + 2)))
        if k >= CHAIN:
            size = rate ** (k - CHAIN) / math.factorial(k - CHAIN)
        if not np.any(term):
            break
    return total, once, twice
