"""What fills a section's outline: smooth contours of a field, flow lines and arrows.

How much of it is drawn depends on the room the walls have on the page: a wall of a point or two
shows its colour alone, a thicker one its contours, a thick one its flow lines.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from . import flow_lines
from .drafting import INK, outline, outline_path
from .field_view import FieldView, Lookup
from .layout import points_per_length

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.colors import Colormap

Array = NDArray[np.float64]

#: Walls are never drawn thinner than this many points, and have an outline from the second on.
_LEAST_WALL, _OUTLINED_WALL = 2.4, 5.0
_LEVELS = 24


def stress_layer(
    axes: Axes, view: FieldView, lookup: Lookup, colours: Colormap
) -> dict[str, Artist]:
    """Contours of the stress magnitude, flow lines and arrows; returns the key's entries."""
    key = fill(axes, view, view.magnitude, np.linspace(0.0, view.peak, _LEVELS + 1), colours)
    return key | _flow(axes, view, lookup)


def warping_layer(
    axes: Axes, view: FieldView, limit: float, colours: Colormap
) -> dict[str, Artist]:
    """Contours of the warping function between -limit and limit; returns the key's entries."""
    levels = np.linspace(-limit, limit, 2 * _LEVELS + 1)
    return fill(axes, view, view.warping, levels, colours)


def fill(
    axes: Axes, view: FieldView, values: Array, levels: Array, colours: Colormap
) -> dict[str, Artist]:
    """Smooth filled contours with the outline over them; returns the key's entries."""
    from matplotlib.lines import Line2D
    from matplotlib.tri import Triangulation

    wall = points_per_length(axes) * view.wall
    outline(
        axes, view.section, float(np.clip(0.06 * wall, 0.3, 0.8)) if wall > _OUTLINED_WALL else 0.0
    )
    if wall >= _LEAST_WALL:
        mesh = Triangulation(view.points[:, 0], view.points[:, 1], view.triangles)
        filled = axes.tricontourf(
            mesh, values, levels=levels, cmap=colours, extend="both", zorder=1
        )
        # Thin strokes of its own colour close the hairlines that viewers leave between
        # neighbouring polygons; strokes of slivers end in spikes, so the outline clips them.
        filled.set(edgecolor="face", linewidth=0.25)
        around = outline_path(view.section)
        if not axes.get_autoscalex_on():
            # An enlarged place: in an SVG a path of its own replaces the clip by the axes' box.
            around = around.clip_to_bbox(axes.viewLim)
        filled.set_clip_path(around, axes.transData)
        return {}
    _thickened(axes, view, values, (levels[0], levels[-1]), colours, _LEAST_WALL - wall)
    label = "walls drawn thicker, with their peak value"
    return {label: Line2D([], [], color="#777777", linewidth=_LEAST_WALL)}


def _thickened(
    axes: Axes,
    view: FieldView,
    values: Array,
    span: tuple[float, float],
    colours: Colormap,
    width: float,
) -> None:
    """Triangles with strokes of their own colour, the greatest magnitudes on top."""
    from matplotlib.collections import PolyCollection
    from matplotlib.colors import Normalize

    mean = values[view.triangles].mean(axis=1)
    order = np.argsort(np.abs(mean))
    shapes = view.points[view.triangles[order]]
    colour = colours(Normalize(*span)(mean[order]))
    axes.add_collection(
        PolyCollection(
            list(shapes),
            facecolors=colour,
            edgecolors=colour,
            linewidths=width,
            zorder=1,
            rasterized=True,
        )
    )


def _flow(axes: Axes, view: FieldView, lookup: Lookup) -> dict[str, Artist]:
    """Flow lines as far as there is room, and arrows along them."""
    from matplotlib.lines import Line2D

    scale = points_per_length(axes)
    points, triangles, sample = view.shared()
    phi = view.stress_function[sample]
    low, high = float(phi.min()), float(phi.max())
    count = flow_lines.line_count(scale * view.wall, closed=view.closed)
    key: dict[str, Artist] = {}
    arrowed: list[list[Array]] = []
    if count:
        levels = low + (high - low) * (np.arange(count) + 0.5) / count
        lines = flow_lines.trace(axes, points, triangles, phi, levels)
        flow_lines.draw_lines(axes, lines)
        arrowed = lines[min(1, count - 1) :: 3]
        key["shear-flow lines, equal flow between them"] = Line2D([], [], color=INK, linewidth=0.7)
    elif view.closed:
        # A cell's flow runs one way round its wall, so an arrow on the wall still says something.
        arrowed = flow_lines.trace(axes, points, triangles, phi, np.array([low + (high - low) / 2]))
    seats = flow_lines.arrow_seats([line for level in arrowed for line in level], scale, axes)
    flow_lines.draw_arrows(axes, seats, lookup.direction(seats), scale)
    if len(seats):
        key["direction under a positive torque"] = Line2D(
            [], [], color=INK, marker=">", markersize=5, linestyle=""
        )
    return key
