"""Figure of a section's buckling: the load factor against half-wavelength, coloured by what
buckles, and the shapes at its minima below."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ..drawing.drafting import ACCENT, INK
from ..drawing.figure_style import style
from ..section.moved_section import frame_both, moved_border, moved_inside
from ..text.number import displayed, number
from .words import action_texts, length_text, stress_text

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from ...solver.section.buckling.effective import EffectiveSection
    from ...solver.section.buckling.result import BucklingMode, SectionBuckling

Array = NDArray[np.float64]

#: Colour of each family of modes, safe for colour-blind readers, and what it is called.
COLOURS = {"local": "#2f6fb3", "distortional": "#c8641b", "global": "#4a4a4a"}
_NAMES = {
    "local": "local: walls bend between fold lines",
    "distortional": "distortional: fold lines move",
    "global": "global: the section keeps its shape",
}
#: Largest motion in the plane by the section's size.
_DRAWN = 0.14
#: Shapes drawn at most.
_MOST = 6
#: How far the axis reaches above the highest minimum, and below the lowest factor.
_ABOVE, _BELOW = 8.0, 0.6
#: Size of the page and of its strip of shapes, in inches.
_WIDE, _CURVE, _SHAPES = 9.0, 4.2, 2.5


def family(kind: str) -> str:
    """Local, distortional or global."""
    return kind if kind in ("local", "distortional") else "global"


def buckling_figure(buckling: SectionBuckling, effective: EffectiveSection | None = None) -> Figure:
    """Curve and shapes on one page, and the effective section where it is given."""
    from matplotlib.figure import Figure

    modes = shown_modes(buckling)
    count = len(modes) + (effective is not None)
    with style():
        figure = Figure(figsize=(_WIDE, _CURVE + _SHAPES), layout="constrained")
        parts = figure.subfigures(2, 1, height_ratios=(_CURVE, _SHAPES), squeeze=False)
        top, below = parts[:, 0]
        plot_curve(buckling, ax=top.subplots())
        panels = below.subplots(1, max(count, 3), squeeze=False)[0]
        for axes in panels[count:]:
            axes.set_axis_off()
        for axes, (n, mode) in zip(panels, modes, strict=False):
            plot_shape(buckling, mode, n, ax=axes)
        if effective is not None:
            plot_effective(buckling, effective, ax=panels[len(modes)])
    return figure


def shown_modes(buckling: SectionBuckling) -> list[tuple[int, BucklingMode]]:
    """The modes that are drawn, with their numbers in the table: the lowest minima, and the lowest
    mode of the longest half-wavelength."""
    numbered = list(enumerate(buckling.minima, 1))
    lowest = sorted(numbered, key=lambda one: one[1].factor)[: _MOST - 1]
    return [*sorted(lowest), (len(numbered) + 1, buckling.longest[0])]


def plot_curve(buckling: SectionBuckling, *, ax: Axes) -> Axes:
    """The curve alone."""
    from matplotlib.lines import Line2D

    for lengths, factors in buckling.branches:
        ax.plot(lengths, factors, color="#c4c4c4", linewidth=0.8, zorder=1)
    lengths, lowest = buckling.half_wavelengths, buckling.factors[:, 0]
    families = [family(kind) for kind in buckling.lowest]
    start = 0
    for n in range(1, len(lengths) + 1):
        if n == len(lengths) or families[n] != families[start]:
            upto = slice(start, min(n + 1, len(lengths)))
            ax.plot(
                lengths[upto], lowest[upto], color=COLOURS[families[start]], linewidth=2.2,
                solid_capstyle="round", zorder=2,
            )  # fmt: skip
            start = n
    for n, mode in shown_modes(buckling):
        _mark(ax, mode, n, at_end=mode.half_wavelength >= 0.97 * float(lengths[0]))
    ax.set_xscale("log")
    ax.set_yscale("log")
    top = _ABOVE * max((m.factor for m in buckling.minima), default=float(lowest.min()) * 20)
    ax.set_ylim(_BELOW * float(lowest.min()), min(top, 1.5 * float(np.nanmax(lowest))))
    ax.set_xlim(lengths.min(), lengths.max())
    ax.set_xlabel(f"half-wavelength ({buckling.section.unit})", fontsize=9)
    actions = ", ".join(action_texts(buckling, 1.0, 4))
    ax.set_ylabel(f"critical load factor on {actions}", fontsize=9)
    ax.grid(True, which="major", color="#e3e3e3", linewidth=0.6)
    ax.set_axisbelow(True)
    for axis in (ax.xaxis, ax.yaxis):
        _scaled(axis)
    ax.tick_params(labelsize=8)
    ax.tick_params(which="minor", length=2, color="#999999")
    ax.spines["top"].set_visible(False)
    if buckling.compression:
        _stress_axis(buckling, ax)
    else:
        ax.spines["right"].set_visible(False)
    handles = [
        Line2D([], [], color=COLOURS[name], linewidth=2.2, label=_NAMES[name])
        for name in COLOURS
        if name in families
    ]
    handles.append(Line2D([], [], color="#c4c4c4", linewidth=0.8, label="higher modes"))
    ax.legend(
        handles=handles, fontsize=8, loc="upper right", edgecolor="none", framealpha=0.9,
        borderaxespad=0.2,
    )  # fmt: skip
    ax.set_title(
        f"{buckling.section.name}: what buckles, and at which half-wavelength", fontsize=10
    )
    return ax


def plot_shape(buckling: SectionBuckling, mode: BucklingMode, n: int, *, ax: Axes) -> Axes:
    """A mode's section at rest in grey and displaced in the colour of what buckles."""
    from matplotlib.collections import LineCollection
    from matplotlib.tri import Triangulation

    ready = buckling.prepared
    shape, solid = turned(mode.wave), ready.elastic.solid
    points, moved, _, triangles = moved_inside(ready.fields, solid, shape)
    size = float(np.ptp(points, axis=0).max())
    scale = _DRAWN * size / (float(np.hypot(*moved.T).max()) or 1.0)
    at = points + scale * moved
    colour = COLOURS[family(mode.movement.kind)]
    rest, line = moved_border(ready.fields, solid, shape)
    ax.add_collection(LineCollection(list(rest), colors="#aaaaaa", linewidths=0.6, zorder=1))
    ax.tripcolor(
        Triangulation(at[:, 0], at[:, 1], triangles), np.zeros(len(at)), shading="gouraud",
        cmap=_single(colour), rasterized=True, zorder=2,
    )  # fmt: skip
    ax.add_collection(
        LineCollection(list(rest + scale * line), colors=colour, linewidths=0.8, zorder=3)
    )
    frame_both(ax, points, at)
    stress = stress_text(buckling, mode, 4) or f"factor {number(mode.factor, 4)}"
    lines = _folded(mode.movement.words)
    ax.set_title(
        f"{n}  {lines}\n{length_text(buckling, mode.half_wavelength)}, {stress}",
        fontsize=8, color=INK,
    )  # fmt: skip
    return ax


