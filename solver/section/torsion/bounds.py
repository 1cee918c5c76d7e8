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
    straight, curved = np.flatnonzero(~mesh.curved), np.flatnonzero(mesh.curved)
    work, energy, gap = sums = np.empty((3, len(mesh.triangles)))

    def summed(some: Ints, extra: int) -> Array:
        stations = rule_stations(mesh, order, order + extra, some)
        return _sums(stations, origin, shear[some], phi[some], omega[some])

    sums[:, straight] = summed(straight, 0)  # exact to degree 2 (order - 1)
    allowance = 0.0
    if curved.size:
        # Curved triangles are integrated by a rule that is not exact: a coarser one says how far
        # off.
        sums[:, curved] = fine = summed(curved, CURVED_EXTRA)
        shift = fine - summed(curved, ROUGH_EXTRA)
        allowance = 0.1 * float(np.abs(2 * shift[0] - shift[1]).sum() + np.abs(shift[2]).sum())
    lower = float(2 * (work.sum() + hole_term) - energy.sum())
    allowance += ROUNDING * (float(energy.sum()) + abs(float(work.sum())) + abs(hole_term))
    return lower, gap, allowance


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
