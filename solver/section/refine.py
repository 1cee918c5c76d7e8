"""Local refinement: bisecting marked triangles, and cutting geometrically toward corners."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...geometry.contour import edge_points, sub_bulge
from .basis import EDGES
from .mesh import Array, Ints, SectionMesh, connect

#: Smallest Jacobian of a curved triangle, by that of the straight one: a folded one would count
#: area twice and void the bounds.
LEAST_STRETCH = 0.1
#: Ratio of the geometric cuts toward a corner: near the optimum (sqrt(2) - 1)^2 = 0.17 for r^lambda
#: singularities (Gui & Babuska, Numer. Math. 49 (1986) 577).
RATIO = 0.15


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
    count = (m >= 0).sum(axis=1)
    children, parents = [mesh.triangles[count == 0]], [np.flatnonzero(count == 0)]
    v = mesh.triangles
    opposite = {0: 2, 1: 1, 2: 0}  # vertex facing local edge (0,1), (0,2), (1,2)
    for e, (i, j) in enumerate(EDGES):
        k = opposite[e]
        t = np.flatnonzero((count == 1) & (m[:, e] >= 0))
        mid = m[t, e]
        children += [_rows(v[t, i], mid, v[t, k]), _rows(mid, v[t, j], v[t, k])]
        parents += [t, t]
        # two cuts, this edge whole: its facing vertex k keeps a corner, the rest is a
        # quadrilateral, cut from the middle of the longer edge as if that had been cut first
        t = np.flatnonzero((count == 2) & (m[:, e] < 0))
        ik, jk = _edge_of(i, k), _edge_of(j, k)
        swap = length[mesh.triangle_edges[t, jk]] > length[mesh.triangle_edges[t, ik]]
        near, far = np.where(swap, v[t, j], v[t, i]), np.where(swap, v[t, i], v[t, j])
        long, short = np.where(swap, (m[t, jk], m[t, ik]), (m[t, ik], m[t, jk]))
        children += [_rows(v[t, k], long, short), _rows(long, near, far), _rows(long, far, short)]
        parents += [t, t, t]
    t = np.flatnonzero(count == 3)
    m01, m02, m12 = m[t].T
    children += [
        _rows(v[t, 0], m01, m02),
        _rows(v[t, 1], m01, m12),
        _rows(v[t, 2], m02, m12),
        _rows(m01, m02, m12),
    ]
    parents += [t] * 4
    half = sub_bulge(mesh.bulges[edges], np.full(len(edges), 0.5))
    whole = np.flatnonzero((mesh.bulges != 0) & (middle < 0))
    pairs = np.vstack([mesh.edges[whole], _pairs(a, middle[edges]), _pairs(middle[edges], b)])
    bulges = np.concatenate([mesh.bulges[whole], half, half])
    parent = np.concatenate(parents)
    return connect(
        vertices, np.vstack(children), mesh.region[parent], pairs, bulges, mesh.depth[parent]
    )


def cut_toward(mesh: SectionMesh, corners: Ints, layers: Ints | int = 1) -> SectionMesh:
    """Cut every triangle at the given vertices parallel to its far edge, at `RATIO`, `RATIO`^2, ...
    of its edges: as many geometric `layers` as asked for at each vertex.

    Edges that join two of the vertices are halved first, so that no triangle has two of them.
    """
    wanted = np.zeros(len(mesh.vertices), dtype=np.int64)
    wanted[corners] = layers
    if not wanted.any():
        return mesh
    mesh = split_edges(mesh, np.flatnonzero((wanted[mesh.edges] > 0).all(axis=1)))
    wanted = np.append(wanted, np.zeros(len(mesh.vertices) - len(wanted), dtype=np.int64))
    ladder = _Ladder.toward(mesh, wanted)
    most = wanted[mesh.triangles]
    rest, t = np.flatnonzero(~most.any(axis=1)), np.flatnonzero(most.any(axis=1))
    at_v = np.argmax(most[t] > 0, axis=1)
    sides = [mesh.triangle_edges[t, _edge_of_array(at_v, (at_v + k) % 3)] for k in (1, 2)]
    side_i, side_j = (ladder.rungs[ladder.number[side]] for side in sides)
    v = mesh.triangles[t, at_v]
    n, own = wanted[v], np.arange(len(t))
    one, k = _counted(n)
    mi, mj, oi, oj = side_i[one, k], side_j[one, k], side_i[one, k - 1], side_j[one, k - 1]
    children = [mesh.triangles[rest], _rows(v, side_i[own, n], side_j[own, n])]
    children += [_rows(mi, oi, oj), _rows(mi, oj, mj)]
    parent = np.concatenate([rest, t, t[one], t[one]])
    deeper = np.concatenate([np.zeros(len(rest), dtype=np.int64), n, k - 1, k - 1])
    whole = np.flatnonzero((mesh.bulges != 0) & (ladder.number < 0))
    pairs, bulges = ladder.arcs()
    return connect(
        np.vstack([mesh.vertices, ladder.points]),
        np.vstack(children),
        mesh.region[parent],
        np.vstack([mesh.edges[whole], pairs]),
        np.concatenate([mesh.bulges[whole], bulges]),
        mesh.depth[parent] + deeper,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Ladder:
    """The edges that run into corners, each cut as often as its corner wants layers.

    Attributes
    ----------
    number : (e,) int
        Row of each mesh edge below, -1 for those that stay whole.
    near : (m,) int
        The corner.
    count : (m,) int
        How often the edge is cut.
    bulges : (m,)
        From the corner outward.
    rungs : (m, most + 1) int
        Vertices from the far end to the last one before the corner.
    points : (k, 2)
        The new vertices.
    """

    number: Ints
    near: Ints
    count: Ints
    bulges: Array
    rungs: Ints
    points: Array

    @classmethod
    def toward(cls, mesh: SectionMesh, wanted: Ints) -> _Ladder:
        """Cut the edges at vertices that want layers."""
        at = wanted[mesh.edges] > 0
        cut = np.flatnonzero(at.any(axis=1))
        near, far = np.where(at[cut, 1], mesh.edges[cut, ::-1].T, mesh.edges[cut].T)
        bulges = np.where(at[cut, 1], -1.0, 1.0) * mesh.bulges[cut]
        count = wanted[near]
        edge, rung = _counted(count)
        rungs = np.full((len(cut), int(count.max()) + 1), -1, dtype=np.int64)
        rungs[:, 0] = far
        rungs[edge, rung] = len(mesh.vertices) + np.arange(len(edge))
        corner, end = mesh.vertices[near[edge]], mesh.vertices[far[edge]]
        points = edge_points(corner, end, bulges[edge], RATIO ** rung[:, None].astype(float))
        number = np.full(len(mesh.edges), -1, dtype=np.int64)
        number[cut] = np.arange(len(cut))
        return cls(number, near, count, bulges, rungs, points[:, 0])

    def arcs(self) -> tuple[Ints, Array]:
        """The pieces of those edges that are arcs: vertices (p, 2) and bulges (p,)."""
        arcs = np.flatnonzero(self.bulges)
        piece, step = _counted(self.count[arcs])
        own, last = arcs[piece], self.count[arcs]
        pairs = [
            _pairs(self.rungs[own, step], self.rungs[own, step - 1]),
            _pairs(self.near[arcs], self.rungs[arcs, last]),
        ]
        between = RATIO ** (step - 1.0) - RATIO ** step.astype(float)
        bulges = [
            sub_bulge(self.bulges[own], between),
            sub_bulge(self.bulges[arcs], RATIO ** last.astype(float)),
        ]
        return np.vstack(pairs), np.concatenate(bulges)


def _counted(count: Ints) -> tuple[Ints, Ints]:
    """Each index repeated `count` times, and beside it 1, 2, ... count."""
    index = np.repeat(np.arange(len(count)), count)
    return index, np.arange(1, len(index) + 1) - np.repeat(np.cumsum(count) - count, count)


def _lengths(mesh: SectionMesh) -> Array:
    """(e,) distances between the ends of the edges."""
    return np.asarray(
        np.hypot(*(mesh.vertices[mesh.edges[:, 1]] - mesh.vertices[mesh.edges[:, 0]]).T)
    )


def _rows(a: Ints, b: Ints, c: Ints) -> Ints:
    return np.stack([a, b, c], axis=1)


def _pairs(a: Ints, b: Ints) -> Ints:
    return np.stack([a, b], axis=1)


def _edge_of(i: int, j: int) -> int:
    """Local edge that joins local vertices i and j."""
    return EDGES.index((min(i, j), max(i, j)))


def _edge_of_array(i: Ints, j: Ints) -> Ints:
    return i + j - 1  # (0,1) -> 0, (0,2) -> 1, (1,2) -> 2


def smallest_stretch(mesh: SectionMesh) -> Array:
    """(t,) smallest Jacobian determinant over sample points of each triangle, by that of the
    straight one: not positive where an arc folds the map."""
    lowest = np.ones(len(mesh.triangles))
    some = np.flatnonzero(mesh.corner_bulges.any(axis=1))
    if some.size:
        lowest[some] = stretch(mesh.corners[some], mesh.corner_bulges[some])
    return lowest


def stretch(corners: Array, bulges: Array) -> Array:
    """(n,) the same of triangles (n, 3, 2) with bulges (n, 3) of the local edges."""
    from .basis import triangle_rule
    from .curved import positions

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