def plot_effective(buckling: SectionBuckling, effective: EffectiveSection, *, ax: Axes) -> Axes:
    """What counts of the section, dark, and what drops out, dotted."""
    from matplotlib.collections import LineCollection, PolyCollection

    ready = buckling.prepared
    still = np.zeros((ready.matrices.count, 3))
    rest, _ = moved_border(ready.fields, ready.elastic.solid, still)
    points, _, _, triangles = moved_inside(ready.fields, ready.elastic.solid, still)
    ax.add_collection(
        PolyCollection(list(points[triangles]), facecolors="#8a8a8a", edgecolors="#8a8a8a",
                       linewidths=0.3, rasterized=True, zorder=1)
    )  # fmt: skip
    gone, lines = [], []
    for wall in effective.walls:
        if wall.lost is not None:
            a, b = (wall.element.at(s) for s in wall.lost)
            along = (b - a) / np.hypot(*(b - a))
            lines.append([a, b])
            half = np.array([-along[1], along[0]]) * wall.element.thickness * 0.6
            gone.append([a + half, b + half, b - half, a - half])
    ax.add_collection(PolyCollection(gone, facecolors="white", edgecolors="none", zorder=2))
    ax.add_collection(LineCollection(list(rest), colors="#aaaaaa", linewidths=0.6, zorder=3))
    ax.add_collection(
        LineCollection(lines, colors=ACCENT, linewidths=1.4, linestyles=(0, (1, 1)), zorder=4)
    )
    for place, mark in ((effective.gross.centroid, "o"), (effective.centroid, "x")):
        ax.plot(*place, mark, color=INK, markersize=4, markerfacecolor="none", zorder=4)
    low, high = points.min(axis=0), points.max(axis=0)
    pad = 0.03 * float((high - low).max())
    ax.set_xlim(low[0] - pad, high[0] + pad)
    ax.set_ylim(low[1] - pad, high[1] + pad)
    ax.set_aspect("equal")
    ax.set_axis_off()
    share = 100 * effective.area / effective.gross.gross_area
    ax.set_title(
        f"effective section, by a code's rule\n{share:.0f} % of the area; dotted parts drop out",
        fontsize=8, color=INK,
    )  # fmt: skip
    return ax


