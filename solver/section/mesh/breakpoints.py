"""Where the borders are broken into mesh edges: fine near narrow places, coarse along smooth walls.

The p-version wants few, well-placed elements. A vertex of the section gets the size NARROW times
its distance to the nearest edge it is not on (about one element through a wall), the size grows
with slope GROWTH along the border, and arcs are cut until their rise is small beside the distance
to what faces them, so that chords of facing borders cannot cross.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ....geometry.outline.contour import edge_lengths, edge_points, sub_bulge
from ....geometry.planar.near_boxes import edge_boxes
from ....geometry.planar.planar_map import PlanarMap
from .close_samples import close_grid, corner_nodes, near_corners, needle_factors, slender_edges
from .nearness import CHUNK, edge_distance, graded, node_clearance, size_among
from .section_mesh import Array, Ints

NARROW = 1.0
GROWTH = 0.8
GROWTH_OF_MANY = 1.2  # where most of the mesh would lie in between thousands of vertices
#: Arcs turn at most this much within one mesh edge (the blending map converges fast below it).
ARC_TURN = np.pi / 4
#: Largest rise of an arc over its chord, as a part of the distance to the nearest other border.
RISE = 0.2
#: A piece that faces an arc is at most this many lengths of the arc's piece, plus this many
#: distances to it: a far longer one would see the arc at a grazing angle, and a mesh edge would
#: cross the true arc.
FACING_LENGTHS, FACING_DISTANCES = 2.0, 3.0
#: Places along an edge at which the size is sampled, and how many of them a piece must have: a side
#: that faces a row of many cells needs more places, up to a limit.
SAMPLES, PER_PIECE, MOST_SAMPLES = 64, 2, 4096
#: Nodes above which sizes along edges come from search trees, and from fewer places at first.
MANY_NODES = 1500
#: Edges, one after another on a border, for which nearby nodes are looked up together.
SIDES = 16
#: Pairs of an arc and a piece up to which all are looked at: a search tree costs more.
FEW_PAIRS = 4_000
_WHOLE = np.array([0.0, 1.0])


@dataclass(frozen=True, slots=True, eq=False)
class BrokenEdges:
    """The planar map's edges, broken up.

    Attributes
    ----------
    points : (n, 2)
        The planar map's nodes first, then the break points.
    size : (n,)
        Wanted element size at each point.
    pieces : (m, 2) int
        Points of each piece, in the direction of its edge, pieces of an edge in order.
    bulges : (m,)
    edge : (m,) int
        Edge of the planar map each piece lies on.
    """

    points: Array
    size: Array
    pieces: Ints
    bulges: Array
    edge: Ints


def break_edges(plan: PlanarMap, coarseness: float = 1.0) -> BrokenEdges:
    """Break the edges of a planar map; a smaller `coarseness` gives a finer mesh."""
    start, end = plan.nodes[plan.edges[:, 0]], plan.nodes[plan.edges[:, 1]]
    length = edge_lengths(start, end, plan.bulges)
    size = NARROW * coarseness * node_clearance(plan.nodes, plan.edges, start, end, plan.bulges)
    for k in (0, 1):
        np.minimum.at(size, plan.edges[:, k], NARROW * coarseness * length)
    size *= needle_factors(plan) if crowded(plan) else 1.0
    size = graded(plan.nodes, size, growth_along(plan))
    parts = _split_parameters(plan, length, size)
    return _flatten_arcs(plan, start, end, size, parts)


def crowded(plan: PlanarMap) -> bool:
    """Whether there are so many vertices that triangles between them must be spared."""
    return len(plan.nodes) > MANY_NODES


def growth_along(plan: PlanarMap) -> float:
    """Slope of the size along the border and inward."""
    return GROWTH_OF_MANY if crowded(plan) else GROWTH


def _split_parameters(plan: PlanarMap, length: Array, size: Array) -> list[Array]:
    """Break points of each edge as parameters in [0, 1], equally many sizes apart."""
    a, b = size[plan.edges[:, 0]], size[plan.edges[:, 1]]
    turn = np.abs(4 * np.arctan(plan.bulges))
    least = _least_parts(plan)
    many = np.flatnonzero((length > 0.75 * (a + b)) | (turn > ARC_TURN) | (least > 1))
    parts = [_WHOLE] * len(length)
    growth = growth_along(plan)
    among = size_among(plan.nodes, size, growth) if crowded(plan) else None
    cells = SAMPLES // 4 if crowded(plan) else SAMPLES
    while many.size:
        grid = np.linspace(0, 1, cells + 1)
        passed = _sizes_passed(plan, many, length, turn, size, grid, among)
        whole = passed[:, -1]
        count = np.where(turn[many] > ARC_TURN, np.ceil(whole - 1e-9), np.round(whole))
        count = np.maximum(count.astype(np.int64), least[many])
        for k, n, row in zip(many.tolist(), count.tolist(), passed, strict=True):
            if n > 1:
                parts[k] = np.interp(np.arange(n + 1) * (row[-1] / n), row, grid)
        coarse = passed[:, -1] > cells / PER_PIECE
        many = many[coarse] if cells < MOST_SAMPLES else many[:0]
        cells *= 4
    if not slender_edges(plan, length, size, 1 / SAMPLES).size:
        return parts
    corner_size = np.where(corner_nodes(plan), size, np.inf)
    slender = slender_edges(plan, length, corner_size, 1 / SAMPLES)
    reach = length[slender] / (growth * SAMPLES)
    near = zip(slender.tolist(), near_corners(plan, slender, corner_size, reach), strict=True)
    grids = [close_grid(plan, k, length[k], corner_size, n, growth, SAMPLES) for k, n in near]
    rows = _closely_passed(plan, slender, length, turn, size, grids, among)
    for k, grid, row in zip(slender, grids, rows, strict=True):
        n = max(round(row[-1]), int(least[k]))
        parts[k] = np.interp(np.linspace(0, row[-1], n + 1), row, grid)
    return parts


def _closely_passed(
    plan: PlanarMap,
    which: Ints,
    length: Array,
    turn: Array,
    size: Array,
    grids: list[Array],
    graded_size: Callable[[Array], Array] | None,
) -> list[Array]:
    """The same at a grid of each edge's own; with many nodes all edges are looked up at once."""
    if graded_size is None or not len(which):
        own = enumerate(grids)
        return [_sizes_passed(plan, which[[i]], length, turn, size, g, None)[0] for i, g in own]
    count = [len(grid) - 1 for grid in grids]
    of = np.repeat(which, count)
    start, end = plan.nodes[plan.edges[of]].transpose(1, 0, 2)
    middle = np.concatenate([(grid[1:] + grid[:-1]) / 2 for grid in grids])
    h = graded_size(edge_points(start, end, plan.bulges[of], middle[:, None])[:, 0])
    with np.errstate(divide="ignore"):
        h = np.minimum(h, length[of] * ARC_TURN / turn[of])
    steps = np.split(length[of] * np.concatenate([np.diff(g) for g in grids]) / h, np.cumsum(count))
    return [np.concatenate([[0.0], np.cumsum(s)]) for s in steps[: len(grids)]]


