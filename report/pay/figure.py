"""The outline as a band: where a little more material pays, and where it can go."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError
from ..drawing import drafting
from ..drawing.figure_style import style
from ..drawing.layout import Layout, arrange
from ..section.figure import legend
from ..section.vocabulary import SectionQuantity, section_quantity

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.colors import Colormap
    from matplotlib.figure import Figure

    from ...solver.section.derivative.border_worth import BorderWorth
    from ...solver.study.derivative.section_pay import SectionPay

Array = NDArray[np.float64]

#: Doublings above and below the mean that colours tell apart.
_DOUBLINGS = 3.0
#: The band's least and largest width by the drawing's larger side, and the share of the mean's
#: multiples at which it is widest.
_NARROW, _WIDE = 0.004, 0.035
#: Places nearer to a sharp corner than the stress report looks are drawn in this grey.
_LEFT_OUT = "#b9b9b9"
_FILL = "#ececec"


def plot_pay(pay: SectionPay, name: str = "torsion_constant", *, ax: Axes | None = None) -> Axes:
    """The outline as a band, coloured and as wide as material put there pays.

    Parameters
    ----------
    pay : SectionPay
    name : str
        Which number it is to raise: one of `border_worth.NUMBERS`, or its symbol.
    ax : matplotlib Axes, optional
        Draw here; left out: a page of its own.

    Raises
    ------
    InputError
        For another name.
    """
    from matplotlib.collections import PolyCollection
    from matplotlib.colors import to_rgba
    from matplotlib.patches import Patch, PathPatch

    quantity = drawn_quantity(name)
    border, section = pay.border, pay.result.section
    if not pay.properties.get(quantity.name):
        raise InputError(f"the section does not warp, so that nothing pays for {name}; show J")
    paid = border.by_weight(quantity.name, pay.properties[quantity.name])
    mean = border.mean_by_weight(quantity.name, pay.properties[quantity.name])
    with style():
        axes, layout = _page(pay, quantity.words) if ax is None else (ax, None)
        drafting.frame(axes, section, ())
        drafting.dimensions(axes, section)
        axes.add_patch(
            PathPatch(drafting.outline_path(section), facecolor=_FILL, edgecolor="none", zorder=1)
        )
        drafting.outline(axes, section, 0.5)
        colours, ratio = _colours(), paid / mean
        bands, tones, hidden = _bands(border, ratio, _window_size(axes))
        shades = colours(tones)
        shades[hidden] = to_rgba(_LEFT_OUT)
        axes.add_collection(
            PolyCollection(
                list(bands), facecolors=shades, edgecolors=shades, linewidths=0.2, zorder=3
            )
        )
        key: dict[str, Artist] = {
            words: Patch(facecolor=colours(share))
            for words, share in (("pays: more than the mean", 0.8), ("can go: less", 0.2))
        }
        if (paid[~border.left_out] < 0).any():
            key["lowers it (all darkest places may)"] = Patch(facecolor=colours(0.0))
        if hidden.any():
            corners = np.array([corner.point for corner in pay.result.corners])
            key["sharp corner: no bound at it (grey: left out)"] = drafting.refused_corners(
                axes, corners
            )
        _bar(axes, layout, mean, quantity.symbols[0])
        legend(axes, layout, key)
    return axes


def drawn_quantity(word: str) -> SectionQuantity:
    """The quantity of a name or symbol that the border's derivative is known of.

    Raises
    ------
    InputError
        For another one, with those there are.
    """
    from ...solver.section.derivative.border_worth import NUMBERS

    quantity = section_quantity(word)
    if quantity.name not in NUMBERS:
        known = ", ".join(section_quantity(n).symbols[0] for n in NUMBERS)
        raise InputError(f"the figure shows what pays for {known}; not for {word[:40]!r}")
    return quantity


def _colours() -> Colormap:
    """Blue below the mean, light at it, orange to brown above: apart for colour-blind readers."""
    from matplotlib.colors import LinearSegmentedColormap

    stops = ("#123f7a", "#4f8fc4", "#d9dde0", "#e59a3c", "#8a3a06")
    return LinearSegmentedColormap.from_list("soapfilm pay", stops)


def _bands(
    border: BorderWorth, ratio: Array, size: float
) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Quadrilaterals (m, 4, 2) outside the border from place to place, their share of the colours
    (m,), and which are near sharp corners."""
    doublings = np.log2(np.maximum(ratio, 2.0**-_DOUBLINGS))
    tone = np.clip(doublings / (2 * _DOUBLINGS) + 0.5, 0, 1)
    width = size * (_NARROW + (_WIDE - _NARROW) * tone)
    # the samples do not reach the ends of their edges: stretch them there
    points, normals = border.points, border.normals
    first = points[:, :1] + (points[:, :1] - points[:, 1:2]) * _REACH
    last = points[:, -1:] + (points[:, -1:] - points[:, -2:-1]) * _REACH
    line = np.concatenate([first, points, last], axis=1)
    outward = np.concatenate([normals[:, :1], normals, normals[:, -1:]], axis=1)
    wide = np.concatenate([width[:, :1], width, width[:, -1:]], axis=1)
    shade = np.concatenate([tone[:, :1], tone, tone[:, -1:]], axis=1)
    out = np.concatenate([border.left_out[:, :1], border.left_out, border.left_out[:, -1:]], axis=1)
    wide = np.where(out, size * _NARROW, wide)
    far = line + outward * wide[..., None]
    quads = np.stack([line[:, :-1], line[:, 1:], far[:, 1:], far[:, :-1]], axis=2)
    between = (shade[:, 1:] + shade[:, :-1]) / 2
    return (
        quads.reshape(-1, 4, 2),
        between.ravel(),
        (out[:, 1:] | out[:, :-1]).ravel(),
    )


