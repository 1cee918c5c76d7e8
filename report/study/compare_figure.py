"""Figure of compared sections: outlines to one scale with their shear-flow lines, and ratios to
the first as bars on a log axis."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from ..drawing import drafting, flow_lines, palette
from ..drawing import fills as layers
from ..drawing.field_view import FieldView, Lookup
from ..drawing.figure_style import style
from ..drawing.layout import points_per_length
from ..section.figure import stress_per_torque
from .ratio_bars import draw_bars

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from ...solver.study.choice.comparison import Comparison

#: Inches: room for the drawings across, their largest height, and what stands around them; little
#: wider than a printed page, which leaves the letters six points.
_ACROSS, _HIGHEST = 7.2, 2.5
_GAP, _SIDE, _NAMES, _BARS, _FOOT, _HEAD = 0.35, 0.5, 0.55, 2.6, 0.95, 1.05
#: Drawings in one row.
_ROW = 4
_LEVELS = 24
#: Points between flow lines, their greatest number, and the wall in points that arrows need.
_LINES_APART, _MOST_LINES, _ARROWED = 2.6, 8, 14.0
#: The single line of a thin open wall, as a share of the median stress function.
_WALL_SHARE = 0.75
#: Decades of stress that the colours tell apart.
_DECADES = 3
_QUANTITIES = (
    ("stiffness", "torsional\nstiffness"),
    ("strength", "torque at\nfirst yield"),
    ("plastic", "fully plastic\ntorque"),
    ("warping", "warping\nstiffness"),
    ("lever_arm", "mean\nlever arm"),
    ("weight", "weight"),
)


def plot_comparison(comparison: Comparison, members: Sequence[Any] = ()) -> Figure:
    """Draw the sections and their ratios.

    Parameters
    ----------
    comparison : Comparison
    members : sequence
        What a member does with each section; adds bars of its twist and stress.
    """
    from matplotlib.figure import Figure

    views = [FieldView.of(r) for r in comparison.results]
    rows = [range(k, min(k + _ROW, len(views))) for k in range(0, len(views), _ROW)]
    scale = _scale(views, rows)
    heights = [max(_size(views[k])[1] for k in row) * scale for row in rows]
    page = (
        _ACROSS + 2 * _SIDE,
        _HEAD + sum(heights) + len(rows) * _NAMES + _BARS + _FOOT,
    )
    with style():
        figure = Figure(figsize=page, facecolor=drafting.PAPER)
        equal = f", equal {comparison.equal}" if comparison.equal else ""
        figure.text(
            _SIDE / page[0],
            1 - 0.18 / page[1],
            f"Sections to one scale{equal}; shear-flow lines of a torque",
            fontsize=11,
            weight="bold",
            va="top",
        )
        peak = max(view.peak for view in views)
        _stress_bar(figure, page, views[0].section.unit, peak)
        top = page[1] - _HEAD
        for row, height in zip(rows, heights, strict=True):
            _row(figure, page, comparison, views, row, scale, top, height, peak)
            top -= height + _NAMES
        _bars(figure, page, comparison, members)
    return figure


def save_comparison(figure: Figure, path: str) -> None:
    """Write the figure as SVG, PNG or PDF by the path's extension, whole or not at all."""
    from ..section.figure import save

    save(figure.axes[0], path)


def _size(view: FieldView) -> tuple[float, float]:
    x0, y0, x1, y1 = view.section.bounds()
    return x1 - x0, y1 - y0


def _scale(views: Sequence[FieldView], rows: Sequence[range]) -> float:
    """Inches a length unit, the same for all: as large as the fullest row and the highest allow."""
    scales = []
    for row in rows:
        width = sum(_size(views[k])[0] for k in row)
        room = _ACROSS - _GAP * (len(row) - 1)
        scales += [room / width, _HIGHEST / max(_size(views[k])[1] for k in row)]
    return min(scales)


def _row(
    figure: Figure,
    page: tuple[float, float],
    comparison: Comparison,
    views: Sequence[FieldView],
    row: range,
    scale: float,
    top: float,
    height: float,
    top_stress: float,
) -> None:
    """One row of drawings, centred, feet on one line, each with its number and name below."""
    widths = [_size(views[k])[0] * scale for k in row]
    # Small shapes far apart would leave their names no room; wide ones need no more gap.
    gap = max(_GAP, (_ACROSS - sum(widths)) / (len(row) + 1))
    left = _SIDE + max(0.0, (_ACROSS - sum(widths) - gap * (len(row) - 1)) / 2)
    colours = palette.stress_colours()
    for k, width in zip(row, widths, strict=True):
        own = _size(views[k])[1] * scale
        pad = 0.02
        axes = figure.add_axes(
            (
                (left - pad) / page[0],
                (top - height - pad) / page[1],
                (width + 2 * pad) / page[0],
                (own + 2 * pad) / page[1],
            )
        )
        x0, y0, x1, y1 = views[k].section.bounds()
        axes.set(
            xlim=(x0 - pad / scale, x1 + pad / scale),
            ylim=(y0 - pad / scale, y1 + pad / scale),
            aspect="equal",
        )
        axes.set_axis_off()
        # One scale for all, logarithmic: an open section bears tens of times the stress of a tube.
        view = views[k]
        levels = np.linspace(0.0, 1.0, _LEVELS + 1)
        layers.fill(axes, view, _share(view.magnitude, top_stress), levels, colours)
        _flow(axes, view)
        room = max(10, int((width + gap) * 11))
        name = "\n".join(textwrap.wrap(f"{k + 1}  {comparison.properties[k].name}", room)[:2])
        figure.text(
            (left + width / 2) / page[0],
            (top - height - 0.1) / page[1],
            name,
            fontsize=8.5,
            ha="center",
            va="top",
            color=drafting.INK,
        )
        left += width + gap


