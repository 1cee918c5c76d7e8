"""Points of triangles that move with their mesh, where integrals over it are differentiated.

While the mesh moves with the velocity V, what stands at a point moves along with it. A function of
fixed coefficients keeps its value there, its gradient changes by -DV^T grad, with DV_ij =
dV_i/dx_j, and an area by div V. The derivative of an integral over all triangles follows, without a
look at the border, and holds at interfaces and sharp corners as everywhere (the domain form of
shape derivatives; for how much more exact it is than the border's form see Hiptmair, Paganini &
Sargheini, BIT 55 (2015) 459).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ..elements.basis import Places, sampled_basis
from ..elements.curved import position_rates
from ..elements.integrals import CURVED_EXTRA, TrianglePoints, stations_of
from ..mesh.section_mesh import Array, Ints, SectionMesh
from .mesh_rate import MeshRate

#: Gauss points a direction beyond the order, by which products of two fields and a coordinate are
#: integrated exactly on straight triangles.
EXTRA = 2


@dataclass(frozen=True, slots=True, eq=False)
class MovingPoints:
    """The same places of some triangles, and how they move.

    Attributes
    ----------
    triangles : (t,) int
    stations : TrianglePoints
    velocity : (t, q, 2)
        V.
    slope : (t, q, 2, 2)
        DV; (t, 1, 2, 2) where all the triangles are straight.
    """

    triangles: Ints
    stations: TrianglePoints
    velocity: Array
    slope: Array

    @property
    def divergence(self) -> Array:
        """(t, q) or (t, 1) div V."""
        return np.asarray(self.slope[..., 0, 0] + self.slope[..., 1, 1])

    def carried(self, gradient: Array) -> Array:
        """DV^T g of vectors (t, q, 2): by so much the gradient of a carried function falls."""
        s = self.slope
        x = s[..., 0, 0] * gradient[..., 0] + s[..., 1, 0] * gradient[..., 1]
        y = s[..., 0, 1] * gradient[..., 0] + s[..., 1, 1] * gradient[..., 1]
        return np.stack([x, y], axis=-1)

    def along(self, vector: Array) -> Array:
        """DV v of vectors (t, q, 2)."""
        s = self.slope
        x = s[..., 0, 0] * vector[..., 0] + s[..., 0, 1] * vector[..., 1]
        y = s[..., 1, 0] * vector[..., 0] + s[..., 1, 1] * vector[..., 1]
        return np.stack([x, y], axis=-1)

    @property
    def spin(self) -> Array:
        """(t, q, 2) rate of (-y, x)."""
        return np.stack([-self.velocity[..., 1], self.velocity[..., 0]], axis=-1)


def moving_points(
    mesh: SectionMesh, rate: MeshRate, triangles: Ints, places: Places
) -> MovingPoints:
    """Places of some triangles, all straight or not, and how they move."""
    stations = stations_of(mesh, triangles, *places)
    velocity, turning = position_rates(
        mesh.corners[triangles],
        mesh.corner_bulges[triangles],
        rate.vertices[mesh.triangles[triangles]],
        rate.bulges[mesh.triangle_edges[triangles]],
        places[0],
        places[1],
    )
    if stations.inverse.shape[1] == 1:
        turning = turning[:, :1]
    return MovingPoints(triangles, stations, velocity, np.asarray(turning @ stations.inverse))


def rule_points(mesh: SectionMesh, rate: MeshRate, order: int) -> Iterator[MovingPoints]:
    """Gauss points of all triangles: of the straight ones, then of those with arcs."""
    curved = mesh.curved
    for some, extra in ((np.flatnonzero(~curved), EXTRA), (np.flatnonzero(curved), CURVED_EXTRA)):
        if some.size:
            yield moving_points(mesh, rate, some, sampled_basis(order, order + extra))
