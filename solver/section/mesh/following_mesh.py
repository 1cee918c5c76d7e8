"""A mesh that follows its outline: while dimensions change a little its nodes move along, and no
mesh generator is called.

Nodes on borders keep their share of their edge, arcs their share of the arc. The nodes inside take
the harmonic displacement, by linear elements on the triangles themselves: it reproduces every
affine change exactly and so keeps layers toward corners in proportion. Bounds found on such a mesh
are as true as on a new one, for it covers the outline exactly and no triangle of it is folded.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.contour import edge_points, sub_bulge
from ....geometry.outline.edge_places import places_on
from ....geometry.planar.planar_map import PlanarMap
from .membrane import membrane_stiffness
from .refinement import stretch
from .section_mesh import Array, Ints, SectionMesh

#: A vertex is on an edge within this share of the mesh's size.
_ON = 1e-9
#: A triangle may lose so much of its shape (area by squared edges), and a curved one shrink to this
#: share of the straight one, before a new mesh is made.
LEAST_SHAPE, LEAST_STRETCH = 0.4, 0.05
#: Pairs of a vertex and an edge that are looked at.
MOST_PAIRS = 1_000_000


@dataclass(frozen=True, slots=True, eq=False)
class FollowingMesh:
    """A mesh with where its nodes lie on a planar map's edges.

    Attributes
    ----------
    plan : PlanarMap
        That it was made of.
    mesh : SectionMesh
    vertex, edge, share : (b,)
        Vertices on borders, the edge of the map that each lies on, and where on it (0 to 1).
    arc, arc_edge, arc_share : (a,)
        Curved edges of the mesh, the edge of the map, and the signed part of it that each is.
    inner : (i,) int
        Vertices inside.
    system, coupling
        Factored Laplacian of those, and its columns for `vertex`.
    """

    plan: PlanarMap
    mesh: SectionMesh
    vertex: Ints
    edge: Ints
    share: Array
    arc: Ints
    arc_edge: Ints
    arc_share: Array
    inner: Ints
    system: Any
    coupling: Any

    @classmethod
    def of(cls, plan: PlanarMap, mesh: SectionMesh) -> FollowingMesh | None:
        """None of a mesh too large to follow a hand anyway, and where a vertex on the border is on
        no edge."""
        from scipy.sparse.linalg import splu

        if len(mesh.vertices) * len(plan.edges) > MOST_PAIRS:
            return None
        start, end = plan.nodes[plan.edges[:, 0]], plan.nodes[plan.edges[:, 1]]
        near = _ON * float(np.ptp(mesh.vertices, axis=0).max())
        share = places_on(mesh.vertices, start, end, plan.bulges, near).T
        on = ~np.isnan(share)
        vertex = np.flatnonzero(on.any(axis=1))
        edge = np.argmax(on[vertex], axis=1)
        arc = np.flatnonzero(mesh.bulges)
        a, b = mesh.edges[arc].T
        part = share[b] - share[a]
        wrong = np.abs(sub_bulge(plan.bulges, part) - mesh.bulges[arc, None])
        wrong[~(on[a] & on[b])] = np.inf
        arc_edge = np.argmin(wrong, axis=1) if arc.size else arc
        rows = np.arange(len(arc))
        if arc.size and wrong[rows, arc_edge].max() > 1e-6:
            return None
        border = mesh.edges[mesh.edge_triangles()[:, 1] < 0]
        if not on[border.ravel()].any(axis=1).all():
            return None
        inner = np.setdiff1d(np.arange(len(mesh.vertices)), vertex)
        stiff = membrane_stiffness(mesh)
        system = splu(stiff[inner][:, inner].tocsc()) if inner.size else None
        return cls(plan, mesh, vertex, edge, share[vertex, edge], arc, arc_edge,
                   part[rows, arc_edge], inner, system, stiff[inner][:, vertex])  # fmt: skip

    def onto(self, plan: PlanarMap) -> SectionMesh | None:
        """The mesh of another map of the same edges; None where there are others, or where a
        triangle would be bent out of shape."""
        if not _alike(self.plan, plan):
            return None
        start, end = (plan.nodes[plan.edges[:, k]][None] for k in (0, 1))
        vertices, bulges, sound = self.moved(start, end, plan.bulges[None])
        return replace(self.mesh, vertices=vertices[0], bulges=bulges[0]) if sound[0] else None

    def moved(
        self, start: Array, end: Array, bulges: Array
    ) -> tuple[Array, Array, NDArray[np.bool_]]:
        """Vertices (k, v, 2) and bulges (k, e) of the mesh on k sets of its map's edges, (k, m, 2)
        starts and ends and (k, m) bulges; and which of them (k,) bend no triangle out of shape."""
        mesh, k = self.mesh, len(start)
        share = np.tile(self.share, k)[:, None]
        p, q = (part[:, self.edge].reshape(-1, 2) for part in (start, end))
        on = edge_points(p, q, bulges[:, self.edge].ravel(), share).reshape(k, -1, 2)
        vertices = np.repeat(mesh.vertices[None], k, axis=0)
        vertices[:, self.vertex] = on
        if self.inner.size:
            shift = (on - mesh.vertices[self.vertex]).transpose(1, 0, 2).reshape(len(on[0]), -1)
            inner = self.system.solve(np.ascontiguousarray(-(self.coupling @ shift)))
            vertices[:, self.inner] += inner.reshape(-1, k, 2).transpose(1, 0, 2)
        bent = np.repeat(mesh.bulges[None], k, axis=0)
        bent[:, self.arc] = sub_bulge(bulges[:, self.arc_edge], self.arc_share)
        corners = vertices[:, mesh.triangles]
        kept = _shapes(corners) / _shapes(mesh.corners) > LEAST_SHAPE
        sound: NDArray[np.bool_] = np.asarray(kept.all(axis=1), dtype=np.bool_)
        if self.arc.size:
            some = np.flatnonzero(mesh.curved)
            curves = bent[:, mesh.triangle_edges[some]].reshape(-1, 3)
            least = stretch(corners[:, some].reshape(-1, 3, 2), curves).reshape(k, -1).min(axis=1)
            sound &= least > LEAST_STRETCH
        return vertices, bent, sound


def _alike(one: PlanarMap, other: PlanarMap) -> bool:
    """Whether two maps have the same edges between the same nodes, and the same loops."""
    if len(one.nodes) != len(other.nodes) or len(one.faces) != len(other.faces):
        return False
    pairs = [(one.edges, other.edges), (one.slit, other.slit), (one.bulges != 0, other.bulges != 0)]
    pairs += zip(one.embedded, other.embedded, strict=True)
    for loops, others in zip(one.faces, other.faces, strict=True):
        if len(loops) != len(others):
            return False
        pairs += zip(loops, others, strict=True)
    return all(np.array_equal(a, b) for a, b in pairs)


def _shapes(corners: Array) -> Array:
    """(..., t) signed area of each triangle (..., t, 3, 2) by its squared edges."""
    one, two = (corners[..., k, :] - corners[..., 0, :] for k in (1, 2))
    area = one[..., 0] * two[..., 1] - one[..., 1] * two[..., 0]
    squares = (one**2 + two**2 + (one - two) ** 2).sum(axis=-1)
    return np.asarray(area / squares)
