"""Candidate search: which boxes come near each other."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..outline.contour import arc_circles

Array = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

#: Up to this many boxes all pairs are compared at once (a few milliseconds at most); beyond, a
#: search tree pays and the time to load shapely no longer matters.
_ALL_PAIRS = 600
#: More pairs an edge than this, and a second look is worth its time: boxes of long slanting edges
#: overlap by the million.
_CROWDED = 8
#: Pairs handled at once: bounds the memory to some tens of megabytes.
_CHUNK = 200_000


def edge_boxes(start: Array, end: Array, bulge: Array) -> tuple[Array, Array]:
    """(n, 2) lower and upper corners of the edges' bounding boxes, exact for arcs."""
    low, high = np.minimum(start, end), np.maximum(start, end)
    arcs = np.flatnonzero(bulge)
    if arcs.size:
        s, b = start[arcs], bulge[arcs]
        centre, radius = arc_circles(s, end[arcs], b)
        first, sweep = np.arctan2(*(s - centre).T[::-1]), 4 * np.arctan(b)
        for k, (axis, sign) in enumerate([(0, 1), (1, 1), (0, -1), (1, -1)]):
            turn = k * np.pi / 2 - first
            hit = np.where(sweep > 0, turn % (2 * np.pi), -turn % (2 * np.pi)) < np.abs(sweep)
            extreme = centre[hit, axis] + sign * radius[hit]
            corner, choose = (high, np.maximum) if sign > 0 else (low, np.minimum)
            corner[arcs[hit], axis] = choose(corner[arcs[hit], axis], extreme)
    return low, high


def box_pairs(low: Array, high: Array, margin: float) -> Ints:
    """(k, 2) pairs i < j of boxes that come within the margin of each other."""
    n = len(low)
    if n <= _ALL_PAIRS:
        reach = high + margin
        near = low[:, None, 0] <= reach[None, :, 0]
        near &= low[:, None, 1] <= reach[None, :, 1]
        i, j = np.nonzero(near & near.T)
        keep = i < j
        return np.stack([i[keep], j[keep]], axis=1)
    from shapely import STRtree, box

    tree = STRtree(box(*low.T, *high.T))
    i, j = tree.query(box(*(low - margin).T, *(high + margin).T))
    keep = i < j
    return np.stack([i[keep], j[keep]], axis=1)


def edge_pairs(start: Array, end: Array, bulge: Array, margin: float) -> Ints:
    """(k, 2) pairs i < j of edges that may come within the margin of each other, in order."""
    low, high = edge_boxes(start, end, bulge)
    pairs = box_pairs(low, high, margin)
    if len(pairs) > _CROWDED * len(start):
        chunks = (pairs[k : k + _CHUNK] for k in range(0, len(pairs), _CHUNK))
        pairs = np.concatenate([_facing(start, end, bulge, chunk, margin) for chunk in chunks])
    return pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]


def _facing(start: Array, end: Array, bulge: Array, pairs: Ints, margin: float) -> Ints:
    """The pairs of which neither lies wholly beside the other."""
    for i, j in ((0, 1), (1, 0)):
        pairs = pairs[~_beside(start, end, bulge, pairs[:, i], pairs[:, j], margin)]
    return pairs


def _beside(start: Array, end: Array, bulge: Array, i: Ints, j: Ints, margin: float) -> Bools:
    """Whether edge j lies on one side of the chord of edge i, farther than both can bulge."""
    chord = end - start
    length = np.hypot(*chord.T)
    # An arc leaves its chord by b c / 2 at most.
    reach = np.abs(bulge) * length / 2
    dx, dy = chord[i].T
    x, y = start[i].T
    one = dx * (start[j, 1] - y) - dy * (start[j, 0] - x)
    other = dx * (end[j, 1] - y) - dy * (end[j, 0] - x)
    near = (reach[i] + reach[j] + margin) * length[i]
    return np.asarray((np.minimum(one, other) > near) | (np.maximum(one, other) < -near))
