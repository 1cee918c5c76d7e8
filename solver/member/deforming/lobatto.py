"""Shape functions along an element: two linear ones of its ends, then integrated Legendre
polynomials.

N_0 = (1 - x)/2, N_1 = (1 + x)/2, N_k = (P_k - P_(k-2)) / sqrt(2 (2k - 1)) for k = 2..p on -1..1.
The derivatives of the latter are orthonormal, N_k' = sqrt((2k - 1)/2) P_(k-1), so high orders stay
well conditioned (Szabo & Babuska, Finite Element Analysis, Wiley 1991, ch. 3).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import NDArray

Array = NDArray[np.float64]


def shapes(order: int, x: Array) -> tuple[Array, Array]:
    """Values and derivatives (m, p + 1) at places x (m,) of -1..1."""
    p = legendre.legvander(x, order)
    k = np.arange(2, order + 1)
    value = np.empty((len(x), order + 1))
    slope = np.empty_like(value)
    value[:, 0], value[:, 1] = (1 - x) / 2, (1 + x) / 2
    slope[:, 0], slope[:, 1] = -0.5, 0.5
    value[:, 2:] = (p[:, 2:] - p[:, :-2]) / np.sqrt(2 * (2 * k - 1))
    slope[:, 2:] = p[:, 1:-1] * np.sqrt((2 * k - 1) / 2)
    return value, slope


@lru_cache(maxsize=64)
def gauss(points: int) -> tuple[Array, Array]:
    """Gauss points and weights on -1..1."""
    x, w = legendre.leggauss(points)
    return np.asarray(x), np.asarray(w)


@lru_cache(maxsize=64)
def sampled(order: int, points: int) -> tuple[Array, Array, Array, Array]:
    """Gauss points x, weights (g,), values and derivatives (g, p + 1)."""
    x, w = gauss(points)
    return (x, w, *shapes(order, x))
