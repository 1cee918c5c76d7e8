"""The draughtsman's part of a figure: outline, dimensions, points and axes of a section."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...geometry.outline.contour import edge_points

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D
    from matplotlib.path import Path

    from ...geometry.section import Section

Array = NDArray[np.float64]
Point = Sequence[float]

INK = "#1a1a1a"
PAPER = "#ffffff"
ACCENT = "#b3123c"
#: Chords of drawn arcs leave them by this share of the section's size, far below a screen's pixel.
_DEVIATION = 2e-5
_MARGIN = 0.05
#: Inches that a number takes along x.
_TICK_ROOM = 0.55


def frame(axes: Axes, section: Section, marks: Sequence[Point]) -> None:
    """Equal axes around the section and the marks, labelled with the length unit."""
    plain_frame(axes, window(section, marks), section.unit)


def plain_frame(axes: Axes, box: tuple[float, float, float, float], unit: str) -> None:
    """Equal axes that show (xmin, ymin, xmax, ymax), labelled with the length unit."""
    x0, y0, x1, y1 = box
    axes.set_xlim(x0, x1)
    axes.set_ylim(y0, y1)
    axes.set_aspect("equal")
    unit = f" ({unit})" if unit else ""
    axes.set_xlabel(f"x{unit}", fontsize=8)
    axes.set_ylabel(f"y{unit}", fontsize=8)
    axes.tick_params(labelsize=7, length=2.5, width=0.5, colors="#555555")
    wide, high = _inches(axes)
    axes.locator_params(axis="x", nbins=max(1, min(7, int(wide / _TICK_ROOM))))
    axes.locator_params(axis="y", nbins=max(1, min(7, int(high / _TICK_ROOM * 1.6))))
    for side, spine in axes.spines.items():
        spine.set_visible(side in ("left", "bottom"))
        spine.set(linewidth=0.5, color="#999999")


def _inches(axes: Axes) -> tuple[float, float]:
    """Width and height of the axes on the page."""
    figure = axes.get_figure(root=True)
    assert figure is not None
    box = axes.get_position(original=True)
    width, height = figure.get_size_inches()
    return float(box.width * width), float(box.height * height)


def window(section: Section, marks: Sequence[Point]) -> tuple[float, float, float, float]:
    """(xmin, ymin, xmax, ymax) of what is shown: the section and the marks with a margin."""
    x0, y0, x1, y1 = section.bounds()
    pad = _MARGIN * max(x1 - x0, y1 - y0)
    xs, ys = [float(p[0]) for p in marks], [float(p[1]) for p in marks]
    return (
        min(x0, *xs, x0) - pad,
        min(y0, *ys, y0) - pad,
        max(x1, *xs, x1) + pad,
        max(y1, *ys, y1) + pad,
    )


def outline(axes: Axes, section: Section, width: float) -> None:
    """All contours and slits as thin lines; `width` in points, 0 draws none."""
    from matplotlib.collections import LineCollection

    if width <= 0:
        return
    deviation = section.size() * _DEVIATION
    runs = []
    for contour in section.contours():
        run = contour.polyline(deviation)
        runs.append(np.vstack([run, run[:1]]))
    axes.add_collection(LineCollection(runs, colors=INK, linewidths=width, zorder=4))
    slits = [open_run(np.asarray(s.points), np.asarray(s.bulges)) for s in section.slits]
    axes.add_collection(
        LineCollection(slits, colors=ACCENT, linewidths=max(width, 1.0), linestyles="--", zorder=4)
    )


def open_run(points: Array, bulges: Array) -> Array:
    """(m, 2) points along a run of edges that does not close, arcs in twenty chords each."""
    steps = np.linspace(0.0, 1.0, 21)
    return edge_points(points[:-1], points[1:], bulges, steps).reshape(-1, 2)


def outline_path(section: Section) -> Path:
    """All contours as one path that encloses the material: outlines anticlockwise, holes not."""
    from matplotlib.path import Path

    deviation = section.size() * _DEVIATION
    runs = [contour.polyline(deviation) for contour in section.contours()]
    return Path.make_compound_path(*(Path(np.vstack([r, r[:1]]), closed=True) for r in runs))


def dimensions(axes: Axes, section: Section) -> None:
    """Overall width above the drawing and overall height to its right."""
    overall_size(axes, section.bounds(), section.unit)


def overall_size(axes: Axes, box: tuple[float, float, float, float], unit: str) -> None:
    """Width and height of a box (xmin, ymin, xmax, ymax), above the drawing and to its right."""
    x0, y0, x1, y1 = box
    style: dict[str, Any] = {
        "arrowstyle": "<|-|>,head_width=0.12,head_length=0.35",
        "linewidth": 0.5,
        "color": INK,
    }
    style |= {"shrinkA": 0, "shrinkB": 0}
    aloft, aside = ("data", "axes fraction"), ("axes fraction", "data")
    arrows = (((x0, 1.03), (x1, 1.03), aloft), ((1.02, y0), (1.02, y1), aside))
    for start, end, where in arrows:
        axes.annotate("", start, end, where, where, style, annotation_clip=False)
    text: dict[str, Any] = {"textcoords": "offset points", "fontsize": 8, "annotation_clip": False}
    width, height = (length_text(size, unit) for size in (x1 - x0, y1 - y0))
    axes.annotate(width, ((x0 + x1) / 2, 1.03), (0, 3), aloft, ha="center", va="bottom", **text)
    axes.annotate(
        height, (1.02, (y0 + y1) / 2), (4, 0), aside, ha="left", va="center", rotation=90, **text
    )


def length_text(value: float, unit: str) -> str:
    """A dimension as a drawing shows it."""
    return f"{value:.6g} {unit}".rstrip()


def centroid(axes: Axes, at: Point) -> Line2D:
    """The centroid: a cross in a circle; returns the key's mark."""
    from matplotlib.path import Path

    cross = Path([(-1, 0), (1, 0), (0, -1), (0, 1)], [Path.MOVETO, Path.LINETO] * 2)
    style: dict[str, Any] = {
        "marker": Path.make_compound_path(Path.unit_circle(), cross),
        "markerfacecolor": "none",
        "markeredgecolor": INK,
        "markersize": 7,
        "markeredgewidth": 0.8,
        "linestyle": "",
    }
    (mark,) = axes.plot(*at, zorder=7, **style)
    return mark


