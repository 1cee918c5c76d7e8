"""Local refinement: bisecting marked triangles, halving edges, unfolding."""

from __future__ import annotations

import numpy as np

from ....geometry.outline.contour import edge_points, sub_bulge
from ..elements.basis import EDGES
from .section_mesh import Array, Ints, SectionMesh, connect

#: Smallest Jacobian of a curved triangle, by that of the straight one: a folded one would count
#: area twice and void the bounds.
LEAST_STRETCH = 0.1
#: Of each local edge: its vertices and the one that faces it, and the edges from there to both.
_AROUND = np.array([(0, 1, 2), (0, 2, 1), (1, 2, 0)])
_BESIDE = np.array([(1, 2), (0, 2), (0, 1)])


def bisect(mesh: SectionMesh, marked: Ints) -> SectionMesh:
    """Cut the marked triangles through their longest edges, and as many neighbours as keep the mesh
    whole."""
    through = _edge_to_cut(mesh)
    cut = np.zeros(len(mesh.edges), dtype=bool)
    cut[through[marked]] = True
    while True:  # a triangle with a cut edge is cut through its own edge too
        touched = cut[mesh.triangle_edges].any(axis=1) & ~cut[through]
        if not touched.any():
            return split_edges(mesh, np.flatnonzero(cut))
        cut[through[touched]] = True


def _edge_to_cut(mesh: SectionMesh) -> Ints:
    """(t,) edge that each triangle is cut through: the longest one, or the arc of a triangle whose
    median would cross it (an apex that sees its arc at a grazing angle)."""
    local = np.argmax(_lengths(mesh)[mesh.triangle_edges], axis=1)
    arcs = mesh.corner_bulges != 0
    some = np.flatnonzero((arcs.sum(axis=1) == 1) & ~arcs[np.arange(len(arcs)), local])
    if some.size:
        ends = np.array(EDGES)
        arc = np.argmax(arcs[some], axis=1)
        c = mesh.corners[some]
        rows = np.arange(len(some))
        near = c[rows[:, None], ends[arc]]
        middle = c[rows[:, None], ends[local[some]]].mean(axis=1)
        child = np.concatenate([near, middle[:, None]], axis=1)
        bulges = np.zeros((len(some), 3))
        bulges[:, 0] = mesh.corner_bulges[some][rows, arc]
        folds = stretch(child, bulges) < LEAST_STRETCH
        local[some[folds]] = arc[folds]
    return np.asarray(mesh.triangle_edges[np.arange(len(local)), local])


def refined_around(mesh: SectionMesh, places: Array) -> SectionMesh:
    """Bisect the triangles nearest to each of (n, 2) places, and those that share a vertex with
    them.

    A triangle's distance is that of its vertices and edge middles, so that places on borders and
    arcs find the triangle they lie in.
    """
    corners = mesh.corners
    spots = np.concatenate([corners, (corners + np.roll(corners, 1, axis=1)) / 2], axis=1)
    reach = np.hypot(*np.moveaxis(corners - np.roll(corners, 1, axis=1), 2, 0)).max(axis=1)
    marked = np.zeros(len(corners), dtype=bool)
    for place in places:
        distance = np.hypot(*np.moveaxis(spots - place, 2, 0)).min(axis=1)
        own = distance <= np.maximum(distance.min() * (1 + 1e-9), 1e-9 * reach)
        near = np.zeros(len(mesh.vertices), dtype=bool)
        near[mesh.triangles[own]] = True
        marked |= near[mesh.triangles].any(axis=1) & (reach <= 4 * reach[own].max())
    return unfolded(bisect(mesh, np.flatnonzero(marked))) or mesh


