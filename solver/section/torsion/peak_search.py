"""The largest shear stress along borders and interfaces, of one section or of many alike at once.

Every edge is sampled at Chebyshev points; the best edges of a section are looked at more closely on
the polynomials through their samples, and what is found there is evaluated on the field itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ..elements.basis import EDGES, Places, places_at, shape_functions
from ..elements.curved import positions_each
from ..mesh.section_mesh import Array, Ints
from .interval import TorsionField
from .sampling import StressSamples, interpolation, sampled_stress

#: Relative difference of the two estimates of the largest stress that is good enough.
GOOD_CHANGE = 1e-3
#: Edges looked at closely: those with a sample so near the largest, at most so many.
SMOOTH, RISING, MOST_EDGES = 0.97, 0.75, 24
#: Stress nearly as large as the largest, by it.
ALIKE = 0.95
#: Discs from which on a search tree finds the points in them.
MANY_DISCS = 50


@dataclass(frozen=True, slots=True, eq=False)
class Discs:
    """Surroundings that the search leaves out: centres (k, c, 2) and radii (k, c) in k sections."""

    centre: Array
    radius: Array

    def hold(self, points: Array) -> NDArray[np.bool_]:
        """(k, ...) which points (k, ..., 2) lie in a disc of their section."""
        out = np.zeros(points.shape[:-1], dtype=bool)
        if self.radius.shape[1] > MANY_DISCS:
            from scipy.spatial import cKDTree

            for own, spots, centre, radius in zip(
                out, points, self.centre, self.radius, strict=True
            ):
                near = cKDTree(spots.reshape(-1, 2)).query_ball_point(centre, radius)
                own.reshape(-1)[np.concatenate(near).astype(np.int64)] = True
            return out
        middle = (slice(None),) + (None,) * (points.ndim - 2)
        for k in range(self.radius.shape[1]):
            x, y = (points[..., i] - self.centre[:, k, i][middle] for i in (0, 1))
            out |= x * x + y * y < self.radius[:, k][middle] ** 2
        return out


@dataclass(frozen=True, slots=True, eq=False)
class Peaks:
    """Of k sections: the largest stress per unit twist (k,), nan where all is left out; half the
    two estimates' relative difference there (k,), its largest wherever the stress is nearly as
    large (k,), the places (k, 2), and the places in doubt, one array (n, 2) a section."""

    value: Array
    change: Array
    spread: Array
    place: Array
    doubtful: list[Array]


def find_peaks(
    field: TorsionField, triangles: Ints, local: Ints, discs: Discs, origins: Array
) -> Peaks:
    """Search edges (k, b) of k sections that one field holds, by triangle and local edge, outside
    the discs; the field's origin is each section's own, at `origins` (k, 2)."""
    k, b = triangles.shape
    s = (1 - np.cos(np.linspace(0, np.pi, 2 * field.order + 5))) / 2
    samples, apart = _sampled(field, triangles.ravel(), local.ravel(), s)
    samples, apart = samples.reshape(k, b, len(s), 4), apart.reshape(k, b, len(s))
    samples[..., 2:] += origins[:, None, None]
    left_out = discs.radius.size > 0
    stress = np.hypot(samples[..., 0], samples[..., 1])
    if left_out:
        stress[discs.hold(samples[..., 2:])] = -1.0
    best = np.argmax(stress, axis=2)
    top = np.take_along_axis(stress, best[..., None], axis=2)[..., 0]
    # of equal ones the last triangle comes first, so that the order of rounding does not decide
    rows = np.broadcast_to(np.arange(k)[:, None], (k, b)).ravel()
    ranked = np.lexsort((local.ravel(), triangles.ravel(), top.ravel(), rows)).reshape(k, b)
    ranked = ranked[:, : -MOST_EDGES - 1 : -1] - b * np.arange(k)[:, None]
    row, rank = np.nonzero(
        # toward a disc the stress may rise up to its rim, between two samples
        np.take_along_axis(top, ranked, axis=1)
        >= (RISING if left_out else SMOOTH) * top.max(axis=1, keepdims=True)
    )
    edge = ranked[row, rank]
    own = samples[row, edge]
    some = Discs(discs.centre[row], discs.radius[row])
    # samples are up to pi/2 times as far apart as at equal distances
    at, step = s[best[row, edge]], 1.6 / (2 * field.order + 4)
    for _ in range(3):  # narrow down around the best sample
        fine = np.clip(at[:, None] + step * np.linspace(-1, 1, 21), 0, 1)
        close = interpolation(s, fine) @ own
        values = np.hypot(close[..., 0], close[..., 1])
        if left_out:
            values[some.hold(close[..., 2:])] = -1.0
        j = np.argmax(values, axis=1)
        at, step = fine[np.arange(len(at)), j], step / 10
    peak = np.full((k, MOST_EDGES), -np.inf)
    peak[row, rank] = values[np.arange(len(at)), j]
    first = np.argmax(peak >= peak.max(axis=1, keepdims=True) / (1 + 1e-12), axis=1)
    where = np.empty((k, MOST_EDGES), dtype=np.int64)
    where[row, rank] = np.arange(len(at))
    chosen = where[np.arange(k), first]
    found = _at_places(
        field, triangles[np.arange(k), edge[chosen]], local[np.arange(k), edge[chosen]], at[chosen]
    )
    mean, half = _mean_and_apart(found)
    value = np.hypot(mean[:, 0, 0], mean[:, 0, 1])
    change = half[:, 0] / value
    alike = np.where(stress >= ALIKE * value[:, None, None], apart, 0.0).max(axis=(1, 2))
    off = np.take_along_axis(apart, best[..., None], axis=2)[..., 0]
    doubt = (top + off >= (value * (1 - change))[:, None]) & (off > GOOD_CHANGE * value[:, None])
    spots = np.take_along_axis(samples, best[..., None, None], axis=2)[:, :, 0, 2:]
    nothing = top.max(axis=1) < 0
    return Peaks(
        np.where(nothing, np.nan, value),
        np.where(nothing, np.nan, change),
        np.where(nothing, np.nan, np.maximum(change, alike / value)),
        found.points[:, 0] + origins,
        [some[which] for some, which in zip(spots, doubt, strict=True)],
    )


def _sampled(field: TorsionField, triangles: Ints, local: Ints, s: Array) -> tuple[Array, Array]:
    """Mean of the two estimates and the points from the origin (e, q, 4), and half the estimates'
    distance (e, q), at places s along edges."""
    samples = np.empty((len(triangles), len(s), 4))
    apart = np.empty((len(triangles), len(s)))
    for e in range(3):
        some = np.flatnonzero(local == e)
        if some.size:
            found = sampled_stress(field, triangles[some], edge_basis(field.order, e, tuple(s)))
            samples[some, :, :2], apart[some] = _mean_and_apart(found)
            samples[some, :, 2:] = found.points
    return samples, apart


def _at_places(field: TorsionField, triangles: Ints, local: Ints, s: Array) -> StressSamples:
    """The two estimates at one place of each of some edges: one place a triangle."""
    ends, rows = np.array(EDGES)[local], np.arange(len(s))
    bary = np.zeros((len(s), 3))
    bary[rows, ends[:, 0]], bary[rows, ends[:, 1]] = 1 - s, s
    corners, bulges = field.mesh.corners[triangles], field.mesh.corner_bulges[triangles]
    points, jacobian = positions_each(corners, bulges, bary[:, 1:])
    _, grad = shape_functions(field.order, bary[:, 1], bary[:, 2])
    inverse = np.linalg.inv(jacobian)
    r = points - field.origin
    slope, turn = (
        np.einsum("tn,tni,tij->tj", part[triangles], grad, inverse)
        for part in (field.phi, field.omega)
    )
    shear = field.shear[triangles, None]
    from_phi = np.stack([slope[:, 1], -slope[:, 0]], axis=1)
    from_omega = shear * (turn + np.stack([-r[:, 1], r[:, 0]], axis=1))
    weights = np.zeros((len(s), 1))
    return StressSamples(from_phi[:, None], from_omega[:, None], r[:, None], weights)


def _mean_and_apart(found: StressSamples) -> tuple[Array, Array]:
    """Mean of the two estimates (n, k, 2), and half the length of their difference (n, k)."""
    half = (found.from_phi - found.from_omega) / 2
    return (found.from_phi + found.from_omega) / 2, np.hypot(half[..., 0], half[..., 1])


@lru_cache(maxsize=32)
def edge_basis(order: int, edge: int, s: tuple[float, ...]) -> Places:
    """Places s of [0, 1] on a local edge and the shape functions there, kept for the next call."""
    a, b = EDGES[edge]
    bary = np.zeros((3, len(s)))
    bary[a], bary[b] = 1 - np.array(s), s
    return places_at(order, bary[1], bary[2])
