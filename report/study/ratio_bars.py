"""Ratios as bars on a log axis."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from ..drawing import drafting
from ..drawing.palette import SERIES
from ..text.number import number

if TYPE_CHECKING:
    from matplotlib.axes import Axes


def draw_bars(
    axes: Axes, groups: Sequence[tuple[str, Sequence[float | None]]], names: Sequence[str]
) -> None:
    """Ratios on a log axis, in groups, each bar from 1 to its value, the value at its end."""
    count = len(names)
    width = 0.84 / count
    shown = [v for _, values in groups for v in values if v]
    low, high = min([*shown, 1.0]), max([*shown, 1.0])
    for n in range(count):
        values = [v[n] for _, v in groups]
        at = np.arange(len(groups)) + (n - (count - 1) / 2) * width
        tops = np.array([v or np.nan for v in values], dtype=float)
        # A bar of exactly 1 has no height; a line of it still shows that it is there.
        axes.bar(
            at,
            tops - 1.0,
            width * 0.92,
            bottom=1.0,
            color=SERIES[n % len(SERIES)],
            edgecolor=drafting.INK,
            linewidth=0.4,
            label=f"{n + 1}  {names[n]}",
        )
        for x, value in zip(at, values, strict=True):
            _value(axes, float(x), value)
    axes.set_yscale("log")
    axes.yaxis.set_major_formatter("{x:g}")
    axes.yaxis.set_minor_formatter("")
    # The values beyond the bars' ends take as much of the axis whatever its decades.
    room = max((high / low) ** 0.22, 1.6)
    axes.set_ylim(low / room**1.7, high * room)
    axes.set_xlim(-0.5, len(groups) - 0.5)
    axes.set_xticks(range(len(groups)), [label for label, _ in groups], fontsize=8)
    axes.axhline(1.0, color=drafting.INK, linewidth=0.8)
    axes.set_ylabel("ratio to section 1", fontsize=8)
    axes.tick_params(labelsize=8, width=0.5, length=2.5)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    axes.grid(axis="y", linewidth=0.3, color="#cccccc")
    axes.set_axisbelow(True)
    axes.legend(
        fontsize=7.5,
        frameon=False,
        ncols=min(count, 3),
        loc="upper center",
        bbox_to_anchor=(0.5, -0.2),
    )


def _value(axes: Axes, x: float, value: float | None) -> None:
    """A bar's value beyond its end; "none" where there is no such number."""
    style: dict[str, Any] = {
        "textcoords": "offset points",
        "ha": "center",
        "fontsize": 7.2,
        "rotation": 90,
    }
    if not value:
        axes.annotate("none" if value is None else "0", (x, 1.0), (0, 3), va="bottom", **style)
    elif value >= 1:
        axes.annotate(number(value, 3), (x, value), (0, 3), va="bottom", **style)
    else:
        axes.annotate(number(value, 3), (x, value), (0, -3), va="top", **style)
