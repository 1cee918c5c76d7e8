"""Figure of what less twist costs: weight against twist, every candidate and the best of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from ...geometry.units import Units
from ...solver.member.review.movement_limits import TwistLimit
from ...solver.study.choice.setting import request_of
from ...solver.study.choice.sizing import SizeResult
from ...solver.study.choice.tradeoff import Tradeoff, TradePoint
from ..drawing import drafting
from ..drawing.figure_style import style
from ..drawing.palette import SERIES
from .size_table import weight_unit

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_MARKERS = "o^svDP<>pX"
#: Names along the front before they crowd it.
_NAMED = 5
#: Ranges narrower than this ratio get ticks at even steps.
_WIDE_RANGE = 8.0
#: Beyond this twist (degrees) a linear answer says only that the section is hopeless.
_MOST_TWIST = 30.0


def plot_tradeoff(result: SizeResult, curve: Tradeoff, units: Units) -> Axes:
    """Draw the curve.

    Parameters
    ----------
    result : SizeResult
    curve : Tradeoff
    units : Units
        Of the member.
    """
    from matplotlib.figure import Figure
    from matplotlib.ticker import LogLocator, MaxNLocator

    label, factor = weight_unit(result.found or result.tried, units)
    curve = _drawable(curve)
    with style():
        figure = Figure(figsize=(9.0, 5.6), facecolor=drafting.PAPER)
        axes = figure.add_axes((0.09, 0.11, 0.68, 0.78))
        _points(axes, curve, factor)
        _refused(axes, curve, factor)
        _front(axes, curve, factor)
        _limits(axes, result)
        _chosen(axes, result, factor)
        axes.set_xscale("log")
        axes.set_yscale("log")
        for axis, (low, high) in ((axes.xaxis, axes.get_xlim()), (axes.yaxis, axes.get_ylim())):
            # 7, 10 and 20, not powers of ten; even steps where those would be too few
            wide = high / low > _WIDE_RANGE
            axis.set_major_locator(
                LogLocator(subs=(1.0, 2.0, 3.0, 5.0, 7.0)) if wide else MaxNLocator(6)
            )
            axis.set_major_formatter("{x:g}")
            axis.set_minor_formatter("")
        axes.set_xlabel(f"mass per length ({label})" if "²" not in label else f"area ({label})")
        axes.set_ylabel("largest twist of the member (deg), classical theory")
        figure.text(
            0.09,
            0.94,
            f"{result.sizing.name}: weight against twist",
            fontsize=11,
            weight="bold",
        )
        axes.grid(which="both", linewidth=0.3, color="#dddddd")
        axes.tick_params(labelsize=8, width=0.5, length=2.5, which="both")
        for side in ("top", "right"):
            axes.spines[side].set_visible(False)
        axes.legend(fontsize=7.5, frameon=False, loc="upper left", bbox_to_anchor=(1.01, 1.0))
    return axes


def _drawable(curve: Tradeoff) -> Tradeoff:
    """The curve without twists that are no small ones."""
    points, front = (
        tuple(p for p in some if p.twist <= _MOST_TWIST) for some in (curve.points, curve.front)
    )
    return Tradeoff(points, front, curve.optimised)


def _points(axes: Axes, curve: Tradeoff, factor: float) -> None:
    """Candidates by family; filled where they keep every limit."""
    groups: dict[str, list[TradePoint]] = {}
    for point in curve.points:
        groups.setdefault(point.group, []).append(point)
    for n, (name, points) in enumerate(sorted(groups.items())):
        colour = SERIES[n % len(SERIES)]
        for passed in (False, True):
            own = [p for p in points if p.passed == passed]
            if not own:
                continue
            kept = "keeps every limit" if passed else "fails a limit"
            own = [p for p in own if not p.refused]
            if not own:
                continue
            axes.plot(
                [factor * p.weight for p in own],
                [p.twist for p in own],
                _MARKERS[n % len(_MARKERS)],
                color=colour,
                markerfacecolor=colour if passed else "none",
                markersize=4.5 if passed else 3.5,
                markeredgewidth=0.7,
                alpha=0.9 if passed else 0.5,
                label=f"{name}: {kept}" if name else kept,
            )


def _refused(axes: Axes, curve: Tradeoff, factor: float) -> None:
    """What the classical theory would choose, and deforming sections refuse."""
    own = [p for p in curve.points if p.refused]
    if own:
        axes.plot(
            [factor * p.weight for p in own],
            [p.twist for p in own],
            "x",
            color=drafting.ACCENT,
            markersize=6,
            markeredgewidth=1.4,
            linestyle="",
            label="refused: sections deform",
        )


def _front(axes: Axes, curve: Tradeoff, factor: float) -> None:
    if len(curve.front) < 2:
        return
    words = "optimised for each twist" if curve.optimised else "least twist at its weight"
    axes.plot(
        [factor * p.weight for p in curve.front],
        [p.twist for p in curve.front],
        "-" if curve.optimised else "--",
        color=drafting.INK,
        linewidth=1.0,
        drawstyle="default" if curve.optimised else "steps-post",
        label=words,
    )
    if curve.optimised:
        return
    step = max(1, -(-len(curve.front) // _NAMED))
    for point in curve.front[::step]:
        axes.annotate(
            point.label,
            (factor * point.weight, point.twist),
            (3, -8),
            textcoords="offset points",
            fontsize=6,
            color="#444444",
        )


def _limits(axes: Axes, result: SizeResult) -> None:
    request = request_of(result.sizing.setting.member, result.sizing.setting.accuracy)
    degrees = {limit.degrees for limit in request.limits if isinstance(limit, TwistLimit)}
    for value in sorted(degrees):
        axes.axhline(value, color=drafting.ACCENT, linewidth=0.9, label=f"limit {value:g} deg")


def _chosen(axes: Axes, result: SizeResult, factor: float) -> None:
    """What was found, in the curve's theory and in the one that judged it."""
    if not result.found or result.found[0].outcome is None:
        return
    best, found = result.found[0], result.found[0].outcome
    plain = found.classical or found
    words = result.sizing.setting.objective.superlative
    style: dict[str, Any] = {
        "markersize": 12,
        "markerfacecolor": "none",
        "markeredgecolor": drafting.ACCENT,
        "markeredgewidth": 1.4,
        "linestyle": "",
    }
    label = f"{words}: {best.label}"[:40]
    axes.plot(factor * best.weight, np.degrees(plain.twist), "o", label=label, **style)
    if found.classical is not None:
        style |= {"markersize": 9}
        label = f"its sections deform: {np.degrees(found.twist):.3g} deg"
        axes.plot(factor * best.weight, np.degrees(found.twist), "D", label=label, **style)
