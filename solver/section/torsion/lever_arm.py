"""The mean lever arm T / int |tau| dA: about the wall of an open section, the radius of a tube.

Along the middle of a wall the stress passes through zero and its magnitude has a kink, which no
fixed rule integrates well. Triangles near it are therefore summed along lines that cross that
place, each line split where its stress is smallest.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import NDArray

from ..elements.basis import (
    EDGES,
    Places,
    places_at,
    sampled_basis,
    shape_functions,
    triangle_rule,
)
from ..elements.modes import corner_values, modes_at, rule_modes
from ..mesh.section_mesh import Array, Ints
from .interval import TorsionField
from .sampling import interpolation, sampled_stress
from .stress_modes import StressModes, stress_modes

#: Gauss points a line at least; places along it at which the smallest stress is looked for.
_POINTS, _PLACES = 8, 25
#: Lines in all, and at most in a triangle: a few large triangles need more of them, for the kink
#: ends somewhere inside.
_LINES, _MOST_LINES = 1200, 40
#: The same where a glance will do, and by how much the rule's error grows.
_FEW_LINES, _FEW_IN_ONE, _ROUGHER = 200, 12, 4.0
#: A line is split where the stress falls below this part of its largest.
NEAR_ZERO = 0.5
#: A triangle all along which the stress keeps this part of its largest has no kink near: the rule's
#: error is below 1e-8 there.
ALL_ALONG = 0.3
#: What is left of the kinks between the lines, measured on strips, angles, T and I shapes: 4e-5.
RULE = 5e-5


def mean_lever_arm(field: TorsionField, *, coarsely: bool = False) -> tuple[float, float]:
    """T / int |tau| dA, and how well it is known, relative: half of what it is apart from stress
    function to warping, and the rule's own error; `coarsely` along few lines, and said so."""
    points, count = _rule(field.order, len(field.mesh.triangles), coarsely)
    fields = field.mesh, field.order, field.origin, field.shear, field.phi, field.omega
    parts = lever_parts(field, points, count, stress_modes(*fields))
    torque = np.array([(field.lower + field.upper) / 2])
    arm, change = lever_arms(parts[None], torque, _ROUGHER * RULE if coarsely else RULE)
    return float(arm[0]), float(change[0])


