"""One diagram along a member: the combination shown, the range over all of them, and the
extremes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...solver.member.review.greatest import greatest
from ..drawing.palette import SERIES, SHOWN
from ..drawing.symbols import INDEX, runs
from ..text.number import number

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.offsetbox import HPacker

Array = NDArray[np.float64]

#: Colours that readers with any colour vision tell apart, and that differ in grey (Okabe and Ito,
#: Color Universal Design, 2008); every line has a dash of its own besides.
FIRST, SECOND, LIMIT = SERIES[1], SERIES[2], "#b3123c"
_RANGE, _EDGE = "#dbe5ee", "#9fb4c7"
_SMALL = 7.6
#: Extremes below this share of the largest value are not worth a number.
_SLIGHT = 0.08


@dataclass(frozen=True, slots=True)
class Curve:
    """A further line of the combination shown."""

    values: Array
    words: str
    colour: str
    dashes: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Diagram:
    """What a panel shows.

    Attributes
    ----------
    words : str
        Title, with the symbol.
    unit : str
    values : (m, c)
        In that unit, of every combination.
    curves : sequence of Curve
        Further lines of the combination shown.
    down : bool
        True to draw positive values downward.
    limit : float, optional
        A value that must not be passed, either way for values of both signs.
    remark : str
        At the right end of the title line.
    """

    words: str
    unit: str
    values: Array
    curves: Sequence[Curve] = ()
    down: bool = False
    limit: float | None = None
    remark: str = ""


def draw(axes: Axes, z: Array, diagram: Diagram, shown: int) -> None:
    """Draw one panel over stations z (m,), which may stand twice where values jump."""
    values = diagram.values
    low, high = values.min(axis=1), values.max(axis=1)
    if values.shape[1] > 1:
        axes.fill_between(z, low, high, color=_RANGE, linewidth=0, zorder=1)
        for edge in (low, high):
            axes.plot(z, edge, color=_EDGE, linewidth=0.5, zorder=2)
    axes.axhline(0.0, color="#555555", linewidth=0.6, zorder=2)
    for curve in diagram.curves:
        (line,) = axes.plot(z, curve.values, color=curve.colour, linewidth=1.1, zorder=6)
        line.set_dashes(curve.dashes)
    mine = values[:, shown]
    axes.plot(z, mine, color=SHOWN, linewidth=1.5, zorder=5)
    _scale(axes, diagram, low, high)
    _limits(axes, diagram, low, high)
    _titles(axes, diagram)
    _extremes(axes, z, mine, diagram)


def _scale(axes: Axes, diagram: Diagram, low: Array, high: Array) -> None:
    """Room above and below, so that extremes can be labelled; zero is always there."""
    every = [low.min(), high.max(), 0.0]
    every += [float(f(c.values)) for c in diagram.curves for f in (np.min, np.max)]
    bottom, top = min(every), max(every)
    pad = 0.24 * ((top - bottom) or 1.0)
    ends = (bottom - pad * (bottom < 0), top + pad * (top > 0))
    if ends[0] == ends[1]:
        ends = (-1.0, 1.0)
    axes.set_ylim(*(ends[::-1] if diagram.down else ends))
    axes.locator_params(axis="y", nbins=4)
    axes.tick_params(labelsize=_SMALL, length=2.5, width=0.5, colors="#555555")
    axes.grid(axis="y", linewidth=0.35, color="#e3e3e3", zorder=0)
    for side, spine in axes.spines.items():
        spine.set_visible(side == "left")
        spine.set(linewidth=0.5, color="#999999")


def _limits(axes: Axes, diagram: Diagram, low: Array, high: Array) -> None:
    """Limit lines that lie inside the panel."""
    if diagram.limit is None:
        return
    ends = sorted(axes.get_ylim())
    signs = [s for s, reached in ((1.0, high.max() > 0), (-1.0, low.min() < 0)) if reached]
    for sign in signs:
        if ends[0] <= sign * diagram.limit <= ends[1]:
            axes.axhline(
                sign * diagram.limit, color=LIMIT, linewidth=0.9, linestyle=(0, (5, 2)), zorder=3
            )


def _titles(axes: Axes, diagram: Diagram) -> None:
    """Words and unit on the left, the further lines named in their own dash, a remark right."""
    power = axes.yaxis.get_offset_text()  # of ten, by which small values are shown: off the words
    power.set(x=1.0, ha="right", fontsize=_SMALL)
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.lines import Line2D
    from matplotlib.offsetbox import AnchoredOffsetbox, DrawingArea, HPacker

    unit = f" ({diagram.unit})" if diagram.unit else ""
    parts: list[Artist] = [_set(f"{diagram.words}{unit}", weight="bold")]
    for curve in diagram.curves:
        area = DrawingArea(20, 6)
        sample = Line2D([0, 20], [2.5, 2.5], color=curve.colour, linewidth=1.2)
        sample.set_dashes(curve.dashes)
        area.add_artist(sample)
        parts += [area, _set(curve.words, weight="normal")]
    box = AnchoredOffsetbox(
        "lower left",
        child=HPacker(children=parts, pad=0, sep=5, align="baseline"),
        pad=0,
        borderpad=0.1,
        frameon=False,
        bbox_to_anchor=(0.0, 1.0),
        bbox_transform=axes.transAxes,
    )
    axes.add_artist(box)
    if not diagram.remark:
        return
    remark = axes.text(
        1.0, 1.02, diagram.remark, transform=axes.transAxes, ha="right", va="bottom",
        fontsize=_SMALL, color="#444444", linespacing=1.0,
    )  # fmt: skip
    # Neither gives its size before something draws, so a canvas of pixels measures them.
    renderer = FigureCanvasAgg(axes.figure).get_renderer()  # type: ignore[arg-type, no-untyped-call]
    end = box.get_window_extent(renderer).x1

    def fits(words: str) -> bool:
        remark.set_text(words)
        return bool(end <= remark.get_window_extent(renderer).x0)

    if fits(diagram.remark):
        return
    # The words that stand last share the line of the title, those before them stand above it.
    for mark in (": ", " %, "):
        before, found, last = diagram.remark.partition(mark)
        broken = f"{before}{found.rstrip()}\n{last}"
        if found and fits(last):
            break
    remark.set_text(broken)


def _set(text: str, weight: str) -> HPacker:
    """Words with their indices lowered, as large as the words: seven tenths of them, as mathtext
    has it, are too small in print."""
    from matplotlib.offsetbox import HPacker, TextArea

    style = {"weight": weight, "parse_math": True}
    sizes = {False: _SMALL, True: _SMALL / INDEX}
    pieces: list[Artist] = [
        TextArea(piece, textprops=style | {"fontsize": sizes[low]}) for piece, low in runs(text)
    ]
    return HPacker(children=pieces, pad=0, sep=0, align="baseline")


def _meets_title(axes: Axes, diagram: Diagram, share: float, value: float) -> bool:
    """Whether a number above a value would reach into the line of words over the panel."""
    page = axes.get_figure(root=True)
    assert page is not None  # axes are made in a figure
    box, (width, height) = axes.get_position(), page.get_size_inches() * 72
    low, high = axes.get_ylim()
    if (high - value) / (high - low) * box.height * height > _SMALL * 1.2 + 3:
        return False
    letter = 0.62 * _SMALL
    words = letter * (len(diagram.words) + len(diagram.unit) + 3)
    words += sum(30 + letter * len(curve.words) for curve in diagram.curves)
    at, half = share * box.width * width, 3 * letter
    end = box.width * width - letter * len(diagram.remark)
    return bool(at - half < words or at + half > end)


def _extremes(axes: Axes, z: Array, values: Array, diagram: Diagram) -> None:
    """The largest values of either sign of the combination shown, as numbers beside dots."""
    size = float(np.abs(values).max())
    if size == 0:
        return
    for row, sign in ((*greatest(values), 1), (*greatest(-values), -1)):
        value = float(values[row])
        if sign * value < _SLIGHT * size:
            continue
        above = (value > 0) != diagram.down
        share = float(z[row] - z[0]) / float(z[-1] - z[0])
        side = "left" if share < 0.03 else "right" if share > 0.97 else "center"
        above = above and not _meets_title(axes, diagram, share, value)
        axes.plot(z[row], value, "o", color=SHOWN, markersize=2.6, zorder=7)
        axes.annotate(
            number(value, 4).replace("-", "−"),
            (z[row], value),
            ({"left": 3, "right": -3}.get(side, 0), 3 if above else -3),
            textcoords="offset points",
            ha=side,
            va="bottom" if above else "top",
            fontsize=_SMALL,
            color=SHOWN,
            zorder=8,
            bbox={"boxstyle": "square,pad=0.05", "facecolor": "#ffffffa0", "edgecolor": "none"},
        )
