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

from collections.abc import Callable
from functools import lru_cache
from itertools import pairwise
from math import factorial

import numpy as np
from numpy.typing import NDArray

from .basis import EDGES

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

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

#: Slopes of L_1, L_2, L_3 in (xi, eta).
_SLOPE = np.array([[-1.0, -1.0], [1.0, 0.0], [0.0, 1.0]])
#: Ends of the edges.
_FROM, _TO = np.array(EDGES).T


def blend_coefficients(bulge: Array) -> tuple[Array, Array]:
    """Polynomials in u^2, each (n, _TERMS), of the departure along (to be multiplied by u) and to
    the right of the chord, per chord length and per L_a L_b:

    along = (sin(ua)/sin a - u)/2; across = (cos(ua) - cos a)/(2 sin a); both times 4/(1 - u^2).
    """
    a = 2 * np.arctan(bulge)
    sinc = np.sinc(a / np.pi)[:, None]
    even = np.vander(a * a, _TERMS + 1, increasing=True)
    return even[:, 1:] @ _ALONG / sinc, a[:, None] * even[:, :-1] @ _ACROSS / sinc


def blend_coefficient_rates(bulge: Array) -> tuple[Array, Array]:
    """Derivatives of `blend_coefficients` by the bulge."""
    a = 2 * np.arctan(bulge)[:, None]
    m = 2 * np.arange(1, _TERMS + 1)
    sinc = np.sinc(a / np.pi)
    small = np.abs(a) < 1e-3
    safe = np.where(small, 1.0, a)
    # sin(a)/a falls by (sin(a)/a - cos(a))/a, of which small angles leave a/3
    fall = np.where(small, a / 3 - a**3 / 30, (sinc - np.cos(a)) / safe)
    along, across = blend_coefficients(bulge)
    turn = (2 / (1 + bulge**2))[:, None]
    along_rate = (m * a ** (m - 1)) @ _ALONG / sinc + along * fall / sinc
    across_rate = ((m - 1) * a ** (m - 2)) @ _ACROSS / sinc + across * fall / sinc
    return turn * along_rate, turn * across_rate


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
    return _blended(
        corners,
        bulges,
        xi,
        eta,
        lambda own, edge: _departure(corners[own], bulges[own, edge], edge),
    )


def position_rates(
    corners: Array, bulges: Array, corner_rates: Array, bulge_rates: Array, xi: Array, eta: Array
) -> tuple[Array, Array]:
    """How fast points and Jacobians of `positions` move while corners and bulges do.

    Parameters
    ----------
    corners, bulges, xi, eta
        As `positions` takes them.
    corner_rates : (n, 3, 2)
    bulge_rates : (n, 3)
        Where a bulge is 0 its rate is taken for 0.

    Returns
    -------
    velocity : (n, q, 2), rate of the jacobian : (n, q, 2, 2).
    """

    def rates(own: Ints, edge: Ints) -> Array:
        return _departure_rate(
            corners[own], bulges[own, edge], corner_rates[own], bulge_rates[own, edge], edge
        )

    return _blended(corner_rates, bulges, xi, eta, rates)


def _blended(
    corners: Array,
    bulges: Array,
    xi: Array,
    eta: Array,
    departure: Callable[[Ints, Ints], Array],
) -> tuple[Array, Array]:
    """The blending map, which is linear in corners and departures together: those of some
    triangles' edges."""
    bary = np.stack([1 - xi - eta, xi, eta])
    x = bary.T @ corners
    flat = np.einsum("nid,ij->ndj", corners, _SLOPE)[:, None]
    jacobian = np.broadcast_to(flat, (len(corners), len(xi), 2, 2))
    if not bulges.any():
        return x, jacobian
    jacobian = jacobian.copy()
    places, q = (xi.tobytes(), eta.tobytes()), len(xi)
    edge, triangle = np.nonzero(bulges.T)
    bent = departure(triangle, edge).transpose(0, 2, 1)
    first = np.searchsorted(edge, np.arange(len(EDGES) + 1)).tolist()
    for k, (begin, end) in enumerate(pairwise(first)):
        if begin == end:
            continue
        own = triangle[begin:end]
        each = bent[begin:end].reshape(-1, 2 * _TERMS) @ _bend(*places, k)
        each = each.reshape(len(own), 2, 3, q).transpose(0, 3, 1, 2)
        x[own] += each[..., 0]
        jacobian[own] += each[..., 1:]
    return x, jacobian


