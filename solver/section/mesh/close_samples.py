"""Where along a slender edge its size must be sampled closely: at corners far smaller than it.

An edge a million times longer than its wall is thick would see nothing of the wall's end between
samples at equal distances. Smooth joints of border edges need no such care: nothing happens there.
"""

from __future__ import annotations

from bisect import bisect, insort

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.contour import edge_tangents
from ....geometry.planar.planar_map import PlanarMap
from .section_mesh import Array, Ints

#: Unit tangents that leave a node of two edges add up to less than this where the border is smooth.
SMOOTH = 0.05
#: Ratio of the samples' distances from a corner.
RATIO = 1.4
#: Sizes along very many needles, in clearances: this angle (radians) by that of the tip, up to a
#: limit. Next to nothing of J, and of the gap, is in them, and most triangles were.
WIDE_TIP, SLENDER = 0.1, 8.0


def corner_nodes(plan: PlanarMap) -> NDArray[np.bool_]:
    """(n,) nodes at which the border turns, branches or ends."""
    start, end = plan.nodes[plan.edges[:, 0]], plan.nodes[plan.edges[:, 1]]
    tangents = edge_tangents(start, end, plan.bulges, np.array([0.0, 1.0]))
    leaving = tangents * np.array([1.0, -1.0])[:, None]
    leaving /= np.hypot(leaving[..., 0], leaving[..., 1])[..., None]
    total = np.zeros((len(plan.nodes), 2))
    np.add.at(total, plan.edges.ravel(), leaving.reshape(-1, 2))
    count = np.bincount(plan.edges.ravel(), minlength=len(plan.nodes))
    return np.asarray((count != 2) | (np.hypot(total[:, 0], total[:, 1]) > SMOOTH))


def needle_factors(plan: PlanarMap) -> Array:
    """(n,) what sizes are multiplied with at tips of needles, where one loop turns around sharply,
    and at the nodes next to them."""
    loops = [loop for loops in plan.faces for loop in loops]
    signed = np.concatenate(loops)
    following = np.concatenate([np.roll(loop, -1) for loop in loops])
    own, after = np.abs(signed) - 1, np.abs(following) - 1
    start, end = plan.nodes[plan.edges[:, 0]], plan.nodes[plan.edges[:, 1]]
    tangents = edge_tangents(start, end, plan.bulges, np.array([0.0, 1.0]))
    tangents /= np.hypot(tangents[..., 0], tangents[..., 1])[..., None]
    coming = np.where((signed > 0)[:, None], tangents[own, 1], -tangents[own, 0])
    leaving = np.where((following > 0)[:, None], tangents[after, 0], -tangents[after, 1])
    cross = coming[:, 0] * leaving[:, 1] - coming[:, 1] * leaving[:, 0]
    node = np.where(signed > 0, plan.edges[own, 1], plan.edges[own, 0])
    once = np.bincount(node, minlength=len(plan.nodes))[node] == 1
    angle = np.arctan2(cross, -np.sum(coming * leaving, axis=1))  # of the material
    sharp = np.flatnonzero(once & (angle > 0) & (angle < WIDE_TIP))
    factors = np.ones(len(plan.nodes))
    for k in (own[sharp], after[sharp]):
        for side in (0, 1):
            np.maximum.at(
                factors, plan.edges[k, side], np.minimum(WIDE_TIP / angle[sharp], SLENDER)
            )
    return factors


def slender_edges(plan: PlanarMap, length: Array, corner_size: Array, cell: float) -> Ints:
    """Edges of which a corner of size below a `cell` (a part of their length) is an end; sizes (n,)
    of the nodes, infinite where the border is smooth."""
    return np.flatnonzero(corner_size[plan.edges].min(axis=1) < cell * length)


def near_corners(plan: PlanarMap, edges: Ints, corner_size: Array, reach: Array) -> list[Ints]:
    """Of each of the edges the corners within its reach (one that lie near enough, and maybe a few
    beyond)."""
    from shapely import STRtree, box, points

    if not edges.size:
        return []
    corners = np.flatnonzero(np.isfinite(corner_size))
    ends = plan.nodes[plan.edges[edges]]
    low, high = ends.min(axis=1) - reach[:, None], ends.max(axis=1) + reach[:, None]
    edge, corner = STRtree(points(plan.nodes[corners])).query(box(*low.T, *high.T))
    order = np.lexsort((corner, edge))
    return np.split(corners[corner[order]], np.searchsorted(edge[order], np.arange(1, len(edges))))


def close_grid(
    plan: PlanarMap,
    edge: int,
    length: float,
    corner_size: Array,
    corners: Ints,
    growth: float,
    cells: int,
) -> Array:
    """Parameters in [0, 1], `cells` at equal distances and more toward each of the corners near the
    edge whose size falls between them."""
    (ax, ay), (bx, by) = plan.nodes[plan.edges[edge]]
    x, y = (plan.nodes[corners] - (ax, ay)).T
    dx, dy = bx - ax, by - ay
    along = np.clip((x * dx + y * dy) / (dx**2 + dy**2), 0, 1)
    distance = np.hypot(x - along * dx, y - along * dy)
    smallest = (corner_size[corners] + growth * distance) / length
    grid = [np.linspace(0, 1, cells + 1)]
    done: list[float] = []
    for k in np.argsort(smallest, kind="stable"):
        place, first = float(along[k]), float(smallest[k])
        if first >= 1 / cells:
            break
        # beside a smaller corner no farther than its own size it adds nothing
        beside = bisect(done, place)
        if all(abs(place - other) > first / 2 for other in done[max(beside - 1, 0) : beside + 1]):
            insort(done, place)
            steps = first / 2 * RATIO ** np.arange(np.log(2 / cells / first) / np.log(RATIO) + 1)
            grid.append(place + np.concatenate([-steps, [0.0], steps]))
    spots = np.unique(np.clip(np.concatenate(grid), 0, 1))
    return np.asarray(spots[np.append(np.diff(spots) > 1e-13, True)])
