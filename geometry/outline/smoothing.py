"""Contours without needless vertices: collinear and co-circular neighbours become one edge."""

from __future__ import annotations

import numpy as np

from .contour import Contour, arc_circles, edge_points
from .edges import Array, Bools, Edges

#: Longest arc that is made one edge, in radians: toward the full turn the chord vanishes and with
#: it the digits of the radius.
_LONGEST_ARC = 1.75 * np.pi
#: A turn that misses the full circle by less than this is closed: rounding of the sum of a few
#: angles.
_FULL = 2 * np.pi - 1e-9


def merged(points: Array, bulges: Array, tolerance: float) -> Contour | None:
    """The contour through the points with neighbours merged where that moves nothing by more than
    the tolerance.

    A full circle becomes two half circles. None if the run encloses less than the tolerance times
    its length.
    """
    ends = np.roll(points, -1, axis=0)
    smooth = _smooth(points, ends, bulges, tolerance)
    if smooth.all() and 4 * abs(np.arctan(bulges).sum()) >= _FULL:
        return _circle(points, ends, bulges)
    contour = _runs(points, bulges, smooth, tolerance)
    if contour is None or abs(contour.area()) <= tolerance * contour.length():
        return None
    return contour


def _smooth(points: Array, ends: Array, bulges: Array, tolerance: float) -> Bools:
    """(n,) whether the edge that ends at a vertex and the one that starts there lie on one line or
    circle, and run on."""
    before = np.roll(np.arange(len(points)), 1)
    edges = Edges.of(points, ends, bulges)
    same = np.sign(bulges) == np.sign(bulges[before])
    ahead = (edges.d * edges.d[before].conj()).real
    # Judged from the longer of the two: the carrier of a short one says little about far points.
    longer = edges.lengths() > edges.lengths()[before]
    base = edges[np.where(longer, np.arange(len(points)), before)]
    middle = edge_points(points, ends, bulges, np.array([0.5]))[:, 0] @ np.array([1, 1j])
    far = np.where(longer, edges.p[before], edges.q)
    halfway = np.where(longer, middle[before], middle)
    on = (np.abs(base.distance(far)) <= tolerance) & (np.abs(base.distance(halfway)) <= tolerance)
    return np.asarray(same & on & ((bulges != 0) | (ahead > 0)))


def _circle(points: Array, ends: Array, bulges: Array) -> Contour:
    longest = [int(np.argmax(np.abs(bulges)))]
    centre, _ = arc_circles(points[longest], ends[longest], bulges[longest])
    return Contour([points[0], 2 * centre[0] - points[0]], np.full(2, np.sign(bulges[0])))


def _runs(points: Array, bulges: Array, smooth: Bools, tolerance: float) -> Contour | None:
    """Merge each run of edges between two vertices that are not smooth."""
    n = len(points)
    corners = np.flatnonzero(~smooth)
    if not corners.size:
        corners = np.array([0])
    keep: list[int] = []
    sums: list[float] = []
    for first, last in zip(corners, [*corners[1:], corners[0] + n], strict=True):
        for i, j in _parts(points, bulges, int(first), int(last), tolerance):
            keep.append(i % n)
            sums.append(float(np.arctan(bulges[np.arange(i, j) % n]).sum()))
    new = np.where(bulges[keep] == 0, 0.0, np.tan(sums))
    single = np.array([j - i == 1 for i, j in zip(keep, [*keep[1:], keep[0] + n], strict=True)])
    new = np.where(single, bulges[keep], new)
    if len(keep) < 3 and not new.any():
        return None
    return Contour(points[keep], new)


def _parts(
    points: Array, bulges: Array, first: int, last: int, tolerance: float
) -> list[tuple[int, int]]:
    """Cut the run of edges first..last - 1 (modulo n) so that each part may become one edge."""
    if last - first == 1:
        return [(first, last)]
    n = len(points)
    run = np.arange(first, last + 1) % n
    angle = np.arctan(bulges[run[:-1]])
    if 4 * abs(angle.sum()) <= _LONGEST_ARC and run[0] != run[-1]:
        whole = Edges.of(points[run[:1]], points[run[-1:]], np.tan(angle.sum(keepdims=True)))
        inner = points[run[1:-1]] @ np.array([1, 1j])
        if (np.abs(whole.distance(inner)) <= tolerance).all():
            return [(first, last)]
    half = (
        np.argmin(np.abs(np.cumsum(angle)[:-1] - angle.sum() / 2))
        if angle.any()
        else (last - first) // 2 - 1
    )
    middle = first + 1 + int(half)
    return [
        *_parts(points, bulges, first, middle, tolerance),
        *_parts(points, bulges, middle, last, tolerance),
    ]
