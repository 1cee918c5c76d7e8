"""Rounded corners: a polygon with a radius at each vertex becomes a contour with tangent arcs.

An arc of radius r in a corner that turns by theta touches both edges at r tan(|theta|/2) from the
vertex and has the bulge tan(theta/4).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from ..errors import GeometryError
from ..planar.crossings import length_tolerance
from ..profiles.dimension import DimensionError
from .contour import Contour


class RoundedCorner(NamedTuple):
    """A vertex of a polygon and what its rounding is called.

    Attributes
    ----------
    x, y : float
    radius : float
        0 for a sharp corner.
    name : str
        Parameter that gave the radius, for the error message.
    along : str
        Where the edge from this corner to the next one lies ("between web and flange edge").
    """

    x: float
    y: float
    radius: float = 0.0
    name: str = "radius"
    along: str = "on the edge"


def rounded(corners: Sequence[RoundedCorner]) -> Contour:
    """The polygon through the corners with an arc, tangent to both edges, at each radius.

    Works for any angle and either turn: outer corners lose material, inner ones gain it.

    Raises
    ------
    DimensionError
        When a radius does not fit on an edge, with the largest that does.
    GeometryError
        When two corners in a row coincide or the polygon folds back on itself.
    """
    points = np.array([(c.x, c.y) for c in corners], dtype=float)
    radius = np.array([c.radius for c in corners], dtype=float)
    steps = np.roll(points, -1, axis=0) - points
    length = np.hypot(*steps.T)
    tiny = length_tolerance(points)
    if not (length > tiny).all():
        i = int(np.flatnonzero(~(length > tiny))[0])
        x, y = points[i]
        raise GeometryError(f"two corners coincide at ({x:g}, {y:g}); leave one out")
    ahead = steps / length[:, None]
    back = np.roll(ahead, 1, axis=0)
    cross = back[:, 0] * ahead[:, 1] - back[:, 1] * ahead[:, 0]
    turn = np.arctan2(cross, np.sum(back * ahead, axis=1))
    if (np.abs(turn) > np.pi - 1e-9).any():
        x, y = points[int(np.argmax(np.abs(turn)))]
        raise GeometryError(f"the polygon folds back on itself at ({x:g}, {y:g})")
    slope = np.tan(np.abs(turn) / 2)
    _check_fit(corners, length, slope, radius * slope, tiny)

    cut = radius * slope
    arc = cut > tiny
    start, end = points - cut[:, None] * back, points + cut[:, None] * ahead
    out: list[tuple[float, float, float]] = []
    for i in range(len(points)):
        left = length[i] - cut[i] - cut[(i + 1) % len(points)]
        if arc[i]:
            # what is left straight on either side may be nothing: then the neighbour's point serves
            alone = length[i - 1] - cut[i - 1] - cut[i] > tiny or arc[i - 1]
            x, y = start[i] if alone else points[i - 1]
            out.append((x, y, float(np.tan(turn[i] / 4))))
            if left > tiny:
                out.append((*end[i], 0.0))
        elif left > tiny or not arc[(i + 1) % len(points)]:
            out.append((*points[i], 0.0))
    table = np.array(out)
    return Contour(table[:, :2], table[:, 2])


def rounded_polygon(points: Sequence[Sequence[float]], radii: Sequence[float] | float) -> Contour:
    """`rounded` for plain points and radii (one number, or one per point).

    Examples
    --------
    >>> rounded_polygon([(0, 0), (4, 0), (0, 3)], 1.0).length()  # the triangle's incircle
    6.283185307179586
    """
    each = np.broadcast_to(np.asarray(radii, dtype=float), (len(points),))
    if not ((each >= 0) & np.isfinite(each)).all():
        raise GeometryError(f"corner radii must be zero or positive, got {each.min():g}")
    return rounded(
        [
            RoundedCorner(
                float(x), float(y), float(r), along=f"between points {i} and {i % len(each) + 1}"
            )
            for i, ((x, y), r) in enumerate(zip(points, each, strict=True), start=1)
        ]
    )


def _check_fit(
    corners: Sequence[RoundedCorner],
    length: np.ndarray,
    slope: np.ndarray,
    cut: np.ndarray,
    tiny: float,
) -> None:
    """Each edge is long enough for the arcs at its two ends; the worst one is told."""
    worst: DimensionError | None = None
    for i, first in enumerate(corners):
        j = (i + 1) % len(corners)
        if cut[i] + cut[j] <= length[i] + tiny:
            continue
        a, b = (i, j) if cut[i] >= cut[j] else (j, i)
        name, radius = corners[a].name, corners[a].radius
        if (name, radius) == (corners[b].name, corners[b].radius) or cut[b] >= length[i]:
            limit = float(length[i] / (slope[a] + slope[b]))
        else:
            limit = float((length[i] - cut[b]) / slope[a])
        if worst is None or limit / radius < worst.limit / worst.value:
            reason = f"does not fit: at most {{limit}} {first.along}"
            worst = DimensionError(name, radius, reason, limit)
    if worst is not None:
        raise worst
