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

from ..elements.basis import EDGES, Places, places_at, shape_functions
from ..mesh.section_mesh import Array, Ints
from .interval import TorsionField
from .sampling import interpolation, sampled_stress

#: Gauss points a line at least; places along it at which the smallest stress is looked for.
_POINTS, _PLACES = 8, 25
#: Lines in all, and at most in a triangle: a few large triangles need more of them, for the kink
#: ends somewhere inside.
_LINES, _MOST_LINES = 1200, 40
#: The same where a glance will do, and by how much the rule's error grows.
_FEW_LINES, _FEW_IN_ONE, _ROUGHER = 200, 12, 4.0
#: Lines less in a triangle where many sections are solved at once.
_FEWER = 2
#: A line is split where the stress falls below this part of its largest.
NEAR_ZERO = 0.5
#: What is left of the kinks between the lines, measured on strips, angles, T and I shapes: 4e-5.
RULE = 5e-5


def mean_lever_arm(field: TorsionField, *, coarsely: bool = False) -> tuple[float, float]:
    """T / int |tau| dA, and how well it is known, relative: half of what it is apart from stress
    function to warping, and the rule's own error; `coarsely` along few lines, and said so."""
    points, count = _rule(field.order, len(field.mesh.triangles), coarsely)
    parts = lever_parts(field, points, count)
    torque = np.array([(field.lower + field.upper) / 2])
    arm, change = lever_arms(parts[None], torque, _ROUGHER * RULE if coarsely else RULE)
    return float(arm[0]), float(change[0])


def quick_lever_arms(field: TorsionField, torque: Array) -> tuple[Array, Array]:
    """The same of k sections whose triangles follow one another in a field, from their torques (k,)
    per unit twist: along somewhat fewer lines, and said so."""
    points, count = _rule(field.order, len(field.mesh.triangles) // len(torque))
    parts = lever_parts(field, points, count - _FEWER).reshape(3, len(torque), -1)
    rule = RULE * (count / (count - _FEWER)) ** 2
    return lever_arms(parts.transpose(1, 0, 2), torque, rule)


def _rule(order: int, elements: int, coarsely: bool = False) -> tuple[int, int]:
    """Points on a line, and lines in each of so many triangles."""
    points = max(_POINTS, order + 2)
    lines, most = (_FEW_LINES, _FEW_IN_ONE) if coarsely else (_LINES, _MOST_LINES)
    each = lines // elements
    # among very many triangles a kink crosses so many lines that fewer in each do as well
    return points, max(points, min(most, each)) if each else order + 1


def lever_arms(parts: Array, torque: Array, rule: float) -> tuple[Array, Array]:
    """(k,) mean lever arms of k sections and how well they are known, from the parts (k, 3, t) of
    their triangles, their torques (k,) per unit twist, and the rule's own error."""
    total, kinked, apart = parts.sum(axis=2).T
    return torque / total, (np.abs(apart) / 2 + rule * kinked) / total


def lever_parts(field: TorsionField, points: int, count: int) -> Array:
    """(3, t) int |tau| dA of each triangle, that along lines that were split, and how much more of
    it the stress function has than the warping, along `count` lines of so many points."""
    across = _edge_across(field)
    parts = np.empty((3, len(field.mesh.triangles)))
    for edge in range(3):
        some = np.flatnonzero(across == edge)
        if some.size:
            samples = sampled_stress(field, some, _line_basis(field.order, points, count, edge))
            one, two, weight = samples.from_phi, samples.from_omega, samples.weights
            weighted = (one + two) * (weight / 2)[..., None]
            along, split = line_integrals(weighted.reshape(-1, points, 2))
            parts[0, some] = along.reshape(-1, count).sum(axis=1)
            parts[1, some] = np.where(split, along, 0.0).reshape(-1, count).sum(axis=1)
            parts[2, some] = np.sum(weight * (_length(one) - _length(two)), axis=1)
    return parts


def _length(vectors: Array) -> Array:
    return np.asarray(np.sqrt(vectors[..., 0] ** 2 + vectors[..., 1] ** 2))


def _edge_across(field: TorsionField) -> Ints:
    """(t,) local edge along which the stress changes fastest: lines parallel to it cross the place
    where the stress vanishes."""
    every = np.arange(len(field.mesh.triangles))
    stress = sampled_stress(field, every, _corner_basis(field.order)).from_phi
    a, b = np.array(EDGES).T
    change = np.linalg.norm(stress[:, b] - stress[:, a], axis=2)
    length = np.linalg.norm(field.mesh.corners[:, b] - field.mesh.corners[:, a], axis=2)
    return np.asarray(np.argmax(change / length, axis=1))


@lru_cache(maxsize=16)
def _corner_basis(order: int) -> Places:
    return places_at(order, np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0]))


