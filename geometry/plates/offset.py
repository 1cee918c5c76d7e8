"""A path moved sideways: the two faces of a plate from the line it follows, exact for lines and
arcs.

A straight edge whose offset grows linearly stays straight (a tapered plate), an arc with a constant
offset stays an arc about the same centre. At a corner the offset edges are extended or cut back to
where their lines or circles meet (the mitre).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ..errors import GeometryError
from ..outline.contour import arc_circles
from .carrier import Edge, meeting_points
from .path import Path, place

Array = NDArray[np.float64]

#: Turns below this (radians) are rounding, not corners.
SMOOTH = 1e-7
#: A corner with a smaller angle between its sides has a mitre that grows past 10 thicknesses.
SHARPEST = np.radians(12.0)


def offset_path(line: Path, distances: Array, *, closed: bool = False) -> Path:
    """The path at a signed distance to the left of `line`.

    Parameters
    ----------
    line : Path
        When `closed`, its last point repeats the first, and the corner there is mitred too.
    distances : (n,) float array
        Offset at every vertex of the line; linear along an edge; equal at both ends of an arc.

    Raises
    ------
    GeometryError
        When an arc is too tight for the offset, a corner too sharp, or an edge shorter than its
        mitres.
    """
    edges = [_offset_edge(line, k, distances[k], distances[k + 1]) for k in range(len(line))]
    corners = list(range(1, len(edges)))
    if closed:
        corners.append(0)
    for k in corners:
        edges[k - 1], edges[k] = mitred(edges[k - 1], edges[k], line.points[k])
    _check_direction(line, edges)
    kept = [e for e in edges if np.hypot(*(e.end - e.start)) > 1e-12 * line.length]
    return Path(
        np.array([e.start for e in kept] + [kept[-1].end]), np.array([e.bulge for e in kept])
    )


def mitred(before: Edge, after: Edge, vertex: Array) -> tuple[Edge, Edge]:
    """Two offset edges brought to their common point at a vertex of the line."""
    a, b = before.end, after.start
    reach = max(float(np.hypot(*(a - vertex))), float(np.hypot(*(b - vertex))))
    if np.hypot(*(a - b)) <= 4 * SMOOTH * reach:
        middle = a if before.shrunk else b if after.shrunk else (a + b) / 2
        return replace(before, end=middle), replace(after, start=middle)
    found = meeting_points(before, after)
    point = min(found, key=lambda p: float(np.hypot(*(p - (a + b) / 2))), default=None)
    if point is None or np.hypot(*(point - vertex)) > reach / np.sin(SHARPEST / 2):
        raise GeometryError(
            f"the corner at {place(vertex)} is too sharp to mitre; give a bend radius or split the "
            "plate there"
        )
    return before.moved(before.start, point), after.moved(point, after.end)


def _offset_edge(line: Path, k: int, first: float, last: float) -> Edge:
    p, q, b = line.points[k], line.points[k + 1], float(line.bulges[k])
    starts, ends = line.directions()
    if b != 0.0:
        centre, radius = arc_circles(p[None], q[None], np.array([b]))
        inward = first * np.sign(b)  # the centre of an anticlockwise arc lies on its left
        if inward > radius[0] * (1 + 1e-9):
            raise GeometryError(
                f"the arc near {place((p + q) / 2)} has radius {radius[0]:.6g} but its inner face "
                "lies "
                f"{inward:.6g} further in; give a larger radius or a thinner plate"
            )
        if inward > radius[0] * (1 - 1e-9):
            return Edge(centre[0], centre[0], 0.0, shrunk=True)
    return Edge(p + first * left_of(starts[k]), q + last * left_of(ends[k]), b)


def left_of(direction: Array) -> Array:
    """The direction turned a quarter anticlockwise."""
    return np.array([-direction[1], direction[0]])


def _check_direction(line: Path, edges: list[Edge]) -> None:
    """An edge whose mitres overlap runs backwards: the plate is too thick for it."""
    for k, edge in enumerate(edges):
        if edge.shrunk or np.hypot(*(edge.end - edge.start)) <= 1e-12 * line.length:
            continue
        chord = line.points[k + 1] - line.points[k]
        turned = edge.bulge * line.bulges[k] < 0
        if turned or (edge.bulge == 0.0 and float((edge.end - edge.start) @ chord) < 0):
            raise GeometryError(
                f"the segment from {place(line.points[k])} to {place(line.points[k + 1])} is "
                "shorter than "
                "the corners at its ends take; make the plate thinner or the segment longer"
            )