@lru_cache(maxsize=128)
def _bend(xi: bytes, eta: bytes, edge: int) -> Array:
    """(2 _TERMS, 3 q) how much of each coefficient of a departure from an edge is in the shift at q
    places, then in its slopes by xi, then by eta."""
    one, two = np.frombuffer(xi), np.frombuffer(eta)
    bary = np.stack([1 - one - two, one, two])
    i, j = EDGES[edge]
    powers = np.vander(bary[j] - bary[i], 2 * _TERMS, increasing=True).T
    turned = np.zeros_like(powers)
    turned[1:] = np.arange(1, 2 * _TERMS)[:, None] * powers[:-1]
    product = bary[i] * bary[j]
    slopes = [
        powers * (bary[i] * _SLOPE[j, c] + bary[j] * _SLOPE[i, c])
        + turned * product * (_SLOPE[j, c] - _SLOPE[i, c])
        for c in (0, 1)
    ]
    return np.concatenate([powers * product, *slopes], axis=1)


def positions_each(corners: Array, bulges: Array, place: Array) -> tuple[Array, Array]:
    """Position (n, 2) and Jacobian (n, 2, 2) of one place (n, 2) in each triangle."""
    xi, eta = place.T
    jacobian = np.stack([corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]], axis=2)
    x = corners[:, 0] + np.einsum("tij,tj->ti", jacobian, place)
    bary = np.stack([1 - xi - eta, xi, eta])
    m = np.arange(1, 2 * _TERMS)
    for k, (i, j) in enumerate(EDGES):
        own = np.flatnonzero(bulges[:, k])
        if not own.size:
            continue
        departure = _departure(corners[own], bulges[own, k], np.full(len(own), k))
        one, other = bary[i, own], bary[j, own]
        product = (one * other)[:, None]
        powers = np.vander(other - one, 2 * _TERMS, increasing=True)
        shift = np.einsum("tp,tpd->td", powers, departure)
        turned = np.einsum("tp,tpd->td", m * powers[:, :-1], departure[:, 1:])
        slope_of_product = one[:, None] * _SLOPE[j] + other[:, None] * _SLOPE[i]
        x[own] += product * shift
        bend = shift[..., None] * slope_of_product[:, None]
        jacobian[own] += bend + (product * turned)[..., None] * (_SLOPE[j] - _SLOPE[i])
    return x, jacobian


def _chords(corners: Array, edge: Ints) -> Array:
    """(n, 2) along one edge each of triangles (n, 3, 2)."""
    own = np.arange(len(edge))
    return np.asarray(corners[own, _TO[edge]] - corners[own, _FROM[edge]])


def _departure(corners: Array, bulge: Array, edge: Ints) -> Array:
    """(n, 2 _TERMS, 2): how the arc of an edge (n,) from corner i to j departs from its chord per
    L_i L_j, as one polynomial in u with vectors for coefficients."""
    chord = _chords(corners, edge)
    right = np.stack([chord[:, 1], -chord[:, 0]], axis=1)
    along, across = blend_coefficients(bulge)
    departure = np.empty((len(chord), 2 * _TERMS, 2))
    departure[:, 1::2] = along[..., None] * chord[:, None]
    departure[:, 0::2] = across[..., None] * right[:, None]
    return departure


def _departure_rate(
    corners: Array, bulge: Array, corner_rates: Array, bulge_rate: Array, edge: Ints
) -> Array:
    """(n, 2 _TERMS, 2): how fast `_departure` changes."""
    chord = _chords(corners, edge)
    right = np.stack([chord[:, 1], -chord[:, 0]], axis=1)
    along, across = (c * bulge_rate[:, None] for c in blend_coefficient_rates(bulge))
    rate = _departure(corner_rates, bulge, edge)
    rate[:, 1::2] += along[..., None] * chord[:, None]
    rate[:, 0::2] += across[..., None] * right[:, None]
    return rate
