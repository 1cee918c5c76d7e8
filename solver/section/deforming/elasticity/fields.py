"""Displacement fields on a section's mesh: three components, many columns at once.

A column is one field (u_x, u_y, u_z)(x, y), given by the coefficients of the shape functions of
`basis`, bubbles included, numbered vertices first, then edges, then bubbles.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ...elements.basis import Places, local_size, shape_functions
from ...elements.curved import positions, positions_each
from ...elements.integrals import _inverse
from ...mesh.section_mesh import Array, Ints, SectionMesh

#: Newton's steps from a place that is nearly right.
_STEPS = 3
#: Numbers held at once while fields are evaluated at single places.
_CHUNK = 1_000_000


def function_numbers(mesh: SectionMesh, order: int) -> tuple[Ints, int]:
    """(t, n) global number of each shape function, and how many there are."""
    t, v, e = len(mesh.triangles), len(mesh.vertices), len(mesh.edges)
    edge = mesh.triangle_edges[..., None] * (order - 1) + np.arange(order - 1) + v
    inner = local_size(order) - 3 * order
    first = v + e * (order - 1)
    bubble = first + np.arange(t)[:, None] * inner + np.arange(inner)
    numbers = np.concatenate([mesh.triangles, edge.reshape(t, -1), bubble], axis=1)
    return numbers, first + t * inner


@dataclass(frozen=True, slots=True, eq=False)
class Spots:
    """Places of triangles where fields are evaluated.

    Attributes
    ----------
    triangles : (t,) int
    points : (t, q, 2)
    weights : (t, q)
        Areas; zero where the places belong to no rule.
    inverse : (t, q, 2, 2)
        d (xi, eta) / d (x, y).
    value : (q, n), grad : (q, n, 2)
        Shape functions on the unit triangle.
    speed : (t, q, 2), optional
        d (x, y) / dz of the mesh's points, where the piece tapers.
    """

    triangles: Ints
    points: Array
    weights: Array
    inverse: Array
    value: Array
    grad: Array
    speed: Array | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Fields:
    """Displacement fields.

    Attributes
    ----------
    mesh : SectionMesh
    order : int
    numbers : (t, n) int
        Global number of each triangle's shape functions.
    coefficients : (count, 3, c)
        Of the functions, the components and the columns.
    linear : (count, 2)
        Coefficients of x and y.
    toward : Fields, optional
        On a mesh of the same triangles with other places and arcs: the section is `share` of the
        way from `mesh` to it, and moves along z by their difference times `rate`.
    share, rate : float
    """

    mesh: SectionMesh
    order: int
    numbers: Ints
    coefficients: Array
    linear: Array
    toward: Fields | None = None
    share: float = 0.0
    rate: float = 0.0

    @property
    def curved(self) -> NDArray[np.bool_]:
        """(t,) which triangles have an arc."""
        if self.toward is None:
            return self.mesh.curved
        return np.asarray(self.mesh.curved | self.toward.mesh.curved)

    @property
    def lines(self) -> Array:
        """(count, 2) coefficients of x and y where the section is."""
        if self.toward is None:
            return self.linear
        return (1 - self.share) * self.linear + self.share * self.toward.linear

    def placed(self) -> SectionMesh:
        """The mesh where the section is; arcs that change shape on the way are met nearly."""
        if self.toward is None:
            return self.mesh
        a, b, s = self.mesh, self.toward.mesh, self.share
        return replace(
            a,
            vertices=(1 - s) * a.vertices + s * b.vertices,
            bulges=(1 - s) * a.bulges + s * b.bulges,
        )

    def settled(self, triangles: Ints, xi: Array, eta: Array, points: Array) -> tuple[Array, Array]:
        """(xi, eta) of points by Newton's method from places near them."""
        for _ in range(_STEPS):
            spots = self.each(triangles, xi, eta)
            left = points - spots.points[:, 0]
            step = np.einsum("tad,td->ta", spots.inverse[:, 0], left)
            xi, eta = xi + step[:, 0], eta + step[:, 1]
        return xi, eta

    def spots(self, triangles: Ints, places: Places) -> Spots:
        """The given places of some triangles."""
        xi, eta, w, value, grad = places
        mesh = self.mesh
        x, jac = positions(mesh.corners[triangles], mesh.corner_bulges[triangles], xi, eta)
        speed = None
        if self.toward is not None:
            end = self.toward.mesh
            to, turned = positions(end.corners[triangles], end.corner_bulges[triangles], xi, eta)
            speed = self.rate * (to - x)
            x, jac = x + self.share * (to - x), jac + self.share * (turned - jac)
        det = jac[..., 0, 0] * jac[..., 1, 1] - jac[..., 0, 1] * jac[..., 1, 0]
        return Spots(triangles, x, np.abs(det) * w, _inverse(jac, det), value, grad, speed)

    def each(self, triangles: Ints, xi: Array, eta: Array) -> Spots:
        """One place of each of some triangles, which may repeat: q is 1, and the shape functions
        differ from row to row, (t, n) and (t, n, 2)."""
        mesh, place = self.mesh, np.stack([xi, eta], axis=1)
        value, grad = shape_functions(self.order, xi, eta)
        x, jac = positions_each(mesh.corners[triangles], mesh.corner_bulges[triangles], place)
        speed = None
        if self.toward is not None:
            end = self.toward.mesh
            to, turned = positions_each(end.corners[triangles], end.corner_bulges[triangles], place)
            speed = self.rate * (to - x)[:, None]
            x, jac = x + self.share * (to - x), jac + self.share * (turned - jac)
        inverse = _inverse(jac, np.linalg.det(jac))[:, None]
        return Spots(triangles, x[:, None], np.zeros((len(x), 1)), inverse, value, grad, speed)

    def at_each(self, spots: Spots) -> tuple[Array, Array]:
        """As `at`, for what `each` gives."""
        c = self.coefficients[self.numbers[spots.triangles]]
        u = np.einsum("tn,tndc->tdc", spots.value, c, optimize=True)[:, None]
        slope = np.einsum("tna,tndc->atdc", spots.grad, c, optimize=True)
        gradient = np.einsum("atdc,tae->etdc", slope, spots.inverse[:, 0], optimize=True)
        return u, gradient[:, :, None]

    def displacements(self, triangles: Ints, xi: Array, eta: Array) -> Array:
        """(k, 3, c) displacements at one place of each of some triangles, which may repeat."""
        out = np.empty((len(triangles), *self.coefficients.shape[1:]))
        step = max(1, _CHUNK // (self.numbers.shape[1] * self.coefficients[0].size))
        for first in range(0, len(triangles), step):
            some = slice(first, first + step)
            value, _ = shape_functions(self.order, xi[some], eta[some])
            c = self.coefficients[self.numbers[triangles[some]]]
            out[some] = np.einsum("tn,tndc->tdc", value, c, optimize=True)
        return out

    def at(self, spots: Spots) -> tuple[Array, Array]:
        """Displacements (t, q, 3, c) and their derivatives (2, t, q, 3, c) by x and y."""
        c = self.coefficients[self.numbers[spots.triangles]]
        t, n, three, columns = c.shape
        flat = c.reshape(t, n, three * columns)
        shape = (t, len(spots.value), three, columns)
        u = (spots.value @ flat).reshape(shape)
        by_xi, by_eta = (
            (np.ascontiguousarray(spots.grad[..., k]) @ flat).reshape(shape) for k in (0, 1)
        )
        turn = spots.inverse[..., None, None]
        gradient = np.stack([by_xi * turn[:, :, 0, d] + by_eta * turn[:, :, 1, d] for d in (0, 1)])
        return u, gradient