def turned(wave: NDArray[np.complex128] | Array) -> Array:
    """A real shape (count, 3): of an oblique wave, where along the member it is largest."""
    if not np.iscomplexobj(wave):
        return np.asarray(wave, dtype=float)
    angle = np.angle((wave[:, :2] ** 2).sum()) / 2
    return np.asarray((wave * np.exp(-1j * angle)).real)


def _mark(ax: Axes, mode: BucklingMode, n: int, *, at_end: bool) -> None:
    colour = COLOURS[family(mode.movement.kind)]
    ax.plot(
        [mode.half_wavelength], [mode.factor], "o", markersize=5.5, color=colour,
        markeredgecolor="white", markeredgewidth=0.8, zorder=4, clip_on=False,
    )  # fmt: skip
    ax.annotate(
        str(n), (mode.half_wavelength, mode.factor), xytext=(-9, -9) if at_end else (0, -13),
        textcoords="offset points", ha="center", fontsize=9, fontweight="bold",
        color=colour, zorder=5,
    )  # fmt: skip


def _stress_axis(buckling: SectionBuckling, ax: Axes) -> None:
    """Critical stress on the right: the factor on another scale."""
    unit, factor = displayed(buckling.section.unit, "stress")
    scale = buckling.compression * factor
    right = ax.secondary_yaxis("right", functions=(_times(scale), _times(1 / scale)))
    right.set_ylabel(f"critical stress, largest in compression ({unit})", fontsize=9)
    right.tick_params(labelsize=8)
    right.tick_params(which="minor", length=2, color="#999999")
    _scaled(right.yaxis)


def _times(scale: float) -> Callable[[Any], Any]:
    return lambda y: np.asarray(y) * scale


def _scaled(axis: Any) -> None:
    """Ticks of a logarithmic axis at 1, 2 and 5 of each decade, as plain numbers."""
    from matplotlib.ticker import LogLocator

    axis.set_major_locator(LogLocator(10, subs=(1.0, 2.0, 5.0)))
    axis.set_major_formatter(_plain_numbers)
    axis.set_minor_formatter("")


def _plain_numbers(value: float, _: int | None = None) -> str:
    return number(value, 3)


def _single(colour: str):  # type: ignore[no-untyped-def]
    from matplotlib.colors import ListedColormap, to_rgba

    return ListedColormap([(*to_rgba(colour)[:3], 0.35)])


def _folded(words: str) -> str:
    """Words in lines that fit a panel."""
    return words.replace(" with ", "\nwith ").replace(" about an axis", "\nabout an axis")
