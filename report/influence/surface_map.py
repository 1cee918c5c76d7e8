"""Influence surfaces drawn: one map a result, the deck laid out straight."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

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
SHOWN = 8
_HEAD, _ROW, _FOOT = 0.85, 1.5, 0.5
_LEVELS = 12


def plot_surface(result: InfluenceResult) -> Figure:
    """The first results, one below another."""
    from matplotlib.figure import Figure

    found = result.influence
    count = min(SHOWN, len(found.asked))
    height = _HEAD + _ROW * count + _FOOT
    with style():
        figure = Figure(figsize=(8.3, height), dpi=150, facecolor=drafting.PAPER)
        grid = figure.add_gridspec(
            count, 2, left=0.1, right=0.91, top=1 - _HEAD / height, bottom=_FOOT / height,
            hspace=0.6, wspace=0.03, width_ratios=[60, 1],
        )  # fmt: skip
        words = (
            f"vertical load of {load_words(result)}, downward, anywhere on the deck, which is laid "
            "out straight; dots: maximum and minimum; bars: supports"
        )
        if count < len(found.asked):
            words += f"; the first {count} of {len(found.asked)} results"
        put_heading(figure, f"{found.member.name}: influence surfaces", words)
        for c in range(count):
            axes = figure.add_subplot(grid[c, 0])
            _panel(axes, figure.add_subplot(grid[c, 1]), result, c)
            axes.tick_params(labelbottom=c == count - 1)
            if c == count - 1:
                axes.set_xlabel(f"load at ({result.units.unit('along')})", fontsize=7)
        use_fonts_that_have(figure)
    return figure


def _panel(axes: Axes, bar: Axes, result: InfluenceResult, c: int) -> None:
    found, units = result.influence, result.units
    along = units.factor("along")
    member = found.member
    across = [member.locate(line.place, member.section_at(0.0))[0] for line in found.lines]
    order = np.argsort(across)
    x = np.array(across)[order]
    values = found.ordinates[order, :, c] * result.factor(c)
    limit = float(np.abs(values).max()) or 1.0
    levels = np.linspace(-limit, limit, 2 * _LEVELS + 1)
    z = found.z * along
    # Both sides of a station where the surface jumps.
    z = z + np.where(found.last, -1e-9, 1e-9) * z[-1]
    filled = axes.contourf(z, x, values, levels, cmap="RdBu_r", vmin=-limit, vmax=limit)
    lines = axes.contour(
        z, x, values, levels[::4], colors=drafting.INK, linewidths=0.4, linestyles="solid"
    )
    axes.clabel(lines, fontsize=5, fmt=lambda v: number(v, 2))
    low, high = float(x[0]), float(x[-1])
    for support in member.supports:
        seats = [b.x for b in support.bearings]
        at = support.at * along
        if seats:
            axes.plot([at] * len(seats), seats, "s", color=drafting.INK, ms=3, clip_on=False)
        axes.plot([at, at], [low, high], color=drafting.INK, lw=0.8, clip_on=False)
    for one in (found.maxima[c], found.minima[c]):
        if abs(one.value * result.factor(c)) > 1e-6 * limit:
            axes.plot([one.at * along], [across[one.line]], "o", ms=3.5, mfc="white",
                      mec=drafting.INK, mew=0.8, clip_on=False, zorder=5)  # fmt: skip
    title, size = within(f"{found.asked[c].title} ({result.unit(c)})", 6.5, 8.0)
    axes.set_title(title, fontsize=size, loc="left", pad=3)
    axes.set_ylabel(f"x ({units.unit('place')})", fontsize=6.5)
    axes.tick_params(labelsize=6.5)
    axes.set_xlim(0, member.length * along)
    # x to the right of the section is upward here: the left edge is below.
    axes.set_ylim(low, high)
    shown = axes.figure.colorbar(filled, cax=bar, ticks=[-limit, 0, limit])
    shown.ax.set_yticklabels([number(v, 3) for v in (-limit, 0.0, limit)])
    shown.ax.tick_params(labelsize=6, length=2)
