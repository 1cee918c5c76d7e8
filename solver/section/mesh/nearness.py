"""How near the nodes and edges of a section come to each other, and sizes that grow with distance.

Small sections compare all with all. In large ones (an outline of ten thousand vertices) a search
tree leaves out what is too far away to matter; the results are the same.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from ....geometry.outline.contour import arc_circles
from ....geometry.planar.near_boxes import edge_boxes
from .section_mesh import Array, Ints

#: Ratio of sizes within which the nearest node is taken for the one that rules.
_SIZE_CLASS = 1.3
#: Distances held at once.
CHUNK = 4_000_000
#: Up to so many pairs all are compared: some tens of milliseconds.
_ALL_PAIRS = 1_000_000
#: Neighbours a node may have in the tree before its row is compared as a whole.
_CROWDED = 64


def node_clearance(nodes: Array, edges: Ints, start: Array, end: Array, bulges: Array) -> Array:
    """(n,) distance of each node to the nearest edge it is not an end of."""
    if len(nodes) * len(edges) <= _ALL_PAIRS:
        best = _clearance_of(np.arange(len(nodes)), nodes, edges, start, end, bulges)
    else:
        best, sure = _clearance_nearby(nodes, edges, start, end, bulges)
        rest = np.flatnonzero(~sure)
        best[rest] = _clearance_of(rest, nodes, edges, start, end, bulges)
    finite = np.isfinite(best)
    best[~finite] = np.hypot(*np.ptp(nodes, axis=0))
    return best


def _clearance_of(
    which: Ints, nodes: Array, edges: Ints, start: Array, end: Array, bulges: Array
) -> Array:
    """The same of some nodes, by all edges."""
    best = np.full(len(which), np.inf)
    step = max(1, CHUNK // max(len(edges), 1))
    for first in range(0, len(which), step):
        who = which[first : first + step]
        d = edge_distance(nodes[who, None], start, end, bulges)
        d[(edges[:, 0] == who[:, None]) | (edges[:, 1] == who[:, None])] = np.inf
        best[first : first + step] = d.min(axis=1)
    return best


def _clearance_nearby(
    nodes: Array, edges: Ints, start: Array, end: Array, bulges: Array
) -> tuple[Array, np.ndarray]:
    """The same by the edges within the distance of the fourth node around, and whether that was
    far enough to be sure."""
    from scipy.spatial import cKDTree
    from shapely import STRtree, box

    reach = cKDTree(nodes).query(nodes, k=5)[0][:, -1]
    tree = STRtree(box(*(np.hstack(edge_boxes(start, end, bulges)).T)))
    low, high = nodes - reach[:, None], nodes + reach[:, None]
    node, edge = tree.query(box(*low.T, *high.T))
    apart = (edges[edge] != node[:, None]).all(axis=1)
    node, edge = node[apart], edge[apart]
    best = np.full(len(nodes), np.inf)
    for first in range(0, len(node), CHUNK):
        some = slice(first, first + CHUNK)
        k = edge[some]
        d = edge_distance(nodes[node[some]], start[k], end[k], bulges[k])
        np.minimum.at(best, node[some], d)
    return best, best <= reach


def edge_distance(points: Array, start: Array, end: Array, bulges: Array) -> Array:
    """Distances from points to straight or arc edges.

    Points (n, 1, 2) with edges (m, 2) give all pairs (n, m); points (m, 2) one an edge, (m,).
    """
    d = end - start
    rel = points - start
    t = np.clip(np.einsum("...mi,mi->...m", rel, d) / np.sum(d * d, axis=1), 0, 1)
    out = np.hypot(rel[..., 0] - t * d[:, 0], rel[..., 1] - t * d[:, 1])
    arcs = np.flatnonzero(bulges)
    if arcs.size:
        own = points if points.ndim == 3 else points[arcs]
        centre, radius = arc_circles(start[arcs], end[arcs], bulges[arcs])
        from_centre = own - centre
        right = np.stack([d[arcs, 1], -d[arcs, 0]], axis=1)
        middle = (start[arcs] + end[arcs] + bulges[arcs, None] * right) / 2 - centre
        r = np.hypot(from_centre[..., 0], from_centre[..., 1])
        half = 2 * np.arctan(np.abs(bulges[arcs]))
        within = np.einsum("...mi,mi->...m", from_centre, middle) >= r * radius * np.cos(half)
        to_end = own - end[arcs]
        to_ends = np.minimum(
            np.hypot(rel[..., arcs, 0], rel[..., arcs, 1]),
            np.hypot(to_end[..., 0], to_end[..., 1]),
        )
        out[..., arcs] = np.where(within, np.abs(r - radius), to_ends)
    return np.asarray(out)


def graded(nodes: Array, size: Array, growth: float) -> Array:
    """Largest sizes not above the given ones that grow no faster than `growth` with distance."""
    out = size.copy()
    rows = np.arange(len(nodes))
    if len(nodes) ** 2 > _ALL_PAIRS:
        from scipy.spatial import cKDTree

        # a node farther than size/growth cannot lower it
        tree, reach = cKDTree(nodes), size / growth
        few = tree.query_ball_point(nodes, reach, return_length=True) <= _CROWDED
        near = tree.query_ball_point(nodes[few], reach[few])
        own = np.repeat(np.flatnonzero(few), [len(n) for n in near])
        other = np.concatenate([*near, np.empty(0)]).astype(np.int64)
        d = np.hypot(*(nodes[own] - nodes[other]).T)
        np.minimum.at(out, own, size[other] + growth * d)
        rows = np.flatnonzero(~few)
    step = max(1, CHUNK // len(nodes))
    for first in range(0, len(rows), step):
        some = rows[first : first + step]
        d = np.hypot(*np.moveaxis(nodes[some, None] - nodes, 2, 0))
        out[some] = (size + growth * d).min(axis=1)
    return out


def size_among(nodes: Array, size: Array, growth: float) -> Callable[[Array], Array]:
    """A function of (k, 2) spots: the size there, as nodes of the given sizes leave it that grow by
    `growth` with distance.

    Of nodes whose sizes differ by less than _SIZE_CLASS the nearest is taken for the best, so the
    size may come out larger by that part of it; the cost is near linear in nodes and spots.
    """
    from scipy.spatial import cKDTree

    kind = np.round(np.log(size) / np.log(_SIZE_CLASS)).astype(np.int64)
    classes = [np.flatnonzero(kind == one) for one in np.unique(kind)]
    trees = [(some, cKDTree(nodes[some]), size[some].min()) for some in classes]

    def sizes(spots: Array) -> Array:
        out = np.full(len(spots), np.inf)
        for some, tree, least in trees:
            open_ = np.flatnonzero(out > least)
            if not open_.size:
                break
            d, k = tree.query(spots[open_])
            out[open_] = np.minimum(out[open_], size[some[k]] + growth * d)
        return out

    return sizes
