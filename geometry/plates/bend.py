"""Rounded bends: the corners of a line replaced by arcs, as a cold-formed plate has them.

A bend of inner radius r in a plate whose inner face lies e inside the line has the line's arc at
radius r + e; it takes the tangent length (r + e) tan(turn / 2) off both neighbouring edges.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..errors import GeometryError
from .offset import SMOOTH
from .path import Path, place

Array = NDArray[np.float64]


def bent_path(
    line: Path, inner_radius: float, left: float, right: float, *, closed: bool = False
) -> Path:
    """The line with every corner rounded.

    Parameters
    ----------
    line : Path
        Corners lie between straight edges. When `closed`, the last point repeats the first, and the
        corner there is rounded too; the returned path then starts and ends at the end of that bend.
    inner_radius : float
        Radius of the inner face, 0 or more.
    left, right : float
        Distances of the plate's left and right face from the line.

    Raises
    ------
    GeometryError
        When a corner joins an arc, turns straight back, or two bends need more than the edge
        between them.
    """
    turns = _all_turns(line, closed)
    radii = inner_radius + np.where(turns > 0, left, right)
    corner = np.abs(turns) > SMOOTH
    taken = np.where(corner, radii * np.tan(np.minimum(np.abs(turns), 3.1) / 2), 0.0)
    _check_room(line, turns, corner, taken)
    starts, ends = line.directions()
    enters = line.points[:-1] - taken[:, None] * np.roll(ends, 1, axis=0)
    leaves = line.points[:-1] + taken[:, None] * starts
    points, bulges = [leaves[0] if closed else line.points[0]], []
    for k in range(1, len(line) + 1):
        bulges.append(float(line.bulges[k - 1]))
        if k == len(line) and not closed:
            points.append(line.points[-1])
            break
        v = k % len(line)
        points.append(enters[v])
        if corner[v]:
            bulges.append(float(np.tan(turns[v] / 4)))
            points.append(leaves[v])
    return _without_empty_edges(points, bulges, line.length)


def _all_turns(line: Path, closed: bool) -> Array:
    """Turn at every vertex but the last; 0 at the first of an open line."""
    turns = np.zeros(len(line))
    turns[1:] = line.turns()
    if closed:
        first, last = line.directions()
        a, b = last[-1], first[0]
        turns[0] = np.arctan2(a[0] * b[1] - a[1] * b[0], a @ b)
    return turns


def _check_room(line: Path, turns: Array, corner: NDArray[np.bool_], taken: Array) -> None:
    for k in np.flatnonzero(corner):
        if abs(turns[k]) > np.radians(175):
            raise GeometryError(
                f"the line turns straight back at {place(line.points[k])}; draw a fold as an arc "
                "(bulge)"
            )
        if line.bulges[k - 1] != 0 or line.bulges[k] != 0:
            raise GeometryError(
                f"the corner at {place(line.points[k])} joins an arc; only corners between "
                "straight edges "
                "are rounded: make the arc tangent to its neighbour"
            )
    used = taken + np.append(taken[1:], taken[0])
    short = np.flatnonzero(used > line.edge_lengths * (1 + 1e-9))
    if short.size:
        at = int(short[0])
        raise GeometryError(
            f"the bends at the ends of the segment from {place(line.points[at])} to "
            f"{place(line.points[at + 1])} need {used[at]:.6g} but it is "
            f"{line.edge_lengths[at]:.6g} long; give a smaller bend radius or a longer segment"
        )


def _without_empty_edges(points: list[Array], bulges: list[float], size: float) -> Path:
    """Drop edges that two bends have used up entirely."""
    kept_points, kept_bulges = [points[0]], []
    for point, bulge in zip(points[1:], bulges, strict=True):
        if np.hypot(*(point - kept_points[-1])) > 1e-10 * size:
            kept_points.append(point)
            kept_bulges.append(bulge)
    return Path(np.array(kept_points), np.array(kept_bulges))
