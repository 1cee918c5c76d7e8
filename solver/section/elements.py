"""Element integrals and fields on a mesh, for all triangles at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .basis import local_size, reference_element, sampled_basis, shape_functions
from .curved import positions
from .mesh import Array, Ints, SectionMesh

#: Extra Gauss points per direction on curved triangles, whose integrands are not polynomials.
CURVED_EXTRA = 4


@dataclass(frozen=True, slots=True, eq=False)
class ElementIntegrals:
    """Integrals of the shape functions over each triangle.

    Attributes
    ----------
    stiffness : (t, n, n)
        int grad N . grad N.
    area_load : (t, n)
        int N.
    spin_load : (t, n)
        int (-y, x) . grad N, about the origin given.
    """

    stiffness: Array
    area_load: Array
    spin_load: Array


def element_integrals(mesh: SectionMesh, order: int, origin: Array) -> ElementIntegrals:
    """Integrate the shape functions of one order over all triangles of a mesh."""
    curved = np.flatnonzero(mesh.corner_bulges.any(axis=1))
    corners = mesh.corners - origin
    out = _straight(corners, order)
    if curved.size:
        own = _curved(corners[curved], mesh.corner_bulges[curved], order, CURVED_EXTRA)
        out.stiffness[curved] = own.stiffness
        out.area_load[curved] = own.area_load
        out.spin_load[curved] = own.spin_load
    return out


def _straight(corners: Array, order: int) -> ElementIntegrals:
    ref = reference_element(order)
    jac = np.stack([corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]], axis=2)
    det = jac[:, 0, 0] * jac[:, 1, 1] - jac[:, 0, 1] * jac[:, 1, 0]
    inv = _inverse(jac, det)
    metric = inv @ inv.transpose(0, 2, 1) * np.abs(det)[:, None, None]
    weights = np.stack([metric[:, 0, 0], metric[:, 0, 1], metric[:, 1, 1]], axis=1)
    n = local_size(order)
    stiffness = (weights @ ref.stiffness.reshape(3, -1)).reshape(-1, n, n)
    area_load = np.abs(det)[:, None] * ref.mass_row
    spin = np.stack(
        [-corners[..., 1], corners[..., 0]], axis=2
    )  # at the vertices; linear in between
    pulled = np.einsum("tid,tjd->tij", spin, inv * np.abs(det)[:, None, None], optimize=True)
    spin_load = np.einsum("tij,inj->tn", pulled, ref.first_moments, optimize=True)
    return ElementIntegrals(stiffness, area_load, spin_load)


def _curved(corners: Array, bulges: Array, order: int, extra: int) -> ElementIntegrals:
    xi, eta, w, value, grad = sampled_basis(order, order + extra)
    n = local_size(order)
    stiffness = np.empty((len(corners), n, n))
    area_load = np.empty((len(corners), n))
    spin_load = np.empty((len(corners), n))
    step = max(1, 8_000_000 // (len(w) * n))
    for first in range(0, len(corners), step):
        some = slice(first, first + step)
        x, jac = positions(corners[some], bulges[some], xi, eta)
        det = jac[..., 0, 0] * jac[..., 1, 1] - jac[..., 0, 1] * jac[..., 1, 0]
        inv = _inverse(jac, det)
        weight = np.abs(det) * w
        # two planes of one derivative each: (t, q, n)
        slopes = [
            grad[..., 0] * inv[..., 0, d, None] + grad[..., 1] * inv[..., 1, d, None]
            for d in (0, 1)
        ]
        root = np.sqrt(weight)[..., None]
        rows = np.concatenate([s * root for s in slopes], axis=1)
        stiffness[some] = rows.transpose(0, 2, 1) @ rows
        area_load[some] = weight @ value
        spin_load[some] = np.einsum("tq,tqn->tn", -x[..., 1] * weight, slopes[0]) + np.einsum(
            "tq,tqn->tn", x[..., 0] * weight, slopes[1]
        )
    return ElementIntegrals(stiffness, area_load, spin_load)


def _inverse(jac: Array, det: Array) -> Array:
    """Inverse of (..., 2, 2) Jacobians: d (xi, eta)_i / d x_j."""
    out = np.empty_like(jac)
    out[..., 0, 0] = jac[..., 1, 1]
    out[..., 1, 1] = jac[..., 0, 0]
    out[..., 0, 1] = -jac[..., 0, 1]
    out[..., 1, 0] = -jac[..., 1, 0]
    out /= det[..., None, None]
    return out


@dataclass(frozen=True, slots=True, eq=False)
class Stations:
    """Points of every triangle at the same places of the unit triangle.

    Attributes
    ----------
    points : (t, q, 2)
    weights : (t, q)
        Integration weights (area); only meaningful when the places are those of a rule.
    inverse : (t, q, 2, 2)
        d (xi, eta) / d x.
    value, grad : (q, n), (q, n, 2)
        Shape functions on the unit triangle.
    """

    points: Array
    weights: Array
    inverse: Array
    value: Array
    grad: Array

    def values(self, coefficients: Array) -> Array:
        """(t, q) values of a field given by (t, n) coefficients."""
        return coefficients @ self.value.T

    def gradients(self, coefficients: Array) -> Array:
        """(t, q, 2) gradients of a field given by (t, n) coefficients."""
        q, n, _ = self.grad.shape
        local = coefficients @ self.grad.transpose(1, 0, 2).reshape(n, 2 * q)
        local = local.reshape(len(coefficients), q, 2)
        return np.stack(
            [
                local[..., 0] * self.inverse[..., 0, d] + local[..., 1] * self.inverse[..., 1, d]
                for d in (0, 1)
            ],
            axis=2,
        )


def rule_stations(
    mesh: SectionMesh, order: int, points: int, triangles: Ints | slice = slice(None)
) -> Stations:
    """Stations at the Gauss points of `basis.triangle_rule`."""
    xi, eta, w, value, grad = sampled_basis(order, points)
    return stations_of(mesh, triangles, xi, eta, w, value, grad)


def stations_at(
    mesh: SectionMesh, order: int, xi: Array, eta: Array, triangles: Ints | slice = slice(None)
) -> Stations:
    """Stations at given places of the unit triangle."""
    value, grad = shape_functions(order, xi, eta)
    return stations_of(mesh, triangles, xi, eta, np.zeros(len(xi)), value, grad)


def stations_of(
    mesh: SectionMesh,
    triangles: Ints | slice,
    xi: Array,
    eta: Array,
    w: Array,
    value: Array,
    grad: Array,
) -> Stations:
    """Stations at given places with shape functions already evaluated there."""
    x, jac = positions(mesh.corners[triangles], mesh.corner_bulges[triangles], xi, eta)
    det = jac[..., 0, 0] * jac[..., 1, 1] - jac[..., 0, 1] * jac[..., 1, 0]
    return Stations(x, np.abs(det) * w, _inverse(jac, det), value, grad)
