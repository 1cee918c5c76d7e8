"""The arrangement of a set of edges: cut where they meet, nodes merged, coincident pieces kept
once.

It knows nothing of contours or regions; maps, checks and boolean operations read it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..outline.contour import sub_bulge
from .crossings import Meetings, meetings
from .near_boxes import box_pairs

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

#: Two pieces between the same nodes are one when their middles are closer than this many
#: tolerances: each of the four ends may have been moved by one when nodes were merged.
_SAME_MIDDLE = 4.0


@dataclass(frozen=True, slots=True, eq=False)
class Arrangement:
    """Nodes, edges between them, and how each source edge runs along them.

    Attributes
    ----------
    nodes : (n, 2) float array
    edges : (m, 2) int array
        Start and end node of each edge, in the direction of its first source.
    bulges : (m,) float array
    source : (k,) int array
        Source edge of each piece, ascending; the pieces of one source follow each other from its
        start.
    piece : (k,) int array
        The edge that the piece is.
    forward : (k,) bool array
        True where the source runs from the edge's start to its end.
    tail : (k,) int array
        Node where the piece starts, seen along its source.
    meetings : Meetings
        The places the edges were cut at.
    tolerance : float
    """

    nodes: Array
    edges: Ints
    bulges: Array
    source: Ints
    piece: Ints
    forward: Bools
    tail: Ints
    meetings: Meetings
    tolerance: float


def arrange(start: Array, end: Array, bulge: Array, tolerance: float) -> Arrangement:
    """Arrange edges, given as start (n, 2), end (n, 2) and bulge (n,).

    Edges no longer than the tolerance vanish in a node.
    """
    n = len(start)
    met = meetings(start, end, bulge, tolerance)
    label, nodes = _merge(np.vstack([start, end, met.points]), tolerance)
    own = np.arange(n)
    source = np.concatenate([own, own, met.first, met.second])
    at = np.concatenate([np.zeros(n), np.ones(n), met.at_first, met.at_second])
    node = np.concatenate([label, label[2 * n :]])
    order = np.lexsort((at, source))
    source, at, node = source[order], at[order], node[order]
    piece = np.flatnonzero((source[1:] == source[:-1]) & (node[1:] != node[:-1]))
    source, tail, head = source[piece], node[piece], node[piece + 1]
    share = at[piece + 1] - at[piece]
    b = np.where(share == 1.0, bulge[source], sub_bulge(bulge[source], share))
    first, index = _unify(tail, head, b, nodes, tolerance)
    edges = np.stack([tail[first], head[first]], axis=1)
    return Arrangement(
        nodes, edges, b[first], source, index, edges[index, 0] == tail, tail, met, tolerance
    )


def _merge(points: Array, tolerance: float) -> tuple[Ints, Array]:
    """Label of each point and the labels' coordinates: points within the tolerance become the first
    of them."""
    _, first, exact = np.unique(
        points[:, 0] + 1j * points[:, 1], return_index=True, return_inverse=True
    )
    parent = np.arange(len(first))
    distinct = points[first]
    pairs = box_pairs(distinct, distinct, tolerance)
    if len(pairs):
        near = np.hypot(*(distinct[pairs[:, 0]] - distinct[pairs[:, 1]]).T) <= tolerance
        parent = connected(len(first), pairs[near])
    group = parent[exact.ravel()]
    # The representative is the earliest point: a given vertex rather than a computed place.
    leader = np.full(len(first), len(points))
    np.minimum.at(leader, group, np.arange(len(points)))
    used, label = np.unique(leader[group], return_inverse=True)
    return label.ravel().astype(np.int64), points[used]


def connected(count: int, pairs: Ints) -> Ints:
    """(count,) component label of each item, the smallest member, when the pairs join items."""
    own = np.arange(count)
    if not len(pairs):
        return own
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    graph = coo_array((np.ones(len(pairs), dtype=bool), tuple(pairs.T)), (count, count))
    parts, label = connected_components(graph, directed=False)
    least = np.full(parts, count)
    np.minimum.at(least, label, own)
    return np.asarray(least[label])


def _unify(
    tail: Ints, head: Ints, bulge: Array, nodes: Array, tolerance: float
) -> tuple[Ints, Ints]:
    """First piece of each distinct edge, and each piece's edge; edges numbered by first
    appearance."""
    low, high = np.minimum(tail, head), np.maximum(tail, head)
    oriented = np.where(tail < head, bulge, -bulge)
    order = np.lexsort((oriented, high, low))
    lo, hi, b = low[order], high[order], oriented[order]
    chord = np.hypot(*(nodes[hi] - nodes[lo]).T)
    # The middle of an arc lies b c / 2 off its chord.
    fresh = np.ones(len(order), dtype=bool)
    fresh[1:] = (
        (lo[1:] != lo[:-1])
        | (hi[1:] != hi[:-1])
        | (np.diff(b) * chord[1:] / 2 > _SAME_MIDDLE * tolerance)
    )
    group = np.empty(len(order), dtype=np.int64)
    group[order] = np.cumsum(fresh) - 1
    first = np.full(int(fresh.sum()), len(order))
    np.minimum.at(first, group, np.arange(len(order)))
    rank = np.empty(len(first), dtype=np.int64)
    by_first = np.argsort(first)
    rank[by_first] = np.arange(len(first))
    return first[by_first], rank[group]


def runs(nodes: Array, edges: Ints) -> tuple[Ints, Ints]:
    """Runs of edges between nodes where not exactly two edges meet.

    All edges of a run belong to the same contours and lie in the same places, so one stands for
    all.

    Returns
    -------
    sample : (k,) int array
        The edge with the longest chord of each run: the one whose place rounding disturbs least.
    run : (m,) int array
        The run of each edge.
    """
    ends = edges.ravel()
    inner = np.bincount(ends, minlength=len(nodes)) == 2
    half = np.flatnonzero(inner[ends])
    half = half[np.argsort(ends[half], kind="stable")]
    label = connected(len(edges), (half // 2).reshape(-1, 2))
    chord = np.hypot(*(nodes[edges[:, 1]] - nodes[edges[:, 0]]).T)
    order = np.lexsort((-chord, label))
    _, first, run = np.unique(label[order], return_index=True, return_inverse=True)
    of_edge = np.empty(len(edges), dtype=np.int64)
    of_edge[order] = run.ravel()
    return order[first], of_edge
