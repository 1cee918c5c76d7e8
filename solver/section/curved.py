"""Exact geometry of triangles with arc edges: the blending map.

A triangle is mapped by x = sum L_i v_i + sum over arc edges (a, b) of L_a L_b d(L_b - L_a). With u
= L_b - L_a running from -1 to 1 along the edge and alpha the half angle of the arc, the arc's
departure from its chord divided by L_a L_b = (1 - u^2)/4 is a polynomial in u^2 to rounding,
because

    sin(u a) - u sin(a) = -u (1 - u^2) sum_k (-1)^k a^(2k+1)/(2k+1)! (1 + u^2 + ... + u^(2k-2))
    cos(u a) - cos(a)   =   -(1 - u^2) sum_k (-1)^k a^(2k)/(2k)!     (1 + u^2 + ... + u^(2k-2)).

So the map is smooth up to the corners and the arc is met exactly (Gordon & Hall, Numer. Math. 21
(1973) 109).
"""

from __future__ import annotations

from math import factorial

import numpy as np
from numpy.typing import NDArray

from .basis import EDGES

Array = NDArray[np.float64]

#: Terms of the series; with arcs of at most 90 degrees (alpha <= pi/4) the first one left out is
# below 1e-17.
_TERMS = 9


def blend_coefficients(bulge: Array) -> tuple[Array, Array]:
    """Polynomials in u^2, each (n, _TERMS), of the departure along (to be multiplied by u) and to
    the right of the chord, per chord length and per L_a L_b."""
    a = 2 * np.arctan(bulge)
    along = np.zeros((len(a), _TERMS))
    across = np.zeros((len(a), _TERMS))
    sinc = np.sinc(a / np.pi)
    for k in range(1, _TERMS + 1):
        sign = -1.0 if k % 2 == 0 else 1.0
        # departure along = (sin(ua)/sin a - u)/2; across = (cos(ua) - cos a)/(2 sin a); times 4/(1
        # - u^2)
        along[:, :k] += (2 * sign * a ** (2 * k) / factorial(2 * k + 1) / sinc)[:, None]
        across[:, :k] += (2 * sign * a ** (2 * k - 1) / factorial(2 * k) / sinc)[:, None]
    return along, across


def _poly(coefficients: Array, u2: Array) -> tuple[Array, Array]:
    """Value and derivative by u^2 of polynomials (n, t) at (n, q) points, each (n, q)."""
    value, slope = np.zeros_like(u2), np.zeros_like(u2)
    for c in coefficients.T[::-1]:  # Horner's rule
        slope = value + u2 * slope
        value = c[:, None] + u2 * value
    return value, slope


def positions(corners: Array, bulges: Array, xi: Array, eta: Array) -> tuple[Array, Array]:
    """Points and Jacobians of triangles with arc edges.

    Parameters
    ----------
    corners : (n, 3, 2)
    bulges : (n, 3)
        Bulge of the local edges `basis.EDGES`, from the first to the second vertex.
    xi, eta : (q,)

    Returns
    -------
    x : (n, q, 2), jacobian : (n, q, 2, 2) with jacobian[..., i, j] = d x_i / d (xi, eta)_j.
    """
    bary = np.stack([1 - xi - eta, xi, eta])
    slope = np.array([[-1.0, -1.0], [1.0, 0.0], [0.0, 1.0]])
    x = bary.T @ corners
    flat = np.einsum("nid,ij->ndj", corners, slope)[:, None]
    jacobian = np.broadcast_to(flat, (len(corners), len(xi), 2, 2))
    own, e = np.nonzero(bulges)
    if not own.size:
        return x, jacobian
    jacobian = jacobian.copy()
    a, b = np.array(EDGES).T
    chord = corners[own, b[e]] - corners[own, a[e]]
    right = np.stack([chord[:, 1], -chord[:, 0]], axis=1)
    along_c, across_c = blend_coefficients(bulges[own, e])
    u = bary[b] - bary[a]  # (3, q), as what follows for each local edge
    product = bary[a] * bary[b]
    d_product = bary[a][..., None] * slope[b][:, None] + bary[b][..., None] * slope[a][:, None]
    d_u = (slope[b] - slope[a])[e]
    u, product, d_product = u[e], product[e], d_product[e]
    f, df = _poly(along_c, u**2)
    g, dg = _poly(across_c, u**2)
    df = f + 2 * u**2 * df  # d/du of u f(u^2)
    f = u * f
    dg = 2 * u * dg
    shift = f[..., None] * chord[:, None] + g[..., None] * right[:, None]
    d_shift = df[..., None] * chord[:, None] + dg[..., None] * right[:, None]
    bend = shift[..., None] * d_product[:, :, None]
    bend += (product[..., None] * d_shift)[..., None] * d_u[:, None, None]
    for k in range(3):  # each triangle once, for those with two arcs
        some = np.flatnonzero(e == k)
        x[own[some]] += product[some, :, None] * shift[some]
        jacobian[own[some]] += bend[some]
    return x, jacobian
