"""Shear-flow lines: contour lines of the stress function, with arrows along the flow.

The stress is the stress function's gradient turned by a right angle, so the flow runs along its
contour lines and the same flow passes between any two neighbours: where they crowd, the stress is
high.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Array = NDArray[np.float64]

#: Least room on the page between two lines and the greatest number of lines, arrows included.
_SPACING_POINTS = 4.0
_MOST_LINES = 12
_ARROW_EVERY_POINTS = 95.0
_ARROW_POINTS = 8.0
_DARK, _LIGHT = "#1a1a1a", "#ffffff"


def line_count(wall_points: float, *, closed: bool) -> int:
    """How many levels a wall of this drawn thickness can show; 0 when lines would only smear it.

    In an open wall each level passes twice, there and back.
    """
    count = int(wall_points / (_SPACING_POINTS * (1 if closed else 2)))
    return min(count, _MOST_LINES) if count >= 2 else 0


def trace(
    axes: Axes, points: Array, triangles: NDArray[np.int64], phi: Array, levels: Array
) -> list[list[Array]]:
    """Contour lines of phi at each level: lists of (n, 2) polylines.

    Nodes must be shared between triangles, or the lines end at every border.
    """
    from matplotlib.tri import Triangulation

    contours = axes.tricontour(
        Triangulation(points[:, 0], points[:, 1], triangles), phi, levels=levels
    )
    lines = [[np.asarray(line) for line in level if len(line) > 1] for level in contours.allsegs]
    contours.remove()
    return lines


def draw_lines(axes: Axes, lines: list[list[Array]]) -> None:
    """Draw the lines dark with a light edge, so that each is one line on any ground."""
    from matplotlib.collections import LineCollection

    every = [line for level in lines for line in level]
    for width, colour, alpha, order in ((1.5, _LIGHT, 0.6, 3.0), (0.6, _DARK, 1.0, 3.1)):
        axes.add_collection(
            LineCollection(every, colors=colour, linewidths=width, alpha=alpha, zorder=order)
        )


def arrow_seats(lines: list[Array], points_per_length: float, axes: Axes) -> Array:
    """(n, 2) places for arrows: along each line at even distances, none on a short line.

    Only the part of a line inside the axes' window counts, so an enlarged detail gets arrows of
    its own.
    """
    (x0, x1), (y0, y1) = axes.get_xlim(), axes.get_ylim()
    seats = [np.empty((0, 2))]
    for line in lines:
        inside = (line[:, 0] > x0) & (line[:, 0] < x1) & (line[:, 1] > y0) & (line[:, 1] < y1)
        for run in np.split(line, np.flatnonzero(np.diff(inside)) + 1)[0 if inside[0] else 1 :: 2]:
            seats.append(_along(run, points_per_length))
    return np.concatenate(seats)


def _along(line: Array, points_per_length: float) -> Array:
    """(n, 2) evenly spaced places on one polyline."""
    steps = np.hypot(*np.diff(line, axis=0).T)
    travelled = np.concatenate([[0.0], np.cumsum(steps)])
    drawn = travelled[-1] * points_per_length
    if drawn < 4 * _ARROW_POINTS:
        return np.empty((0, 2))
    count = max(1, round(drawn / _ARROW_EVERY_POINTS))
    at = (np.arange(count) + 0.5) / count * travelled[-1]
    return np.stack([np.interp(at, travelled, line[:, k]) for k in range(2)], axis=1)


def draw_arrows(axes: Axes, seats: Array, directions: Array, points_per_length: float) -> None:
    """Arrow heads at the seats along the unit directions, outlined to show on any ground."""
    from matplotlib.collections import PolyCollection

    if not len(seats):
        return
    size = _ARROW_POINTS / points_per_length
    along = directions[:, None, :]
    across = np.stack([-directions[:, 1], directions[:, 0]], axis=1)[:, None, :]
    shape = np.array([[0.6, 0.0], [-0.5, 0.38], [-0.25, 0.0], [-0.5, -0.38]]) * size
    heads = seats[:, None, :] + shape[None, :, :1] * along + shape[None, :, 1:] * across
    axes.add_collection(
        PolyCollection(list(heads), facecolors=_DARK, edgecolors=_LIGHT, linewidths=0.5, zorder=5)
    )
