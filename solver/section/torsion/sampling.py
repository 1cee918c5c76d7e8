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
    q = len(places[0])
    one, two, points = (np.empty((len(triangles), q, 2)) for _ in range(3))
    out = StressSamples(one, two, points, np.empty((len(triangles), q)))
    curved = field.mesh.curved[triangles]
    for some in (~curved, curved):
        if some.any():
            own = triangles[some]
            stations = stations_of(field.mesh, own, *places)
            out.from_phi[some] = field.stress_from_phi(stations, own)
            out.from_omega[some] = field.stress_from_omega(stations, own)
            out.points[some] = stations.points - field.origin
            out.weights[some] = stations.weights
    return out


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
