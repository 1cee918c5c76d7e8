"""Influence lines drawn: one panel a result, one curve a line of travel."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...solver.member.influence.analysis import LoadExtreme
from ..drawing import drafting
from ..drawing.figure_style import style
from ..drawing.fonts import use_fonts_that_have, within
from ..text.number import number
from .heading import put_heading
from .result import InfluenceResult
from .table import load_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Results on one page.
SHOWN = 16
#: Inches of the heading, of a panel and of the foot.
_HEAD, _ROW, _FOOT = 0.85, 1.25, 0.5
#: Distinct in lightness, so that they part in print too.
_COLOURS = ("#123f6b", "#c2571a", "#4d8f5b", "#8a5a9e", "#7a7a7a", "#b59a17")


def plot_influence(result: InfluenceResult) -> Figure:
    """The first results, one below another."""
    from matplotlib.figure import Figure

    found = result.influence
    count = min(SHOWN, len(found.asked))
    height = _HEAD + _ROW * count + _FOOT
    with style():
        figure = Figure(figsize=(8.3, height), dpi=150, facecolor=drafting.PAPER)
        grid = figure.add_gridspec(
            count, 1, left=0.11, right=0.97, top=1 - _HEAD / height, bottom=_FOOT / height,
            hspace=0.55,
        )  # fmt: skip
        words = f"vertical load of {load_words(result)}, downward; dots: maximum and minimum"
        if count < len(found.asked):
            words += f"; the first {count} of {len(found.asked)} results"
        put_heading(figure, f"{found.member.name}: influence lines", words)
        axes = [figure.add_subplot(grid[k, 0]) for k in range(count)]
        for c, ax in enumerate(axes):
            _panel(ax, result, c)
            ax.tick_params(labelbottom=c == count - 1)
        axes[-1].set_xlabel(f"load at ({result.units.unit('along')})", fontsize=7)
        if len(found.lines) > 1:
            handles, labels = axes[0].get_legend_handles_labels()
            figure.legend(
                handles, labels, loc="upper right", bbox_to_anchor=(0.975, 1 - 0.3 / height),
                ncol=min(4, len(labels)), fontsize=6.5, frameon=False, borderaxespad=0,
            )  # fmt: skip
        use_fonts_that_have(figure)
    return figure


def _panel(ax: Axes, result: InfluenceResult, c: int) -> None:
    found = result.influence
    along = result.units.factor("along")
    z = found.z * along
    factor = result.factor(c)
    for k, (line, values) in enumerate(zip(found.lines, found.ordinates, strict=True)):
        colour = _COLOURS[k % len(_COLOURS)]
        dashes = "-" if k < len(_COLOURS) else "--"
        ax.plot(z, values[:, c] * factor, dashes, color=colour, lw=1.1, label=line.title)
    ax.axhline(0, color=drafting.INK, lw=0.5)
    for support in found.member.supports:
        ax.axvline(support.at * along, color="#c9c9c9", lw=0.5, zorder=0)
    title, size = within(f"{found.asked[c].title} ({result.unit(c)})", 6.5, 8.0)
    ax.set_title(title, fontsize=size, loc="left", pad=3)
    ax.tick_params(labelsize=6.5)
    ax.set_xlim(0, found.member.length * along)
    ax.margins(y=0.3)
    span = float(np.ptp(found.ordinates[..., c])) * factor
    if not span:
        return
    for one, up in ((found.maxima[c], True), (found.minima[c], False)):
        if abs(one.value * factor) > 1e-6 * abs(span):
            _mark(ax, result, c, one, up)


def _mark(ax: Axes, result: InfluenceResult, c: int, one: LoadExtreme, up: bool) -> None:
    x, y = one.at * result.units.factor("along"), one.value * result.factor(c)
    share = one.at / result.influence.member.length
    side = "left" if share < 0.1 else "right" if share > 0.9 else "center"
    ax.plot([x], [y], "o", ms=2.8, color=drafting.INK, clip_on=False, zorder=4)
    ax.annotate(
        number(y, 4), (x, y), (0, 3 if up else -3), textcoords="offset points", fontsize=6,
        ha=side, va="bottom" if up else "top", color=drafting.INK,
    )  # fmt: skip
