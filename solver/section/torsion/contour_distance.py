"""Distances between contours, of many outlines of one build at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.alike import AlikeEdges
from ....geometry.outline.contour import arc_circles, edge_points
from ..mesh.nearness import edge_distance

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


def plateaus(edges: AlikeEdges) -> Array:
    """(k, c) height of each contour: the shortest way to the outer border, free across holes."""
    count = int(edges.contour.max()) + 1
    height = np.zeros((len(edges), count))
    if count == 1:
        return height
    between = _distances(edges, count)
    height[:, 1:] = between[:, 0, 1:]
    for _ in range(count - 2):
        height = np.minimum(height, (between + height[:, None]).min(axis=2))
        height[:, 0] = 0.0
    return height


def _distances(edges: AlikeEdges, count: int) -> Array:
    """(k, c, c) distances between contours: from a vertex to an edge, or along the line from an
    arc's centre to the nearest place of an edge, or from centre to centre of arcs one in the
    other."""
    k = len(edges)
    i, j = np.nonzero(edges.contour[:, None] != edges.contour)
    start, end = (part[:, j].reshape(-1, 2) for part in (edges.start, edges.end))
    bulge = edges.bulges[:, j].ravel()
    near = edge_distance(edges.start[:, i].reshape(-1, 2), start, end, bulge).reshape(k, -1)
    arcs = edges.bulges[0] != 0
    round_ = np.flatnonzero(arcs[i])
    if round_.size:
        near[:, round_] = np.minimum(near[:, round_], _from_arcs(edges, i[round_], j[round_]))
    out = np.full((k, count, count), np.inf)
    for a in range(count):
        for b in range(count):
            if a != b:
                own = (edges.contour[i] == a) & (edges.contour[j] == b)
                out[:, a, b] = near[:, own].min(axis=1)
    return np.asarray(np.minimum(out, out.transpose(0, 2, 1)))


def _from_arcs(edges: AlikeEdges, i: Ints, j: Ints) -> Array:
    """(k, r) distances of arcs i and edges j between their ends, infinite where there is none."""
    k = len(edges)
    first, second = (
        (
            edges.start[:, one].reshape(-1, 2),
            edges.end[:, one].reshape(-1, 2),
            edges.bulges[:, one].ravel(),
        )
        for one in (i, j)
    )
    centre, radius = arc_circles(*first)
    middle = edge_points(*first, np.array([0.5]))[:, 0] - centre
    cosine = np.cos(2 * np.arctan(np.abs(first[2])))

    def passes(way: Array) -> NDArray[np.bool_]:
        size = np.hypot(*way.T)
        return np.asarray((way * middle).sum(axis=1) >= size * radius * cosine)

    straight = second[2] == 0
    chord = second[1] - second[0]
    t = np.clip(((centre - second[0]) * chord).sum(axis=1) / (chord**2).sum(axis=1), 0, 1)
    foot = second[0] + t[:, None] * chord - centre
    out = np.where(
        straight & passes(foot) & (np.hypot(*foot.T) > radius), np.hypot(*foot.T) - radius, np.inf
    )
    arcs = np.flatnonzero(~straight)
    if arcs.size:
        p, q, bulge = (part[arcs] for part in second)
        other, reach = arc_circles(p, q, bulge)
        top = edge_points(p, q, bulge, np.array([0.5]))[:, 0] - other
        half = np.cos(2 * np.arctan(np.abs(bulge)))
        way = other - centre[arcs]
        apart = np.hypot(*way.T)
        own_middle, own_radius = middle[arcs], radius[arcs]

        def both(sign: float, back: float) -> NDArray[np.bool_]:
            mine = sign * (way * own_middle).sum(axis=1) >= apart * own_radius * cosine[arcs]
            its = back * (way * top).sum(axis=1) >= apart * reach * half
            return np.asarray(mine & its)

        outside = np.where(both(1, -1), apart - own_radius - reach, np.inf)
        inside = np.where(both(1, 1), own_radius - apart - reach, np.inf)
        about = np.where(both(-1, -1), reach - apart - own_radius, np.inf)
        each = np.stack([outside, inside, about])
        out[arcs] = np.where(each >= 0, each, np.inf).min(axis=0)
    return out.reshape(k, -1)
