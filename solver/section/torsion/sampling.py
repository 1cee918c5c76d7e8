"""Both estimates of the shear stress per unit twist, at the same places of many triangles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..elements.basis import Places
from ..elements.integrals import stations_of
from ..mesh.section_mesh import Array, Ints
from .interval import TorsionField


@dataclass(frozen=True, slots=True, eq=False)
class StressSamples:
    """Stresses per unit twist of t triangles at q places each.

    Attributes
    ----------
    from_phi, from_omega : (t, q, 2)
        From the stress function, (phi_y, -phi_x), and from the warping, G (grad omega + (-y, x)).
    points : (t, q, 2)
        From the origin of the field.
    weights : (t, q)
        Of the places, as areas.
    """

    from_phi: Array
    from_omega: Array
    points: Array
    weights: Array


def sampled_stress(field: TorsionField, triangles: Ints, places: Places) -> StressSamples:
    """Evaluate the fields; triangles without arcs apart, by their one Jacobian."""
    curved = field.mesh.curved[triangles]
    if curved.all() or not curved.any():
        return _of_one_kind(field, triangles, places)
    q = len(places[0])
    one, two, points = (np.empty((len(triangles), q, 2)) for _ in range(3))
    out = StressSamples(one, two, points, np.empty((len(triangles), q)))
    for some in (np.flatnonzero(~curved), np.flatnonzero(curved)):
        found = _of_one_kind(field, triangles[some], places)
        out.from_phi[some], out.from_omega[some] = found.from_phi, found.from_omega
        out.points[some], out.weights[some] = found.points, found.weights
    return out


def _of_one_kind(field: TorsionField, triangles: Ints, places: Places) -> StressSamples:
    stations = stations_of(field.mesh, triangles, *places)
    return StressSamples(
        field.stress_from_phi(stations, triangles),
        field.stress_from_omega(stations, triangles),
        stations.points - field.origin,
        stations.weights,
    )


def interpolation(nodes: Array, places: Array) -> Array:
    """(..., k) values at places (...) of the Lagrange polynomials of nodes (k,) in [0, 1], by the
    second barycentric formula (Berrut & Trefethen, SIAM Rev. 46 (2004) 501)."""
    apart = nodes[:, None] - nodes
    np.fill_diagonal(apart, 0.25)  # about one over the capacity of [0, 1]: keeps products in range
    weight = 1 / np.prod(apart / 0.25, axis=1)
    distance = places[..., None] - nodes
    distance[distance == 0] = 1e-300
    terms = weight / distance
    return np.asarray(terms / terms.sum(axis=-1, keepdims=True))