def _sizes_passed(
    plan: PlanarMap,
    which: Ints,
    length: Array,
    turn: Array,
    size: Array,
    grid: Array,
    graded_size: Callable[[Array], Array] | None,
) -> Array:
    """(k, g) how many sizes are passed from the start of each edge to each place of the grid; by
    `nearness.size_among` where there are many nodes."""
    middle = (grid[1:] + grid[:-1]) / 2
    if graded_size is not None:
        a, b = plan.nodes[plan.edges[which]].transpose(1, 0, 2)
        spots = edge_points(a, b, plan.bulges[which], middle).reshape(-1, 2)
        h = graded_size(spots).reshape(len(which), -1)
        with np.errstate(divide="ignore"):
            h = np.minimum(h, (length[which] * ARC_TURN / turn[which])[:, None])
        steps = length[which, None] * np.diff(grid) / h
        return np.concatenate([np.zeros((len(which), 1)), np.cumsum(steps, axis=1)], axis=1)
    passed = np.zeros((len(which), len(grid)))
    step = max(1, min(SIDES, CHUNK // (len(middle) * len(plan.nodes))))
    for first in range(0, len(which), step):
        k = which[first : first + step]
        a, b = plan.nodes[plan.edges[k]].transpose(1, 0, 2)
        spots = edge_points(a, b, plan.bulges[k], middle).reshape(-1, 2)
        # the ends keep the size below `most`: what is farther than that by GROWTH cannot lower it
        most = (size[plan.edges[k]].sum(axis=1) + GROWTH * length[k]).max() / 2
        low, high = spots.min(axis=0) - most / GROWTH, spots.max(axis=0) + most / GROWTH
        near = np.flatnonzero(((plan.nodes >= low) & (plan.nodes <= high)).all(axis=1))
        (x, y), (u, v) = spots.T, plan.nodes[near].T
        d = np.sqrt((x[:, None] - u) ** 2 + (y[:, None] - v) ** 2)
        h = (size[near] + GROWTH * d).min(axis=1).reshape(len(k), -1)
        with np.errstate(divide="ignore"):
            h = np.minimum(h, (length[k] * ARC_TURN / turn[k])[:, None])
        passed[first : first + step, 1:] = np.cumsum(length[k, None] * np.diff(grid) / h, axis=1)
    return passed


def _least_parts(plan: PlanarMap) -> Ints:
    """Two pieces for edges that share both ends with another one (as a flat arc and its chord do),
    and for slits: only a point between its tips lets the two sides of a slit part."""
    key = plan.edges.min(axis=1) * len(plan.nodes) + plan.edges.max(axis=1)
    if len(set(key.tolist())) == len(key):
        return np.where(plan.slit, 2, 1)
    _, twin, count = np.unique(key, return_inverse=True, return_counts=True)
    return np.where(plan.slit | (count[twin] > 1), 2, 1)


def _flatten_arcs(
    plan: PlanarMap, start: Array, end: Array, size: Array, parts: list[Array]
) -> BrokenEdges:
    """Cut edges into their parts, and halve pieces until each arc's rise is small beside its
    distance to the pieces it does not touch, and the pieces that face an arc are not much longer
    than it."""
    for _ in range(40):
        broken = _collect(plan, start, end, size, parts)
        p, q = broken.points[broken.pieces[:, 0]], broken.points[broken.pieces[:, 1]]
        arcs = np.flatnonzero(broken.bulges)
        if not arcs.size:
            break
        rise = np.hypot(*(q - p)[arcs].T) / 2 * np.abs(broken.bulges[arcs])
        clear, limit = _facing(broken, p, q, arcs, rise / RISE)
        length = np.hypot(*(q - p).T)
        bad = np.union1d(arcs[rise > RISE * clear], np.flatnonzero(length > limit))
        if not bad.size:
            break
        offset = np.cumsum([0] + [len(t) - 1 for t in parts])
        for k in np.unique(broken.edge[bad]):
            t = parts[k]
            own = bad[broken.edge[bad] == k] - offset[k]
            parts[k] = np.sort(np.concatenate([t, (t[own] + t[own + 1]) / 2]))
    return broken


def _facing(
    broken: BrokenEdges, p: Array, q: Array, arcs: Ints, reach: Array
) -> tuple[Array, Array]:
    """Distance from each arc's top to the nearest piece it does not touch, and how long each piece
    may be for the arcs that it faces; infinite where beyond the arc's reach or long enough."""
    tops = edge_points(p[arcs], q[arcs], broken.bulges[arcs], np.array([0.5]))[:, 0]
    length = np.hypot(*(q - p).T)
    if len(arcs) * len(p) <= FEW_PAIRS:
        arc, piece = np.indices((len(arcs), len(p))).reshape(2, -1)
    else:
        arc, piece = _near_pairs(broken, p, q, tops, reach, length)
    ends, others = broken.pieces[arcs[arc]], broken.pieces[piece]
    apart = (ends[:, :, None] != others[:, None, :]).all(axis=(1, 2))
    arc, piece = arc[apart], piece[apart]
    clear, limit = np.full(len(arcs), np.inf), np.full(len(p), np.inf)
    for first in range(0, len(arc), CHUNK):
        i, j = arc[first : first + CHUNK], piece[first : first + CHUNK]
        d = edge_distance(tops[i], p[j], q[j], broken.bulges[j])
        np.minimum.at(clear, i, d)
        np.minimum.at(limit, j, FACING_LENGTHS * length[arcs[i]] + FACING_DISTANCES * d)
    return clear, limit


def _near_pairs(
    broken: BrokenEdges, p: Array, q: Array, tops: Array, reach: Array, length: Array
) -> Ints:
    """(2, m) arcs and the pieces within their reach or they within the pieces'."""
    from shapely import STRtree, box

    low, high = edge_boxes(p, q, broken.bulges)
    # farther than this an arc cannot be shorter than a piece may be for it
    far = length[:, None] / FACING_DISTANCES
    lower, upper = tops - reach[:, None], tops + reach[:, None]
    by_piece = STRtree(box(*low.T, *high.T)).query(box(*lower.T, *upper.T))
    by_top = STRtree(box(*(low - far).T, *(high + far).T)).query(box(*tops.T, *tops.T))
    return np.concatenate([by_piece, by_top], axis=1)


def _collect(
    plan: PlanarMap, start: Array, end: Array, size: Array, parts: list[Array]
) -> BrokenEdges:
    many = len(plan.nodes)
    count = np.array([len(t) - 1 for t in parts])
    edge = np.repeat(np.arange(len(parts)), count)
    first = np.concatenate([[0], np.cumsum(count)])[:-1]
    joined = np.stack([plan.edges[edge, 0], plan.edges[edge, 1]], axis=1)
    inner = np.flatnonzero(np.arange(len(edge)) != first[edge])  # pieces that start at a break
    joined[inner, 0] = many + np.arange(len(inner))
    joined[inner - 1, 1] = joined[inner, 0]
    at = np.concatenate([t[:-1] for t in parts])
    width = np.concatenate([t[1:] for t in parts]) - at
    on = edge[inner]
    breaks = edge_points(start[on], end[on], plan.bulges[on], at[inner, None])[:, 0]
    points = np.vstack([plan.nodes, breaks])
    full = np.append(size, np.full(len(breaks), np.inf))
    reach = np.hypot(*(points[joined[:, 1]] - points[joined[:, 0]]).T)
    for k in (0, 1):
        some = joined[:, k] >= many
        np.minimum.at(full, joined[some, k], reach[some])
    return BrokenEdges(points, full, joined, sub_bulge(plan.bulges[edge], width), edge)