def _reach() -> float:
    from ...solver.section.derivative.border_worth import SAMPLES

    s = (np.polynomial.legendre.leggauss(SAMPLES)[0] + 1) / 2
    return float(s[0] / (s[1] - s[0]))


_REACH = _reach()


def _window_size(axes: Axes) -> float:
    (x0, x1), (y0, y1) = axes.get_xlim(), axes.get_ylim()
    return float(max(x1 - x0, y1 - y0))


def _page(pay: SectionPay, words: str) -> tuple[Axes, Layout]:
    from matplotlib.figure import Figure

    section = pay.result.section
    x0, y0, x1, y1 = drafting.window(section, ())
    layout = arrange(x1 - x0, y1 - y0, wants_detail=False)
    figure: Figure = Figure(figsize=layout.page, facecolor=drafting.PAPER)
    axes = layout.axes(figure, layout.drawing)
    left = layout.drawing[0] / layout.page[0]
    figure.text(
        left, 1 - 0.2 / layout.page[1], f"{section.name}: where material pays",
        fontsize=11, weight="bold", va="top",
    )  # fmt: skip
    figure.text(
        left, 1 - 0.42 / layout.page[1],
        f"{words}, per weight: brown pays most, blue can go", fontsize=8, va="top", color="#444444",
    )  # fmt: skip
    return axes, layout


def _bar(axes: Axes, layout: Layout | None, mean: float, symbol: str) -> None:
    from matplotlib.cm import ScalarMappable
    from matplotlib.colors import Normalize

    figure = axes.get_figure(root=True)
    assert figure is not None
    place = (
        axes.inset_axes((1.12, 0.0, 0.035, 1.0))
        if layout is None
        else layout.axes(figure, layout.bar)
    )
    horizontal = layout is not None and layout.horizontal_bar
    bar = figure.colorbar(
        ScalarMappable(Normalize(-_DOUBLINGS, _DOUBLINGS), _colours()),
        cax=place,
        orientation="horizontal" if horizontal else "vertical",
        extend="both",
        ticks=np.arange(-_DOUBLINGS, _DOUBLINGS + 1),
    )
    bar.outline.set_linewidth(0.4)
    bar.ax.tick_params(labelsize=7, width=0.5, length=2.5)
    labels = [f"{mean * 2.0**k:.3g}" for k in np.arange(-_DOUBLINGS, _DOUBLINGS + 1)]
    (bar.ax.set_xticklabels if horizontal else bar.ax.set_yticklabels)(labels)
    bar.set_label(
        f"% of {symbol} for 1 % of weight put there (middle: mean of the outline)", fontsize=7.5
    )
