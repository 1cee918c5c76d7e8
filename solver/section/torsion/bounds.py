"""Both bounds of J from the two fields, and each triangle's part of what lies between."""

from __future__ import annotations

import numpy as np

from ..elements.integrals import CURVED_EXTRA, ROUGH_EXTRA, TrianglePoints, rule_stations
from ..mesh.section_mesh import Array, Ints, SectionMesh

#: Relative allowance for rounding in the sums that make up the lower bound: about 1e4 terms of
#: 1e-16.
ROUNDING = 2e-13


def bounds_of(
    mesh: SectionMesh,
    order: int,
    origin: Array,
    shear: Array,
    phi: Array,
    omega: Array,
    hole_term: float,
) -> tuple[float, Array, float]:
    """Lower bound, gap per triangle, and the allowance for rounding and quadrature.

    All is summed from the fields themselves, on the true triangles: it bounds J whatever the
    systems' solutions lack.
    """
    parts = triangle_parts(mesh, order, origin, shear, phi, omega)
    lower, allowance = summed_bounds(parts[None], np.array([hole_term]))
    return float(lower[0]), parts[2], float(allowance[0])


def summed_bounds(parts: Array, hole_term: Array) -> tuple[Array, Array]:
    """(k,) lower bounds of k sections and their allowances, from the parts (k, 4, t) of their
    triangles and the terms (k,) of their holes."""
    work, energy, _, doubt = parts.sum(axis=2).T
    lower = 2 * (work + hole_term) - energy
    return lower, 0.1 * doubt + ROUNDING * (energy + np.abs(work) + np.abs(hole_term))


def triangle_parts(
    mesh: SectionMesh, order: int, origin: Array, shear: Array, phi: Array, omega: Array
) -> Array:
    """(4, t) twice the volume under phi, its energy, the energy of the disagreement between the
    two fields, and how far a coarser rule is off these, which is nothing where the rule is
    exact."""
    straight, curved = np.flatnonzero(~mesh.curved), np.flatnonzero(mesh.curved)
    parts = np.zeros((4, len(mesh.triangles)))

    def summed(some: Ints, extra: int) -> Array:
        stations = rule_stations(mesh, order, order + extra, some)
        return _sums(stations, origin, shear[some], phi[some], omega[some])

    parts[:3, straight] = summed(straight, 0)  # exact to degree 2 (order - 1)
    if curved.size:
        # Curved triangles are integrated by a rule that is not exact: a coarser one says how far
        # off.
        parts[:3, curved] = fine = summed(curved, CURVED_EXTRA)
        shift = fine - summed(curved, ROUGH_EXTRA)
        parts[3, curved] = np.abs(2 * shift[0] - shift[1]) + np.abs(shift[2])
    return parts


def _sums(stations: TrianglePoints, origin: Array, shear: Array, phi: Array, omega: Array) -> Array:
    """(3, t) twice the volume under phi, its energy, and the energy of the disagreement between the
    two fields."""
    g = shear[:, None]
    slope = stations.gradients(phi)
    volume = np.einsum("tq,tq->t", stations.values(phi), stations.weights)
    energy = np.einsum("tqd,tqd,tq->t", slope, slope, stations.weights) / shear
    turn = stations.gradients(omega)
    r = stations.points - origin
    dx = turn[..., 0] - r[..., 1] - slope[..., 1] / g
    dy = turn[..., 1] + r[..., 0] + slope[..., 0] / g
    gap = np.einsum("tq,tq->t", dx**2 + dy**2, stations.weights) * shear
    return np.stack([2 * volume, energy, gap])