def shear_centre(axes: Axes, at: Point) -> Line2D:
    """The shear centre: a hollow diamond in the accent colour; returns the key's mark."""
    (mark,) = axes.plot(
        *at,
        "D",
        markerfacecolor="none",
        markeredgecolor=ACCENT,
        markersize=7,
        markeredgewidth=1.4,
        zorder=8,
    )
    return mark


def greatest(axes: Axes, at: Point) -> Line2D:
    """The place of the greatest stress: a ring around it; returns the key's mark."""
    (mark,) = axes.plot(
        *at,
        "o",
        markerfacecolor="none",
        markeredgecolor=ACCENT,
        markersize=9,
        markeredgewidth=1.2,
        zorder=8,
    )
    return mark


def refused_corners(axes: Axes, corners: Array) -> Line2D:
    """Sharp re-entrant corners, where the elastic stress has no bound; returns the key's mark."""
    (mark,) = axes.plot(
        *corners.T, "X", color=ACCENT, markeredgecolor=PAPER, markersize=8, zorder=8
    )
    return mark


def principal_axes(axes: Axes, at: Point, angle: float) -> Line2D:
    """Both principal axes through the centroid, the major one turned by `angle` radians from x."""
    (x0, x1), (y0, y1) = axes.get_xlim(), axes.get_ylim()
    inset = 0.025 * max(x1 - x0, y1 - y0)
    box = (x0 + inset, y0 + inset, x1 - inset, y1 - inset)
    style: dict[str, Any] = {
        "color": "#444444",
        "linewidth": 0.7,
        "linestyle": (0, (9, 2.5, 1.5, 2.5)),
        "zorder": 2.5,
    }
    paper: dict[str, Any] = {"boxstyle": "circle,pad=0.15", "facecolor": PAPER, "edgecolor": "none"}
    for name, turn in (("1", angle), ("2", angle + np.pi / 2)):
        direction = np.array([np.cos(turn), np.sin(turn)])
        ends = _clip(np.asarray(at, dtype=float), direction, box)
        (line,) = axes.plot(*ends.T, **style)
        x, y = ends[1]
        text: dict[str, Any] = {"ha": "center", "va": "center", "color": "#444444", "fontsize": 8}
        axes.text(x, y, name, bbox=paper, zorder=6, **text)
    return line


def _clip(at: Array, direction: Array, box: tuple[float, float, float, float]) -> Array:
    """(2, 2) ends of the line through `at` inside the box; `at` lies in it."""
    x0, y0, x1, y1 = box
    with np.errstate(divide="ignore", invalid="ignore"):
        first = (np.array([x0, y0]) - at) / direction
        last = (np.array([x1, y1]) - at) / direction
    steep = np.abs(direction) < 1e-12
    low = np.where(steep, -np.inf, np.minimum(first, last)).max()
    high = np.where(steep, np.inf, np.maximum(first, last)).min()
    return np.stack([at + low * direction, at + high * direction])
