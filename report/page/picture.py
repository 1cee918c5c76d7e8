"""Figures of a section as pictures inside the page."""

from __future__ import annotations

import io
from base64 import b64encode
from typing import TYPE_CHECKING

from ..drawing.figure_style import style
from .document import Picture

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Dots per inch of contours inside vector figures: sharp on paper, small in a page.
_DOTS = 180
#: Figures at least so high, in inches, are drawn for a page of their own.
_SHEET = 9.0


def picture(axes: Axes | Figure, words: str, caption: str, *, tall: bool = False) -> Picture:
    """The axes' figure inside the page.

    Parameters
    ----------
    axes : matplotlib Axes or Figure
        In a page of its own, as `figure.plot_shear` and its kind return it.
    words : str
        What it shows, for those who cannot see it.
    caption : str
    tall : bool
        True to print it as wide as the page however high it is then: its letters need that.
    """
    data = b64encode(svg(axes)).decode("ascii")
    width, height = axes.get_figure(root=True).get_size_inches()  # type: ignore[union-attr]
    sheet = bool(height >= _SHEET and height > width and not tall)
    return Picture(f"data:image/svg+xml;base64,{data}", words, caption, sheet, tall)


def svg(axes: Axes | Figure) -> bytes:
    """The axes' figure as an SVG whose contours are pixels and whose lines and texts are not."""
    drawing = axes.get_figure(root=True)
    assert drawing is not None  # axes are made in a figure
    for each in drawing.axes:
        # Contours are thousands of polygons: as vectors they would outweigh the page.
        for fill in each.collections:
            if fill.get_zorder() <= 1:
                fill.set_rasterized(True)
    text = io.BytesIO()
    with style():
        drawing.savefig(text, format="svg", dpi=_DOTS, metadata={"Date": None})
    return text.getvalue()