@lru_cache(maxsize=32)
def _line_basis(order: int, points: int, count: int, edge: int) -> Places:
    """Gauss points of a number of lines parallel to a local edge, as `basis.sampled_basis`
    (cached)."""
    (x, w), (y, v) = legendre.leggauss(points), legendre.leggauss(count)
    x, y = (x + 1) / 2, (y + 1) / 2
    bary = np.empty((3, count, points))
    (a, b), c = EDGES[edge], 3 - sum(EDGES[edge])
    bary[a], bary[b], bary[c] = np.outer(1 - y, 1 - x), np.outer(1 - y, x), y[:, None]
    xi, eta = bary[1].ravel(), bary[2].ravel()
    return xi, eta, (np.outer(v * (1 - y), w) / 4).ravel(), *shape_functions(order, xi, eta)


def line_integrals(weighted: Array) -> tuple[Array, NDArray[np.bool_]]:
    """(m,) integrals of the length of smooth vectors along lines, from their values at the Gauss
    points times the weights there, (m, k, 2), and which lines were split.

    A line on which the length nearly vanishes somewhere is split there; both parts are interpolated
    from the Gauss points.
    """
    x, w, to_grid, to_powers = _line_rule(weighted.shape[1])
    out = _length(weighted).sum(axis=1)
    value = weighted / w[:, None]
    length = _length(value)
    split_here = length.min(axis=1) < NEAR_ZERO * length.max(axis=1)
    if not split_here.any():
        return out, split_here
    value = value[split_here]
    grid = np.linspace(0, 1, _PLACES)
    square = (to_grid @ value[..., 0].T) ** 2 + (to_grid @ value[..., 1].T) ** 2
    # a parabola through the smallest square and its neighbours: exact for a linear stress
    at = np.clip(np.argmin(square, axis=0), 1, _PLACES - 2)
    rows = np.arange(len(at))
    low, mid, high = square[at - 1, rows], square[at, rows], square[at + 1, rows]
    curve = low - 2 * mid + high
    shift = np.where(curve > 0, (low - high) / (2 * np.where(curve > 0, curve, 1.0)), 0.0)
    split = np.clip(grid[at] + np.clip(shift, -1, 1) / (_PLACES - 1), 0, 1)[:, None]
    spots = np.concatenate([split * x, split + (1 - split) * x], axis=1)
    width = np.concatenate([split * w, (1 - split) * w], axis=1)
    powers = to_powers @ value
    there = np.repeat(powers[:, -1:], spots.shape[1], axis=1)
    for k in range(len(x) - 2, -1, -1):  # Horner's scheme
        there *= (2 * spots - 1)[..., None]
        there += powers[:, k, None]
    out[split_here] = np.sum(width * _length(there), axis=1)
    return out, split_here


@lru_cache(maxsize=16)
def _line_rule(points: int) -> tuple[Array, Array, Array, Array]:
    """Gauss points and weights on [0, 1], and what leads from values there to the places looked at
    and to the coefficients of the powers of 2 x - 1."""
    x, w = legendre.leggauss(points)
    powers: Array = np.linalg.inv(np.vander(x, increasing=True)).astype(np.float64)
    x = (x + 1) / 2
    return x, w / 2, interpolation(x, np.linspace(0, 1, _PLACES)), powers
