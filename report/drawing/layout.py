"""Where the parts of a section's figure go: drawing, colour bar, enlarged detail and key.

Sizes are in inches and follow the section's shape, so a 12 m deck and a square tube both fill
theirs.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Box = tuple[float, float, float, float]

#: Largest drawing of a section.
_WIDTH, _HEIGHT = 8.4, 5.2
#: A section this many times wider than high gets its bar and key below, not beside.
_WIDE = 1.5
_LEFT, _RIGHT, _BOTTOM, _TOP = 0.75, 0.25, 0.6, 0.95
_DETAIL = 2.5
_COLUMN = 3.1
_POINTS = 72.0


@dataclass(frozen=True, slots=True)
class Layout:
    """Page size and boxes (left, bottom, width, height), all in inches."""

    page: tuple[float, float]
    drawing: Box
    bar: Box
    key: Box
    detail: Box | None
    horizontal_bar: bool

    def axes(self, figure: Figure, box: Box) -> Axes:
        """New axes of the figure in one of the boxes."""
        w, h = self.page
        left, bottom, width, height = box
        return figure.add_axes((left / w, bottom / h, width / w, height / h))


def arrange(width: float, height: float, *, wants_detail: bool) -> Layout:
    """Lay a page out for a drawing window of this width and height (any length unit)."""
    scale = min(_WIDTH / width, _HEIGHT / height)
    w, h = max(width * scale, 0.6), max(height * scale, 0.35)
    if w > _WIDE * h:
        return _stacked(w, h, wants_detail)
    scale = min(5.6 / width, _HEIGHT / height)
    return _side_by_side(max(width * scale, 0.6), max(height * scale, 0.35), wants_detail)


def _stacked(w: float, h: float, wants_detail: bool) -> Layout:
    """Drawing above; below it the bar with the key under it, and the detail to their right."""
    row = _DETAIL if wants_detail else 1.5
    foot = 0.15
    base = foot + row + _BOTTOM + 0.2
    page = (_LEFT + w + _RIGHT + 0.45, base + h + _TOP)
    room = w - (_DETAIL + 0.5 if wants_detail else 0.0)
    bar = (_LEFT, foot + row - 0.2, room, 0.15)
    key = (_LEFT, foot, room, row - 0.75)
    detail = (_LEFT + w - _DETAIL, foot, _DETAIL, _DETAIL) if wants_detail else None
    return Layout(page, (_LEFT, base, w, h), bar, key, detail, True)


def _side_by_side(w: float, h: float, wants_detail: bool) -> Layout:
    """Drawing on the left; the bar beside it, then a column with the detail above the key."""
    bar_left = _LEFT + w + 0.7
    column = bar_left + 0.95
    tall = max(h, _DETAIL + 1.75 if wants_detail else 2.2)
    page = (column + _COLUMN + _RIGHT, _BOTTOM + tall + _TOP)
    top = _BOTTOM + tall
    bar = (bar_left, top - max(h, 2.0), 0.15, max(h, 2.0))
    detail = (column, top - _DETAIL, _DETAIL, _DETAIL) if wants_detail else None
    room = tall - (_DETAIL + 0.25 if wants_detail else 0.0)
    return Layout(
        page, (_LEFT, top - h, w, h), bar, (column, _BOTTOM, _COLUMN, room), detail, False
    )


def points_per_length(axes: Axes) -> float:
    """How many printer's points one length unit of the section takes on the page."""
    figure = axes.get_figure(root=True)
    assert figure is not None  # axes are made in a figure
    figure_width, figure_height = figure.get_size_inches()
    box = axes.get_position()
    (x0, x1), (y0, y1) = axes.get_xlim(), axes.get_ylim()
    across = box.width * figure_width / abs(x1 - x0)
    up = box.height * figure_height / abs(y1 - y0)
    return float(min(across, up) * _POINTS)
