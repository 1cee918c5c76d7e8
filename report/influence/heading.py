"""How pages of influence lines, surfaces, places and bearings are headed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..drawing import drafting
from ..drawing.fonts import within

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def put_heading(figure: Figure, title: str, words: str) -> None:
    """A title and a line of words at the top of a page."""
    height = figure.get_figheight()
    shown, size = within(title, 7.6, 12.0)
    figure.text(0.03, 1 - 0.2 / height, shown, fontsize=size, weight="bold", va="center")
    figure.text(0.03, 1 - 0.42 / height, words, fontsize=7, color=drafting.INK, va="center")
