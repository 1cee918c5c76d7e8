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

# A term that small beside 1 is rounding.
_LEAST = 1e-17

# Lengths of each matrix from which its powers are made once for all of them.
_SHARED = 4


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
    matrix: Array,
    growth: Array | None,
    length: Array,
    rate: float,
    of: NDArray[np.intp] | None = None,
) -> tuple[Array, Array, Array]:
    """`exponential`, but `growing` where the matrix grows along the piece; `of` (n,) tells which
    matrix belongs to each length, where several share one."""
    if of is None:
        of = np.arange(len(length))
    if len(length) < _SHARED * len(matrix):
        found = exponential(matrix[of], length, rate)
    else:
        found = exponential_along(matrix, of, length, rate)
    if growth is None or not growth.any():
        return found
    own = np.flatnonzero(growth[of].any(axis=(1, 2)))
    some = of[own]
    for whole, part in zip(found, growing(matrix[some], growth[some], length[own]), strict=True):
        whole[own] = part
    return found


def exponential_along(
    matrix: Array, of: NDArray[np.intp], length: Array, rate: float
) -> tuple[Array, Array, Array]:
    """`exponential` of few matrices (d, m, m), each at many lengths: length k (n,) is that of
    matrix of[k]. Their powers are made once, and only weighed at each length."""
    reach = np.zeros(len(matrix))
    np.maximum.at(reach, of, length)
    reach[reach == 0] = 1.0
    scaled = matrix * reach[:, None, None]
    terms = [np.broadcast_to(np.eye(matrix.shape[-1]), matrix.shape)]
    for k in range(1, _terms(rate) + 1):
        terms.append(terms[-1] @ scaled / k)
        if not np.any(terms[-1]):
            break
    power = np.arange(len(terms))
    weight = (length / reach[of])[:, None] ** power
    weight = np.stack([weight, weight / (power + 1), weight / ((power + 1) * (power + 2))])
    flat = np.stack(terms, axis=1).reshape(len(matrix), len(terms), -1)
    out = np.empty((3, len(length), *matrix.shape[1:]))
    for d in range(len(matrix)):
        own = np.flatnonzero(of == d)
        out[:, own] = (weight[:, own] @ flat[d]).reshape(3, len(own), *matrix.shape[1:])
    h = length[:, None, None]
    return out[0], out[1] * h, out[2] * (h * h)


def _terms(rate: float) -> int:
    """Terms after the first that the series needs; a chain of length CHAIN may carry each power of
    the rate, so the stop looks at the term that far behind."""
    k = CHAIN
    while rate ** (k - CHAIN) / math.factorial(k - CHAIN) > _LEAST:
        k += 1
    return k


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
    for k in range(1, _terms(rate) + 1):
        term = term @ matrix * (h / k)
        total += term
        once += term * (h / (k + 1))
        twice += term * (h * h / ((k + 1) * (k + 2)))
        if not np.any(term):
            break
    return total, once, twice