def split_edges(mesh: SectionMesh, edges: Ints) -> SectionMesh:
    """Halve the given edges (arcs along the arc) and cut the triangles behind them to match."""
    if not len(edges):
        return mesh
    n = len(mesh.vertices)
    a, b = mesh.edges[edges].T
    p, q = mesh.vertices[a], mesh.vertices[b]
    middle = np.full(len(mesh.edges), -1, dtype=np.int64)
    middle[edges] = n + np.arange(len(edges))
    vertices = np.vstack(
        [mesh.vertices, edge_points(p, q, mesh.bulges[edges], np.array([0.5]))[:, 0]]
    )
    length = _lengths(mesh)
    m = middle[mesh.triangle_edges]
    cut = m >= 0
    count = cut.sum(axis=1)
    v = mesh.triangles
    whole = np.flatnonzero(count == 0)
    # one cut: through the middle of that edge and the vertex that faces it
    one = np.flatnonzero(count == 1)
    e = np.argmax(cut[one], axis=1)
    mid, (i, j, k) = m[one, e], v[one[:, None], _AROUND[e]].T
    # two cuts, one edge whole: its facing vertex keeps a corner, the rest is a quadrilateral, cut
    # from the middle of the longer edge as if that had been cut first
    two = np.flatnonzero(count == 2)
    e = np.argmin(cut[two], axis=1)
    sides = mesh.triangle_edges[two[:, None], _BESIDE[e]]
    swap = length[sides[:, 1]] > length[sides[:, 0]]
    (first, second), (p, q, r) = m[two[:, None], _BESIDE[e]].T, v[two[:, None], _AROUND[e]].T
    long, short = np.where(swap, second, first), np.where(swap, first, second)
    near, far = np.where(swap, q, p), np.where(swap, p, q)
    three = np.flatnonzero(count == 3)
    (a0, a1, a2), (m01, m02, m12) = v[three].T, m[three].T
    children = [
        v[whole],
        *(_rows(i, mid, k), _rows(mid, j, k)),
        *(_rows(r, long, short), _rows(long, near, far), _rows(long, far, short)),
        *(_rows(a0, m01, m02), _rows(a1, m01, m12), _rows(a2, m02, m12), _rows(m01, m02, m12)),
    ]
    parents = [whole, one, one, two, two, two, three, three, three, three]
    half = sub_bulge(mesh.bulges[edges], np.full(len(edges), 0.5))
    kept = np.flatnonzero((mesh.bulges != 0) & (middle < 0))
    pairs = np.vstack([mesh.edges[kept], _pairs(a, middle[edges]), _pairs(middle[edges], b)])
    bulges = np.concatenate([mesh.bulges[kept], half, half])
    parent = np.concatenate(parents)
    return connect(
        vertices, np.vstack(children), mesh.region[parent], pairs, bulges, mesh.depth[parent]
    )


def _lengths(mesh: SectionMesh) -> Array:
    """(e,) distances between the ends of the edges."""
    return np.asarray(
        np.hypot(*(mesh.vertices[mesh.edges[:, 1]] - mesh.vertices[mesh.edges[:, 0]]).T)
    )


def _rows(a: Ints, b: Ints, c: Ints) -> Ints:
    return np.array([a, b, c]).T


def _pairs(a: Ints, b: Ints) -> Ints:
    return np.array([a, b]).T


def smallest_stretch(mesh: SectionMesh) -> Array:
    """(t,) smallest Jacobian determinant over sample points of each triangle, by that of the
    straight one: not positive where an arc folds the map."""
    lowest = np.ones(len(mesh.triangles))
    some = np.flatnonzero(mesh.curved)
    if some.size:
        lowest[some] = stretch(mesh.corners[some], mesh.corner_bulges[some])
    return lowest


def stretch(corners: Array, bulges: Array) -> Array:
    """(n,) the same of triangles (n, 3, 2) with bulges (n, 3) of the local edges."""
    from ..elements.basis import triangle_rule
    from ..elements.curved import positions

    xi, eta, _ = triangle_rule(6)
    xi, eta = np.append(xi, [0.0, 1.0, 0.0]), np.append(eta, [0.0, 0.0, 1.0])
    _, jac = positions(corners, bulges, xi, eta)
    det = jac[..., 0, 0] * jac[..., 1, 1] - jac[..., 0, 1] * jac[..., 1, 0]
    d1, d2 = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    return np.asarray((det / (d1[:, 0] * d2[:, 1] - d1[:, 1] * d2[:, 0])[:, None]).min(axis=1))


def unfolded(mesh: SectionMesh) -> SectionMesh | None:
    """Cut triangles until none is folded by the exact map of its arcs; None where that fails.

    One arc too round for its triangle is halved. Where two arcs of a triangle run on smoothly into
    each other their true angle is straight and no halving helps: its third edge is halved, which
    parts the arcs.
    """
    for _ in range(5):
        bad = np.flatnonzero(smallest_stretch(mesh) < LEAST_STRETCH)
        if not bad.size:
            return mesh
        edges = mesh.triangle_edges[bad]
        arcs = mesh.bulges[edges] != 0
        ears = arcs.sum(axis=1) == 2
        cut = np.where(ears[:, None], ~arcs, arcs)
        mesh = split_edges(mesh, np.unique(edges[cut]))
    return None
