"""Both estimates of the shear stress per unit twist, at the same places of many triangles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .elements import stations_of
from .mesh import Array, Ints
from .torsion import TorsionField

#: xi, eta, weights (q,), values (q, n) and derivatives (q, n, 2) of the shape functions at places
#: of the unit triangle, as `basis.sampled_basis` returns them.
Places = tuple[Array, Array, Array, Array, Array]


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
    """Evaluate the fields; triangles without arcs by their one Jacobian."""
    q = len(places[0])
    one, two, points = (np.empty((len(triangles), q, 2)) for _ in range(3))
    out = StressSamples(one, two, points, np.empty((len(triangles), q)))
    curved = field.mesh.corner_bulges[triangles].any(axis=1)
    for some, evaluate in ((~curved, _straight), (curved, _curved)):
        if some.all():
            return evaluate(field, triangles, places)
        if some.any():
            part = evaluate(field, triangles[some], places)
            out.from_phi[some], out.from_omega[some] = part.from_phi, part.from_omega
            out.points[some], out.weights[some] = part.points, part.weights
    return out


def _straight(field: TorsionField, triangles: Ints, places: Places) -> StressSamples:
    xi, eta, w, _, grad = places
    q, n, _ = grad.shape
    corners = field.mesh.corners[triangles] - field.origin
    a, b = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    det = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    # d (xi, eta) / d (x, y), and the same with columns (d/dy, -d/dx): the turned gradient
    slope = np.stack([b[:, 1], -b[:, 0], -a[:, 1], a[:, 0]], axis=1).reshape(-1, 2, 2)
    slope /= det[:, None, None]
    turned = np.stack([slope[..., 1], -slope[..., 0]], axis=2)
    local = grad.transpose(1, 0, 2).reshape(n, 2 * q)
    from_phi = (field.phi[triangles] @ local).reshape(-1, q, 2) @ turned
    bary = np.stack([1 - xi - eta, xi, eta], axis=1)
    points = bary @ corners
    from_omega = (field.omega[triangles] @ local).reshape(-1, q, 2) @ slope
    from_omega[..., 0] -= points[..., 1]
    from_omega[..., 1] += points[..., 0]
    from_omega *= field.shear[triangles, None, None]
    return StressSamples(from_phi, from_omega, points, np.abs(det)[:, None] * w)


def _curved(field: TorsionField, triangles: Ints, places: Places) -> StressSamples:
    stations = stations_of(field.mesh, triangles, *places)
    g = stations.gradients(field.phi[triangles])
    h = stations.gradients(field.omega[triangles])
    points = stations.points - field.origin
    spin = np.stack([-points[..., 1], points[..., 0]], axis=2)
    return StressSamples(
        np.stack([g[..., 1], -g[..., 0]], axis=2),
        field.shear[triangles, None, None] * (h + spin),
        points,
        stations.weights,
    )
