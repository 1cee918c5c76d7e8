"""Both bounds of J from the two fields, and each triangle's part of what lies between."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from ..elements.basis import Places, sampled_basis
from ..elements.integrals import CURVED_EXTRA, ROUGH_EXTRA, TrianglePoints, stations_of
from ..mesh.section_mesh import Array, SectionMesh
from .stress_modes import StressModes, straight_parts, stress_modes

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
    modes = stress_modes(mesh, order, origin, shear, phi, omega)
    parts = triangle_parts(mesh, order, origin, shear, phi, omega, modes)
    lower, allowance = summed_bounds(parts[None], np.array([hole_term]))
    return float(lower[0]), parts[2], float(allowance[0])


def summed_bounds(parts: Array, hole_term: Array) -> tuple[Array, Array]:
    """(k,) lower bounds of k sections and their allowances, from the parts (k, 4, t) of their
    triangles and the terms (k,) of their holes."""
    work, energy, _, doubt = parts.sum(axis=2).T
    lower = 2 * (work + hole_term) - energy
    return lower, 0.1 * doubt + ROUNDING * (energy + np.abs(work) + np.abs(hole_term))


def triangle_parts(
    mesh: SectionMesh,
    order: int,
    origin: Array,
    shear: Array,
    phi: Array,
    omega: Array,
    modes: StressModes,
) -> Array:
    """(4, t) twice the volume under phi, its energy, the energy of the disagreement between the
    two fields, and how far a coarser rule is off these, which is nothing where the rule is
    exact. `modes` are those of the straight triangles."""
    parts = np.zeros((4, len(mesh.triangles)))
    parts[:3, modes.triangles] = straight_parts(modes, shear, phi)
    curved = np.flatnonzero(mesh.curved)
    if curved.size:
        # Curved triangles are integrated by a rule that is not exact: a coarser one says how far
        # off.
        stations = stations_of(mesh, curved, *_both_rules(order))
        fine, rough = _sums(stations, origin, shear[curved], phi[curved], omega[curved], order)
        parts[:3, curved], shift = fine, fine - rough
        parts[3, curved] = np.abs(2 * shift[0] - shift[1]) + np.abs(shift[2])
    return parts


@lru_cache(maxsize=16)
def _both_rules(order: int) -> Places:
    """The places of the finer rule of curved triangles, then those of the coarser one."""
    rules = [sampled_basis(order, order + extra) for extra in (CURVED_EXTRA, ROUGH_EXTRA)]
    xi, eta, weight, value, grad = (np.concatenate(parts) for parts in zip(*rules, strict=True))
    return xi, eta, weight, value, grad


def _sums(
    stations: TrianglePoints, origin: Array, shear: Array, phi: Array, omega: Array, order: int
) -> list[Array]:
    """(3, t) by either rule: twice the volume under phi, its energy, and the energy of the
    disagreement between the two fields."""
    g = shear[:, None]
    (x, y), (turn_x, turn_y) = stations.slopes(phi), stations.slopes(omega)
    r = stations.points - origin
    dx = turn_x - r[..., 1] - y / g
    dy = turn_y + r[..., 0] + x / g
    parts = 2 * stations.values(phi), (x * x + y * y) / g, (dx * dx + dy * dy) * g
    finer = (order + CURVED_EXTRA) ** 2
    return [
        np.stack([np.einsum("tq,tq->t", p[:, q], stations.weights[:, q]) for p in parts])
        for q in (slice(finer), slice(finer, None))
    ]
