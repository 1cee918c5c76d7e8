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
#: below 1e-17.
_TERMS = 9


def _blend_tables() -> tuple[Array, Array]:
    """(_TERMS, _TERMS) each: by row the power of the half angle, by column that of u^2."""
    k = np.arange(1, _TERMS + 1)
    sign = np.where(k % 2 == 0, -2.0, 2.0)
    reached = np.arange(_TERMS) < k[:, None]
    along = reached * (sign / [factorial(2 * i + 1) for i in k])[:, None]
    across = reached * (sign / [factorial(2 * i) for i in k])[:, None]
    return along, across


_ALONG, _ACROSS = _blend_tables()


def blend_coefficients(bulge: Array) -> tuple[Array, Array]:
    """Polynomials in u^2, each (n, _TERMS), of the departure along (to be multiplied by u) and to
    the right of the chord, per chord length and per L_a L_b:

    along = (sin(ua)/sin a - u)/2; across = (cos(ua) - cos a)/(2 sin a); both times 4/(1 - u^2).
    """
    a = 2 * np.arctan(bulge)[:, None]
    sinc = np.sinc(a / np.pi)
    even = a ** (2 * np.arange(1, _TERMS + 1))
    odd = a ** (2 * np.arange(1, _TERMS + 1) - 1)
    return even @ _ALONG / sinc, odd @ _ACROSS / sinc


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
    along, across = blend_coefficients(bulges[own, e])
    # the departure per L_a L_b as one polynomial in u with vectors for coefficients
    departure = np.empty((len(own), 2 * _TERMS, 2))
    departure[:, 1::2] = along[..., None] * chord[:, None]
    departure[:, 0::2] = across[..., None] * right[:, None]
    m = np.arange(1, 2 * _TERMS)
    for k, (i, j) in enumerate(EDGES):
        some = np.flatnonzero(e == k)
        if not some.size:
            continue
        product = (bary[i] * bary[j])[:, None]
        powers = np.vander(bary[j] - bary[i], 2 * _TERMS, increasing=True)
        shift = powers @ departure[some]
        turned = (m * powers[:, :-1]) @ departure[some, 1:]
        slope_of_product = bary[i][:, None] * slope[j] + bary[j][:, None] * slope[i]
        x[own[some]] += product * shift
        bend = shift[..., None] * slope_of_product[:, None]
        bend += (product * turned)[..., None] * (slope[j] - slope[i])
        jacobian[own[some]] += bend
    return x, jacobian
