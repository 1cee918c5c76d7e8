"""Slopes of the shape functions as sums of orthonormal polynomials.

On a straight triangle the slope of a field of order p is a polynomial of degree p - 1. By
polynomials that are orthonormal over the triangle its square integrates to the sum of its
coefficients' squares, exactly: p (p + 1)/2 numbers in place of the values at p^2 points of a rule.
(Dubiner, J. Sci. Comput. 6 (1991) 345.)
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from .basis import Array, sampled_basis, triangle_rule


def modes_at(order: int, xi: Array, eta: Array) -> Array:
    """(q, m) the polynomials at places of the unit triangle, by rising degree: the first three span
    the linear ones."""
    degree = order - 1
    across = _legendre(degree, 2 * xi + eta - 1, 1 - eta)
    along = [_jacobi(degree, 2 * i + 1, 2 * eta - 1) for i in range(order)]
    pairs = [(total - j, j) for total in range(order) for j in range(total + 1)]
    columns = [np.sqrt((2 * i + 1) * 2 * (i + j + 1)) * across[i] * along[i][j] for i, j in pairs]
    return np.stack(columns, axis=1)


@lru_cache(maxsize=16)
def slope_modes(order: int) -> Array:
    """(n, 2 m) int of each polynomial times the slopes of the shape functions by xi, then by eta,
    over the unit triangle."""
    xi, eta, w, _, grad = sampled_basis(order, order)
    weighted = w[:, None] * modes_at(order, xi, eta)
    return np.concatenate([grad[..., c].T @ weighted for c in (0, 1)], axis=1)


@lru_cache(maxsize=16)
def corner_modes(order: int) -> Array:
    """(3, m) the polynomials' coefficients of the barycentric coordinates."""
    xi, eta, w, _, _ = sampled_basis(order, order + 1)
    return np.stack([1 - xi - eta, xi, eta]) @ (w[:, None] * modes_at(order, xi, eta))


@lru_cache(maxsize=16)
def corner_values(order: int) -> Array:
    """(3, m) the polynomials at the corners."""
    return modes_at(order, np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0]))


@lru_cache(maxsize=32)
def rule_modes(order: int, points: int) -> Array:
    """(q, m) the polynomials at the nodes of `triangle_rule`."""
    xi, eta, _ = triangle_rule(points)
    return modes_at(order, xi, eta)


def _legendre(degree: int, x: Array, y: Array) -> list[Array]:
    """y^k P_k(x / y) for k = 0..degree."""
    out = [np.ones_like(x), x]
    for k in range(1, degree):
        out.append(((2 * k + 1) * x * out[k] - k * y * y * out[k - 1]) / (k + 1))
    return out


def _jacobi(degree: int, a: int, x: Array) -> list[Array]:
    """Jacobi's polynomials P_k^(a, 0)(x) for k = 0..degree."""
    out = [np.ones_like(x), ((a + 2) * x + a) / 2]
    for k in range(2, degree + 1):
        s = 2 * k + a
        first = (s - 1) * (s * (s - 2) * x + a * a) * out[k - 1]
        second = 2 * (k + a - 1) * (k - 1) * s * out[k - 2]
        out.append((first - second) / (2 * k * (k + a) * (s - 2)))
    return out
