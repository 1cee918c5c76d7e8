"""Element integrals and fields on a mesh, for all triangles at once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ..mesh.section_mesh import Array, Ints, SectionMesh
from .basis import local_size, places_at, reference_element, sampled_basis
from .curved import positions

#: Extra Gauss points per direction on curved triangles, whose integrands are not polynomials: for
#: the systems, and for what is summed from their solutions (an error of 1e-11 at order 4, 1e-14 at
#: order 6 with arcs of 45 degrees).
ROUGH_EXTRA, CURVED_EXTRA = 1, 4


@dataclass(frozen=True, slots=True, eq=False)
class ElementIntegrals:
    """Integrals of the shape functions over each triangle.

    Attributes
    ----------
    kind : (t,) int
        Row of `stiffness` that belongs to each triangle.
    stiffness : (k, n, n)
        int grad N . grad N. Similar triangles have the same, whatever their size: the layers toward
        a corner and the corners of a section repeat a few shapes.
    area_load : (t, n)
        int N.
    spin_load : (t, n)
        int (-y, x) . grad N, about the origin given.
    """

    kind: Ints
    stiffness: Array
    area_load: Array
    spin_load: Array


def element_integrals(mesh: SectionMesh, order: int, origin: Array) -> ElementIntegrals:
    """Integrate the shape functions of one order over all triangles of a mesh."""
    curved = np.flatnonzero(mesh.curved)
    corners = mesh.corners - origin
    out = _straight(corners, order, mesh.curved)
    if curved.size:
        own = _curved(corners[curved], mesh.corner_bulges[curved], order, ROUGH_EXTRA)
        out.stiffness[out.kind[curved]] = own.stiffness
        out.area_load[curved] = own.area_load
        out.spin_load[curved] = own.spin_load
    return out


def _straight(corners: Array, order: int, alone: NDArray[np.bool_]) -> ElementIntegrals:
    ref = reference_element(order)
    jac = np.stack([corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]], axis=2)
    det = jac[:, 0, 0] * jac[:, 1, 1] - jac[:, 0, 1] * jac[:, 1, 0]
    inv = _inverse(jac, det)
    scaled = inv * np.abs(det)[:, None, None]
    metric = (inv[:, [0, 0, 1]] * scaled[:, [0, 1, 1]]).sum(axis=2)
    first, kind = _similar(metric, alone)
    n = local_size(order)
    stiffness = (metric[first] @ ref.stiffness.reshape(3, -1)).reshape(-1, n, n)
    area_load = np.abs(det)[:, None] * ref.mass_row
    # (-y, x) at the vertices, linear in between, pulled back to the unit triangle
    spin = (
        corners[..., 0, None] * scaled[:, None, :, 1]
        - corners[..., 1, None] * scaled[:, None, :, 0]
    )
    spin_load = spin.reshape(-1, 6) @ ref.first_moments.transpose(0, 2, 1).reshape(6, n)
    return ElementIntegrals(kind, stiffness, area_load, spin_load)


def _similar(metric: Array, alone: NDArray[np.bool_]) -> tuple[Ints, Ints]:
    """One triangle of each shape (k,), and the shape of each triangle (t,), by the metrics (t, 3);
    triangles that stand `alone` have a shape of their own.

    The bounds are summed from the fields on the true triangles, so what counts as the same shape
    cannot void them: shapes that differ in the tenth digit move the fields' energy in the
    twentieth.
    """
    a, b, c = metric.T
    own = np.where(alone, np.arange(1, len(metric) + 1), 0)
    shape = np.stack([np.log(a), np.log(c), b / np.sqrt(a * c)])
    keys = np.vstack([np.rint(shape * 1e11), own])
    order = np.lexsort(keys)
    new = (np.diff(keys[:, order], axis=1) != 0).any(axis=0)
    kind = np.empty(len(metric), dtype=np.int64)
    kind[order] = np.concatenate([[0], np.cumsum(new)])
    return order[np.concatenate([[True], new])], kind


def _curved(corners: Array, bulges: Array, order: int, extra: int) -> ElementIntegrals:
    xi, eta, w, value, grad = sampled_basis(order, order + extra)
    n, q = local_size(order), len(w)
    products = _slope_products(order, order + extra)
    by_place = np.concatenate([grad[..., 0], grad[..., 1]])
    stiffness = np.empty((len(corners), n, n))
    area_load = np.empty((len(corners), n))
    spin_load = np.empty((len(corners), n))
    step = max(1, 8_000_000 // (q * n))
    for first in range(0, len(corners), step):
        some = slice(first, first + step)
        x, jac = positions(corners[some], bulges[some], xi, eta)
        (a, b), (c, d) = np.moveaxis(jac, (2, 3), (0, 1))
        det = a * d - b * c
        weight = np.abs(det) * w
        scale = weight / det
        # the slopes of xi, eta are (d, -b)/det, (-c, a)/det
        metric = np.concatenate([d * d + b * b, -(c * d + a * b), c * c + a * a], axis=1)
        upper = (metric * np.tile(scale / det, 3)) @ products
        stiffness[some] = upper[:, _both_triangles(n)].reshape(-1, n, n)
        area_load[some] = weight @ value
        # (-y, x) . grad, as a sum over both slopes
        u, v = x[..., 0], x[..., 1]
        turning = np.concatenate([-(v * d + u * b), v * c + u * a], axis=1)
        spin_load[some] = (turning * np.tile(scale, 2)) @ by_place
    return ElementIntegrals(np.arange(len(corners)), stiffness, area_load, spin_load)


@lru_cache(maxsize=16)
def _both_triangles(size: int) -> Ints:
    """(size^2,) where each entry of a symmetric matrix stands in its upper triangle."""
    i, j = np.triu_indices(size)
    where = np.empty((size, size), dtype=np.int64)
    where[i, j] = where[j, i] = np.arange(len(i))
    return where.ravel()


@lru_cache(maxsize=4)
def _slope_products(order: int, points: int) -> Array:
    """(3 q, n (n + 1)/2) products of two functions' slopes at the nodes of `triangle_rule`, the
    upper triangle: by xi and xi, by xi and eta in both orders, by eta and eta."""
    grad = sampled_basis(order, points)[4]
    x, y = grad[..., 0], grad[..., 1]
    i, j = np.triu_indices(x.shape[1])
    mixed = x[:, i] * y[:, j]
    mixed += y[:, i] * x[:, j]
    return np.concatenate([x[:, i] * x[:, j], mixed, y[:, i] * y[:, j]])


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
class TrianglePoints:
    """Points of every triangle at the same places of the unit triangle.

    Attributes
    ----------
    points : (t, q, 2)
    weights : (t, q)
        Integration weights (area); only meaningful when the places are those of a rule.
    inverse : (t, q, 2, 2)
        d (xi, eta) / d x; (t, 1, 2, 2) where all the triangles are straight.
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

    def slopes(self, coefficients: Array) -> tuple[Array, Array]:
        """(t, q) slopes by x, and by y, of a field given by (t, n) coefficients."""
        one, two = (coefficients @ self.grad[..., c].T for c in (0, 1))
        (a, b), (c, d) = np.moveaxis(self.inverse, (2, 3), (0, 1))
        return one * a + two * c, one * b + two * d

    def gradients(self, coefficients: Array) -> Array:
        """(t, q, 2) gradients of a field given by (t, n) coefficients."""
        return np.stack(self.slopes(coefficients), axis=2)

    def tested(self, vectors: Array) -> Array:
        """(t, n) integrals of vectors . grad N, for vectors (t, q, 2) at the points of a rule."""
        q, n, _ = self.grad.shape
        weighted = vectors * self.weights[..., None]
        local = np.einsum("tqd,tqkd->tqk", weighted, self.inverse)
        return np.asarray(local.reshape(-1, 2 * q) @ self.grad.transpose(0, 2, 1).reshape(2 * q, n))


def rule_stations(
    mesh: SectionMesh, order: int, points: int, triangles: Ints | slice = slice(None)
) -> TrianglePoints:
    """Stations at the Gauss points of `basis.triangle_rule`."""
    return stations_of(mesh, triangles, *sampled_basis(order, points))


def stations_at(
    mesh: SectionMesh, order: int, xi: Array, eta: Array, triangles: Ints | slice = slice(None)
) -> TrianglePoints:
    """Stations at given places of the unit triangle."""
    return stations_of(mesh, triangles, *places_at(order, xi, eta))


def stations_of(
    mesh: SectionMesh,
    triangles: Ints | slice,
    xi: Array,
    eta: Array,
    w: Array,
    value: Array,
    grad: Array,
) -> TrianglePoints:
    """Stations at given places with shape functions already evaluated there."""
    corners, bulges = mesh.corners[triangles], mesh.corner_bulges[triangles]
    x, jac = positions(corners, bulges, xi, eta)
    if not bulges.any():
        jac = jac[:, :1]
    det = jac[..., 0, 0] * jac[..., 1, 1] - jac[..., 0, 1] * jac[..., 1, 0]
    return TrianglePoints(x, np.abs(det) * w, _inverse(jac, det), value, grad)
