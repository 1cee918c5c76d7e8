"""A triangulation of the section whose border edges are the exact lines and arcs of its
contours."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.contour import edge_tangents, segment_area
from ..elements.basis import EDGES

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class SectionMesh:
    """Triangles with straight or circular-arc edges.

    Attributes
    ----------
    vertices : (v, 2)
    triangles : (t, 3) int
        Vertex numbers, ascending in each row (so the winding varies).
    region : (t,) int
        Region of the section each triangle belongs to.
    depth : (t,) int
        How many cuts toward a corner made the triangle (see `corner_layers.cut_toward`).
    edges : (e, 2) int
        Vertex numbers, ascending.
    bulges : (e,)
        Bulge of each edge from its lower to its higher vertex number; 0 for straight ones.
    triangle_edges : (t, 3) int
        Edge number of the local edges `basis.EDGES`.
    """

    vertices: Array
    triangles: Ints
    region: Ints
    depth: Ints
    edges: Ints
    bulges: Array
    triangle_edges: Ints

    @property
    def corners(self) -> Array:
        """(t, 3, 2) vertex coordinates of each triangle."""
        return self.vertices[self.triangles]

    @property
    def corner_bulges(self) -> Array:
        """(t, 3) bulges of the local edges."""
        return self.bulges[self.triangle_edges]

    @property
    def curved(self) -> NDArray[np.bool_]:
        """(t,) which triangles have an arc."""
        return np.asarray(self.corner_bulges.any(axis=1), dtype=np.bool_)

    def edge_triangles(self) -> Ints:
        """(e, 2) triangles on each edge; the second is -1 on the border of the material."""
        flat = self.triangle_edges.ravel()
        order = np.argsort(flat, kind="stable")
        first = np.searchsorted(flat[order], np.arange(len(self.edges)))
        count = np.bincount(flat, minlength=len(self.edges))
        tri = order // 3
        second = np.where(count > 1, tri[np.minimum(first + 1, len(tri) - 1)], -1)
        return np.stack([tri[first], second], axis=1)

    def edge_depth(self) -> Ints:
        """(e,) smallest depth of the triangles on each edge."""
        out = np.full(len(self.edges), np.iinfo(np.int64).max)
        np.minimum.at(out, self.triangle_edges.ravel(), np.repeat(self.depth, 3))
        return out

    def winding(self) -> Array:
        """(t,) +1 where the sorted row runs anticlockwise, -1 where clockwise."""
        c = self.corners
        d1, d2 = c[:, 1] - c[:, 0], c[:, 2] - c[:, 0]
        return np.sign(d1[:, 0] * d2[:, 1] - d1[:, 1] * d2[:, 0])


def connect(
    vertices: Array,
    triangles: Ints,
    region: Ints,
    arc_pairs: Ints,
    arc_bulges: Array,
    depth: Ints | None = None,
) -> SectionMesh:
    """Build the edges of a triangulation.

    `arc_pairs` (m, 2) with `arc_bulges` (m,) say which vertex pairs are joined by arcs, and how,
    from the first to the second of the pair; repeats are allowed.
    """
    tri = np.sort(np.asarray(triangles, dtype=np.int64), axis=1)
    n = len(vertices)
    pairs = tri[:, EDGES]
    keys = pairs[..., 0] * n + pairs[..., 1]
    unique, inverse = np.unique(keys.ravel(), return_inverse=True)
    bulges = np.zeros(len(unique))
    if len(arc_pairs):
        swapped = arc_pairs[:, 0] > arc_pairs[:, 1]
        arc_keys = np.min(arc_pairs, axis=1) * n + np.max(arc_pairs, axis=1)
        where = np.minimum(np.searchsorted(unique, arc_keys), len(unique) - 1)
        found = unique[where] == arc_keys
        bulges[where[found]] = np.where(swapped, -arc_bulges, arc_bulges)[found]
    edges = np.stack([unique // n, unique % n], axis=1)
    if depth is None:
        depth = np.zeros(len(tri), dtype=np.int64)
    return SectionMesh(vertices, tri, region, depth, edges, bulges, inverse.reshape(-1, 3))


def part(mesh: SectionMesh, cut_edges: Ints) -> SectionMesh:
    """Part the mesh along some of its edges: every vertex there gets one copy for each group of
    triangles that still hang together around it."""
    if not len(cut_edges):
        return mesh
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    cut = np.zeros(len(mesh.edges), dtype=bool)
    cut[cut_edges] = True
    pair = mesh.edge_triangles()
    joined = np.flatnonzero((pair[:, 1] >= 0) & ~cut)
    corner = []
    for side in (0, 1):
        t = pair[joined, side]
        rows = mesh.triangles[t]
        corner.append(
            np.concatenate(
                [3 * t + np.argmax(rows == mesh.edges[joined, k, None], axis=1) for k in (0, 1)]
            )
        )
    size = 3 * len(mesh.triangles)
    graph = coo_array((np.ones(len(corner[0])), (corner[0], corner[1])), shape=(size, size))
    count, label = connected_components(graph, directed=False)
    vertices = np.empty((count, 2))
    vertices[label] = mesh.vertices[mesh.triangles.ravel()]
    triangles = label.reshape(-1, 3).astype(np.int64)
    pairs, bulges = [], []
    for k, (a, b) in enumerate(EDGES):
        bulge = mesh.bulges[mesh.triangle_edges[:, k]]
        some = bulge != 0
        pairs.append(triangles[some][:, [a, b]])
        bulges.append(bulge[some])
    return connect(
        vertices, triangles, mesh.region, np.vstack(pairs), np.concatenate(bulges), mesh.depth
    )


@dataclass(frozen=True, slots=True, eq=False)
class Border:
    """The border of the material, run with the material on its left.

    Attributes
    ----------
    edges : (b,) int
        Mesh edges on the border.
    triangles : (b,) int
        The triangle behind each.
    start, end : (b,) int
        Vertices in running order.
    bulges : (b,)
        Bulges in running order.
    loop : (b,) int
        Number of the closed loop each edge belongs to.
    loop_areas : (k,)
        Signed area inside each loop: positive for the outer border, negative for a hole.
    """

    edges: Ints
    triangles: Ints
    start: Ints
    end: Ints
    bulges: Array
    loop: Ints
    loop_areas: Array


@lru_cache(maxsize=4)
def border_of(mesh: SectionMesh) -> Border:
    """The border loops of a mesh, kept for all that ask."""
    pair = mesh.edge_triangles()
    edges = np.flatnonzero(pair[:, 1] < 0)
    tri = pair[edges, 0]
    local = np.argmax(mesh.triangle_edges[tri] == edges[:, None], axis=1)
    # The sorted row (0, 1, 2) is run 0 -> 1 -> 2 -> 0 when anticlockwise: edge (0, 2) is then met
    # backwards.
    backwards = (mesh.winding()[tri] > 0) == (local == 1)
    a, b = mesh.edges[edges].T
    start, end = np.where(backwards, b, a), np.where(backwards, a, b)
    bulges = np.where(backwards, -1.0, 1.0) * mesh.bulges[edges]
    loop = _loops(start, end, len(mesh.vertices))
    origin = mesh.vertices.mean(axis=0)
    p, q = mesh.vertices[start] - origin, mesh.vertices[end] - origin
    swept = (p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]) / 2 + segment_area(
        np.sum((q - p) ** 2, axis=1), bulges
    )
    areas: Array = np.bincount(loop, swept).astype(np.float64)
    return Border(edges, tri, start, end, bulges, loop, areas)


def _loops(start: Ints, end: Ints, size: int) -> Ints:
    """(b,) number of the closed loop that each edge belongs to; one edge starts at each vertex."""
    leaving = np.empty(size, dtype=np.int64)
    leaving[start] = np.arange(len(start))
    ahead, lowest = leaving[end], np.arange(len(start))
    for _ in range(len(start).bit_length()):  # twice as far round at each turn
        lowest = np.minimum(lowest, lowest[ahead])
        ahead = ahead[ahead]
    return np.asarray(np.unique(lowest, return_inverse=True)[1], dtype=np.int64)


def border_angles(mesh: SectionMesh, border: Border) -> Array:
    """(v,) interior angle of the material at each border vertex, between true tangents; nan
    elsewhere."""
    p, q = mesh.vertices[border.start], mesh.vertices[border.end]
    ends = edge_tangents(p, q, border.bulges, np.array([0.0, 1.0]))
    leaving = np.full((len(mesh.vertices), 2), np.nan)
    arriving = np.full((len(mesh.vertices), 2), np.nan)
    leaving[border.start] = ends[:, 0]
    arriving[border.end] = ends[:, 1]
    cross = arriving[:, 0] * leaving[:, 1] - arriving[:, 1] * leaving[:, 0]
    turn = np.arctan2(cross, np.sum(arriving * leaving, axis=1))
    # A slit's tip turns by half a turn either way; the corner's own triangles tell which.
    angle = np.asarray(np.pi - turn)
    tips = np.flatnonzero(np.abs(turn) > np.pi * (1 - 1e-5))
    if tips.size:
        angle[tips[_corner_sum(mesh)[tips] > np.pi]] = 2 * np.pi
    return angle


def _corner_sum(mesh: SectionMesh) -> Array:
    """(v,) sum of the chord angles of the triangles at each vertex."""
    c = mesh.corners
    total = np.zeros(len(mesh.vertices))
    for i in range(3):
        d1, d2 = c[:, (i + 1) % 3] - c[:, i], c[:, (i + 2) % 3] - c[:, i]
        angle = np.abs(
            np.arctan2(d1[:, 0] * d2[:, 1] - d1[:, 1] * d2[:, 0], np.sum(d1 * d2, axis=1))
        )
        np.add.at(total, mesh.triangles[:, i], angle)
    return total