def mean_lever_arms(field: TorsionField, modes: StressModes, torque: Array) -> tuple[Array, Array]:
    """The same of k sections whose triangles follow one another in a field, from their torques (k,)
    per unit twist."""
    points, count = _rule(field.order, len(field.mesh.triangles) // len(torque))
    parts = lever_parts(field, points, count, modes).reshape(3, len(torque), -1)
    return lever_arms(parts.transpose(1, 0, 2), torque, RULE)


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


def lever_parts(field: TorsionField, points: int, count: int, modes: StressModes) -> Array:
    """(3, t) int |tau| dA of each triangle, that along lines that were split, and how much more of
    it the stress function has than the warping. Where the stress vanishes nowhere near a rule does,
    elsewhere `count` lines of so many points. `modes` are those of the straight triangles."""
    order, curved = field.order, np.flatnonzero(field.mesh.curved)
    parts = np.zeros((3, len(field.mesh.triangles)))
    areas = modes.size[:, None] * triangle_rule(order + 2)[2]
    kinked = _by_rule(parts, modes.triangles, *modes.at(rule_modes(order, order + 2)), areas)
    rest = modes.some(kinked)
    across = _edge_across(field, rest.triangles, rest.from_phi @ corner_values(order).T)
    along: list[tuple[Ints, Array]] = []
    for edge in range(3):
        few = np.flatnonzero(across == edge)
        if few.size:
            some = rest.some(few)
            mean = (some.from_phi + some.from_omega) * (some.size / 2)[:, None]
            vectors = _line_modes(order, points, count, edge) @ mean.transpose(0, 2, 1)
            along.append((some.triangles, vectors))
    if curved.size:
        found = _sampled(field, curved, sampled_basis(order, order + 2))
        kinked = curved[_by_rule(parts, curved, *found)]
        corners = sampled_stress(field, kinked, _corner_basis(order)).from_phi
        across = _edge_across(field, kinked, np.moveaxis(corners, 2, 0))
        for edge in range(3):
            few, lines = kinked[across == edge], _lines(points, count, edge)
            if few.size:
                mean, _, areas = _sampled(field, few, _line_basis(order, points, count, edge))
                along.append((few, (mean * (areas / lines.weights)).transpose(0, 2, 1)))
    if along:
        own, vectors = (np.concatenate(part, axis=-1) for part in zip(*along, strict=True))
        _along(parts, own, vectors, _lines(points, count, 0).shares)
    return parts


def _by_rule(parts: Array, triangles: Ints, mean: Array, apart: Array, areas: Array) -> Ints:
    """Put in the integrals of some triangles by values (2, t, q) at the places of a rule, each of
    which stands for an area (t, q). Returns which of them are near a kink, where that does not
    do."""
    length = np.sqrt(mean[0] ** 2 + mean[1] ** 2)
    parts[0, triangles] = np.einsum("tq,tq->t", length, areas)
    excess = mean[0] * apart[0] + mean[1] * apart[1]
    excess /= np.where(length > 0, length, 1.0)
    parts[2, triangles] = np.einsum("tq,tq->t", excess, areas)
    return np.flatnonzero(length.min(axis=1) < ALL_ALONG * length.max(axis=1))


def _along(parts: Array, triangles: Ints, vectors: Array, shares: Array) -> None:
    """Put in the integrals of t triangles by vectors (2, q, t) along lines of known shares, times
    the Jacobian."""
    count = len(shares)
    along, split = line_integrals(vectors.reshape(2, -1, count * len(triangles)))
    along, split = along.reshape(count, -1), split.reshape(count, -1)
    parts[0, triangles] = shares @ along
    parts[1, triangles] = shares @ np.where(split, along, 0.0)


def _sampled(field: TorsionField, some: Ints, places: Places) -> tuple[Array, Array, Array]:
    """Mean and difference of the stresses (2, t, q) in some triangles, and what area (t, q) each
    place stands for."""
    found = sampled_stress(field, some, places)
    one, two = (np.moveaxis(part, 2, 0) for part in (found.from_phi, found.from_omega))
    return (one + two) / 2, one - two, found.weights


def _edge_across(field: TorsionField, triangles: Ints, corner_stress: Array) -> Ints:
    """Local edge of some triangles along which the stress (2, t, 3) at their corners changes
    fastest: lines parallel to it cross the place where the stress vanishes."""
    a, b = np.array(EDGES).T
    change = np.linalg.norm(corner_stress[..., b] - corner_stress[..., a], axis=0)
    corners = field.mesh.corners[triangles]
    length = np.linalg.norm(corners[:, b] - corners[:, a], axis=2)
    return np.asarray(np.argmax(change / length, axis=1))


@lru_cache(maxsize=16)
def _corner_basis(order: int) -> Places:
    return places_at(order, np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0]))


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Gauss points of some lines in the unit triangle, parallel to an edge: all first points, then
    all second ones. `weights` (q,) are areas, `shares` (count,) what of it is each line's: by
    whichever edge, these are the same."""

    xi: Array
    eta: Array
    weights: Array
    shares: Array


@lru_cache(maxsize=32)
def _lines(points: int, count: int, edge: int) -> _Lines:
    (x, w), (y, v) = legendre.leggauss(points), legendre.leggauss(count)
    x, y = (x + 1) / 2, (y + 1) / 2
    bary = np.empty((3, points, count))
    (a, b), c = EDGES[edge], 3 - sum(EDGES[edge])
    bary[a], bary[b], bary[c] = np.outer(1 - x, 1 - y), np.outer(x, 1 - y), y
    shares = v * (1 - y) / 2
    return _Lines(bary[1].ravel(), bary[2].ravel(), np.outer(w / 2, shares).ravel(), shares)


@lru_cache(maxsize=32)
def _line_basis(order: int, points: int, count: int, edge: int) -> Places:
    lines = _lines(points, count, edge)
    return lines.xi, lines.eta, lines.weights, *shape_functions(order, lines.xi, lines.eta)


@lru_cache(maxsize=32)
def _line_modes(order: int, points: int, count: int, edge: int) -> Array:
    lines = _lines(points, count, edge)
    return modes_at(order, lines.xi, lines.eta)


def line_integrals(vectors: Array) -> tuple[Array, NDArray[np.bool_]]:
    """(m,) integrals over [0, 1] of the length of smooth vectors along lines, from their values at
    the Gauss points, (2, k, m), and which lines were split.

    A line on which the length nearly vanishes somewhere is split there; both parts are interpolated
    from the Gauss points.
    """
    x, w, to_grid, to_powers = _line_rule(vectors.shape[1])
    length = _length(vectors)
    out = w @ length
    split_here = length.min(axis=0) < NEAR_ZERO * length.max(axis=0)
    if not split_here.any():
        return out, split_here
    vectors = vectors[..., split_here]
    square = np.sum((to_grid @ vectors) ** 2, axis=0)
    # a parabola through the smallest square and its neighbours: exact for a linear stress
    at = np.clip(np.argmin(square, axis=0), 1, _PLACES - 2)
    rows = np.arange(len(at))
    low, mid, high = square[at - 1, rows], square[at, rows], square[at + 1, rows]
    curve = low - 2 * mid + high
    shift = np.where(curve > 0, (low - high) / (2 * np.where(curve > 0, curve, 1.0)), 0.0)
    split = np.clip((at + np.clip(shift, -1, 1)) / (_PLACES - 1), 0, 1)
    x, w = x[:, None], w[:, None]
    spots = 2 * np.concatenate([split * x, split + (1 - split) * x]) - 1
    powers = to_powers @ vectors
    there = np.repeat(powers[:, -1:], len(spots), axis=1)
    for k in range(len(x) - 2, -1, -1):  # Horner's scheme
        there *= spots
        there += powers[:, k, None]
    one, two = np.sum(_length(there).reshape(2, len(x), -1) * w, axis=1)
    out[split_here] = split * one + (1 - split) * two
    return out, split_here


def _length(vectors: Array) -> Array:
    return np.asarray(np.sqrt(vectors[0] ** 2 + vectors[1] ** 2))


@lru_cache(maxsize=16)
def _line_rule(points: int) -> tuple[Array, Array, Array, Array]:
    """Gauss points and weights on [0, 1], and what leads from values there to the places looked at
    and to the coefficients of the powers of 2 x - 1."""
    x, w = legendre.leggauss(points)
    powers: Array = np.linalg.inv(np.vander(x, increasing=True)).astype(np.float64)
    x = (x + 1) / 2
    return x, w / 2, interpolation(x, np.linspace(0, 1, _PLACES)), powers