def _share(stress: Any, peak: float) -> Any:
    """Where stresses stand on the scale: 0 at a thousandth of the peak and below, 1 at the peak."""
    return 1.0 + np.log10(np.maximum(stress / peak, 10.0**-_DECADES)) / _DECADES


def _stress_bar(figure: Figure, page: tuple[float, float], unit: str, peak: float) -> None:
    """The one scale of all drawings, below the title."""
    from matplotlib.cm import ScalarMappable
    from matplotlib.colors import LogNorm

    factor, label = stress_per_torque(unit, peak)
    box = (_SIDE / page[0], 1 - 0.6 / page[1], 3.2 / page[0], 0.1 / page[1])
    norm = LogNorm(peak * factor * 10.0**-_DECADES, peak * factor)
    bar = figure.colorbar(
        ScalarMappable(norm, palette.stress_colours()),
        cax=figure.add_axes(box),
        orientation="horizontal",
    )
    bar.outline.set_linewidth(0.4)
    bar.ax.xaxis.set_major_formatter("{x:g}")
    bar.ax.tick_params(labelsize=7.2, width=0.5, length=2, which="both", pad=1)
    bar.set_label(f"shear stress of the same torque ({label})", fontsize=7.2, labelpad=1)


def _flow(axes: Axes, view: FieldView) -> None:
    """Flow lines, one at least whatever the wall, and arrows where there is room for them."""
    lookup, scale = Lookup(view), points_per_length(axes)
    points, triangles, sample = view.shared()
    phi = view.stress_function[sample]
    low, high = float(phi.min()), float(phi.max())
    passes = 1 if view.closed else 2  # in an open wall each level goes there and back
    count = int(np.clip(scale * view.wall / (_LINES_APART * passes), 1, _MOST_LINES))
    levels = low + (high - low) * (np.arange(count) + 0.5) / count
    if count == 1 and not view.closed:
        # The greatest value stands in the thick of a junction; the walls' own shows their flow.
        levels = np.array([low + _WALL_SHARE * (float(np.median(phi)) - low)])
    lines = flow_lines.trace(axes, points, triangles, phi, levels)
    flow_lines.draw_lines(axes, lines)
    if view.closed or scale * view.wall > _ARROWED:
        seats = flow_lines.arrow_seats(lines[count // 2], scale, axes)
        flow_lines.draw_arrows(axes, seats, lookup.direction(seats), scale)


def _bars(
    figure: Figure, page: tuple[float, float], comparison: Comparison, members: Sequence[Any]
) -> None:
    axes = figure.add_axes(
        (
            (_SIDE + 0.25) / page[0],
            _FOOT / page[1],
            (_ACROSS - 0.25) / page[0],
            (_BARS - 0.45) / page[1],
        )
    )
    groups = [(label, [getattr(r, word) for r in comparison.ratios]) for word, label in _QUANTITIES]
    if members:
        groups += _member_groups(members)
    groups = [
        (label, values)
        for label, values in groups
        if any(v is not None and v > 0 and abs(v - 1) > 1e-6 for v in values)
    ]
    draw_bars(axes, groups, [p.name for p in comparison.properties])


def _member_groups(members: Sequence[Any]) -> list[tuple[str, list[float | None]]]:
    """Twist and stress in the member, relative to the first section's: all of them by one theory,
    that of deforming sections where it tells of all."""
    solved = [None if isinstance(m, str) else m for m in members]
    mixed = len({m.theory for m in solved if m is not None}) > 1
    if mixed:
        solved = [m if m is None or m.classical is None else m.classical for m in solved]
    theory = ",\nclassical theory" if mixed else ""

    def relative(word: str) -> list[float | None]:
        values = [None if m is None else getattr(m, word) for m in solved]
        first = values[0]
        return [None if v is None or not first else v / first for v in values]

    return [
        (f"twist of\nthe member{theory}", relative("twist")),
        (f"stress in\nthe member{theory}", relative("stress")),
    ]
