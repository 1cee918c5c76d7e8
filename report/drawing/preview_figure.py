"""The figure of a section before it is solved: its parts, dimensions, joints, slits and the names
that messages use, and of an invalid one the place of the error.
"""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING, Any

from ...geometry.section_file.preview import Preview
from . import drafting, outline_labels, wall_labels
from . import preview_layers as draw_layers
from .figure_style import style
from .labels import Board
from .layout import points_per_length

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Box = tuple[float, float, float, float]

#: Inches: the largest drawing, the room for labels around it, margins of the page, a line of text.
_WIDTH, _HEIGHT, _ROOM = 8.6, 5.6, 0.42
_LEFT, _RIGHT, _BOTTOM, _TOP, _LINE = 0.7, 0.55, 0.55, 0.95, 0.18
#: A drawing narrower than this has its key beside it.
_NARROW = 6.0
#: Characters in a line of the error's message, and inches each takes there and in the key.
_MESSAGE, _MESSAGE_WIDTH, _KEY_WIDTH = 100, 0.064, 0.068


def plot_preview(seen: Preview, *, ax: Axes | None = None) -> Axes:
    """Draw what a preview holds.

    Parameters
    ----------
    seen : Preview
    ax : matplotlib Axes, optional
        Draw here; left out: a page of its own, with title, key and the error's message.
    """
    with style():
        if ax is None:
            axes = _page(seen)
        else:
            axes = ax
            drafting.plain_frame(axes, _window(seen.bounds()), seen.unit)
            _legend(axes, draw_layers.key_entries(seen), {"loc": "upper left"})
        drafting.overall_size(axes, seen.bounds(), seen.unit)
        board = Board(axes, draw_layers.line_points(seen, 2.0 / points_per_length(axes)))
        draw_layers.draw_loose(axes, seen)
        if seen.section is not None:
            draw_layers.draw_parts(axes, seen.section)
        draw_layers.draw_error(axes, seen, board)
        if seen.section is not None:
            contours = list(seen.section.contours())
            draw_layers.name_parts(seen.section, board)
            draw_layers.draw_contacts(axes, seen.section, board)
            for contour in contours:
                outline_labels.number_vertices(board, contour)
            written = wall_labels.write_walls(board, seen.section)
            outline_labels.write_lengths(board, contours, written)
    return axes


def summary(seen: Preview) -> str:
    """What there is, in a line: "3 regions, 1 hole, 4 joints; 2 unconnected parts"."""
    if seen.section is None:
        count = len(seen.loose)
        return "1 line that makes no section" if count == 1 else f"{count} lines, no section"
    section = seen.section
    counts = {
        "region": len(section.regions),
        "hole": sum(len(r.holes) for r in section.regions),
        "joint": len(section.joints),
        "slit": len(section.slits),
    }
    words = [f"{n} {word}{'' if n == 1 else 's'}" for word, n in counts.items() if n]
    state = "not valid, see the mark" if seen.places else "not valid" if seen.error else ""
    if seen.bodies > 1:
        state = f"{seen.bodies} unconnected parts, in contact only"
    return ", ".join(words) + (f"; {state}" if state else "")


def _window(box: Box) -> Box:
    x0, y0, x1, y1 = box
    pad = 0.1 * max(x1 - x0, y1 - y0) or 1.0
    return x0 - pad, y0 - pad, x1 + pad, y1 + pad


def _page(seen: Preview) -> Axes:
    """Axes on a page that fits the drawing, its key and what has to be said."""
    from matplotlib.figure import Figure

    x0, y0, x1, y1 = seen.bounds()
    width, height = x1 - x0, y1 - y0
    size = max(width, height) or 1.0
    scale = min(
        (_WIDTH - 2 * _ROOM) / max(width, 1e-6 * size),
        (_HEIGHT - 2 * _ROOM) / max(height, 1e-6 * size),
    )
    pad = _ROOM / scale
    w, h = width * scale + 2 * _ROOM, height * scale + 2 * _ROOM
    key = draw_layers.key_entries(seen)
    column = 0.75 + _KEY_WIDTH * max(map(len, key), default=0)
    beside = w < _NARROW
    message = textwrap.wrap(seen.message, _MESSAGE)
    below = 0.0 if beside else 0.15 + _LINE * ((len(key) + 1) // 2)
    words = _MESSAGE_WIDTH * max(map(len, [*message, summary(seen)]))
    page_w = max(_LEFT + w + _RIGHT + (column if beside else 0.0), _LEFT + words + 0.2)
    page_h = below + _BOTTOM + h + _TOP + _LINE * len(message)
    figure = Figure(figsize=(page_w, page_h), facecolor=drafting.PAPER)
    axes = figure.add_axes((_LEFT / page_w, (below + _BOTTOM) / page_h, w / page_w, h / page_h))
    drafting.plain_frame(axes, (x0 - pad, y0 - pad, x1 + pad, y1 + pad), seen.unit)
    _title(figure, seen, message)
    place = (1 + 0.45 / w, 1.0) if beside else (0.0, -0.5 / h)
    _legend(axes, key, {"loc": "upper left", "bbox_to_anchor": place, "ncols": 1 + (not beside)})
    return axes


def _title(figure: Figure, seen: Preview, message: list[str]) -> None:
    wide, high = figure.get_size_inches()
    left = _LEFT / wide
    figure.text(left, 1 - 0.2 / high, seen.name[:80], fontsize=11, weight="bold", va="top")
    figure.text(left, 1 - 0.42 / high, summary(seen), fontsize=8.5, va="top", color="#444444")
    for k, line in enumerate(message):
        at = 1 - (0.62 + _LINE * k) / high
        figure.text(left, at, line, fontsize=7.5, va="top", color=drafting.ACCENT)


def _legend(axes: Axes, entries: dict[str, Artist], place: dict[str, Any]) -> None:
    if entries:
        options: dict[str, Any] = {"fontsize": 7.5, "frameon": False, "handlelength": 2.0}
        axes.legend(list(entries.values()), list(entries), borderaxespad=0.0, **place, **options)
