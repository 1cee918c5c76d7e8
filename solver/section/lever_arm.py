"""The mean lever arm T / int |tau| dA: about the wall of an open section, the radius of a tube.

Along the middle of a wall the stress passes through zero and its magnitude has a kink, which no
fixed rule integrates well. Each triangle is therefore summed along lines that cross that place,
each line split where its stress is smallest.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import NDArray

from .basis import EDGES, shape_functions, triangle_rule
from .elements import Stations, stations_at, stations_of
from .mesh import Array, Ints
from .torsion import TorsionField

#: Gauss points a line at least; places along it at which the smallest stress is looked for.
_POINTS, _PLACES = 8, 25
#: A line is split where the stress falls below this part of its largest.
NEAR_ZERO = 0.5
#: What is left of the kinks between the lines, measured on strips, angles and I shapes: 2e-5.
RULE = 3e-5


def mean_lever_arm(field: TorsionField) -> tuple[float, float]:
    """T / int |tau| dA, and how well it is known, relative: half of what it is apart from stress
    function to warping, and the rule's own error."""
    points = max(_POINTS, field.order + 2)
    total = apart = kinked = 0.0
    across = _edge_across(field)
    for edge in range(3):
        some = np.flatnonzero(across == edge)
        if some.size:
            stations = _line_stations(field, edge, points, some)
            one, two = _stresses(field, stations, some)
            weight = stations.weights
            lines = ((one + two) * (weight / 2)[..., None]).reshape(-1, points, 2)
            along, split = line_integrals(lines)
            total += float(along.sum())
            kinked += float(along[split].sum())
            apart += float(np.sum(weight * (_length(one) - _length(two))))
    torque = (field.lower + field.upper) / 2
    return torque / total, (abs(apart) / 2 + RULE * kinked) / total


def _length(vectors: Array) -> Array:
    return np.hypot(vectors[..., 0], vectors[..., 1])


def _stresses(field: TorsionField, stations: Stations, some: Ints) -> tuple[Array, Array]:
    g = stations.gradients(field.phi[some])
    h = stations.gradients(field.omega[some])
    r = stations.points - field.origin
    spin = np.stack([-r[..., 1], r[..., 0]], axis=2)
    from_omega = field.shear[some][:, None, None] * (h + spin)
    return np.stack([g[..., 1], -g[..., 0]], axis=2), from_omega


def _edge_across(field: TorsionField) -> Ints:
    """(t,) local edge along which the stress changes fastest: lines parallel to it cross the place
    where the stress vanishes."""
    corner = stations_at(field.mesh, field.order, np.array([0.0, 1.0, 0.0]), np.array([0.0, 0, 1]))
    stress = field.stress_from_phi(corner)
    a, b = np.array(EDGES).T
    change = np.linalg.norm(stress[:, b] - stress[:, a], axis=2)
    length = np.linalg.norm(field.mesh.corners[:, b] - field.mesh.corners[:, a], axis=2)
    return np.asarray(np.argmax(change / length, axis=1))


def _line_stations(field: TorsionField, edge: int, points: int, some: Ints) -> Stations:
    xi, eta, w, value, grad = _line_basis(field.order, points, edge)
    return stations_of(field.mesh, some, xi, eta, w, value, grad)


@lru_cache(maxsize=32)
def _line_basis(order: int, points: int, edge: int) -> tuple[Array, Array, Array, Array, Array]:
    """The collapsed rule with lines parallel to a local edge, as `basis.sampled_basis` (cached)."""
    first, second, w = triangle_rule(points)  # its lines run parallel to the edge (0, 1)
    bary = np.empty((3, len(w)))
    (a, b), c = EDGES[edge], 3 - sum(EDGES[edge])
    bary[a], bary[b], bary[c] = 1 - first - second, first, second
    return bary[1], bary[2], w, *shape_functions(order, bary[1], bary[2])


def line_integrals(weighted: Array) -> tuple[Array, NDArray[np.bool_]]:
    """(m,) integrals of the length of smooth vectors along lines, from their values at the Gauss
    points times the weights there, (m, k, 2), and which lines were split.

    A line on which the length nearly vanishes somewhere is split there; both parts are interpolated
    from the Gauss points.
    """
    k = weighted.shape[1]
    x, w = legendre.leggauss(k)
    x, w = (x + 1) / 2, w / 2
    out = _length(weighted).sum(axis=1)
    value = weighted / w[:, None]
    length = _length(value)
    split_here = length.min(axis=1) < NEAR_ZERO * length.max(axis=1)
    if not split_here.any():
        return out, split_here
    value = value[split_here]
    grid = np.linspace(0, 1, _PLACES)
    dense = np.einsum("gk,mkd->mgd", _interpolation(x, grid), value)
    square = np.sum(dense**2, axis=2)
    # a parabola through the smallest square and its neighbours: exact for a linear stress
    at = np.clip(np.argmin(square, axis=1), 1, _PLACES - 2)
    rows = np.arange(len(at))
    low, mid, high = square[rows, at - 1], square[rows, at], square[rows, at + 1]
    curve = low - 2 * mid + high
    shift = np.where(curve > 0, (low - high) / (2 * np.where(curve > 0, curve, 1.0)), 0.0)
    split = np.clip(grid[at] + np.clip(shift, -1, 1) / (_PLACES - 1), 0, 1)[:, None]
    spots = np.concatenate([split * x, split + (1 - split) * x], axis=1)
    width = np.concatenate([split * w, (1 - split) * w], axis=1)
    there = _interpolation(x, spots) @ value
    out[split_here] = np.sum(width * _length(there), axis=1)
    return out, split_here


def _interpolation(nodes: Array, places: Array) -> Array:
    """(..., k) values at places (...) of the Lagrange polynomials of the nodes (k,), by the second
    barycentric formula (Berrut & Trefethen, SIAM Rev. 46 (2004) 501)."""
    apart = nodes[:, None] - nodes
    np.fill_diagonal(apart, 0.25)  # about one over the capacity of [0, 1]: keeps products in range
    weight = 1 / np.prod(apart / 0.25, axis=1)
    distance = places[..., None] - nodes
    distance[distance == 0] = 1e-300
    terms = weight / distance
    return np.asarray(terms / terms.sum(axis=-1, keepdims=True))
