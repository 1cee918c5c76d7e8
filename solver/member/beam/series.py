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
