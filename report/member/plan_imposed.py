"""What a load plan shows of a member besides loads: tendons, and imposed deformations in words."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

import numpy as np

from ...solver.member.model.tendon_path import tendon_runs
from ..drawing.palette import SERIES
from .given_imposed import imposed_words
from .units import MemberUnits

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ...solver.member.model.member import Member

TENDON = SERIES[2]
_WORDS = "#8a3c00"
#: Stations of a tendon's run; letters in a line, and lines at most.
_STATIONS, _LINE, _MOST = 25, 132, 2
#: Tendons nearer than this share of the length have their words one below the other.
_SAME = 1e-6


def draw_tendons(axes: Axes, member: Member, units: MemberUnits) -> list[float]:
    """Tendons as broken lines where they run across the section; returns the places across."""
    along, places = units.factor("along"), []
    named: list[float] = []
    for tendon in member.tendons:
        for run in tendon_runs(tendon, member):
            z = np.linspace(run.start, run.end, _STATIONS)
            x = run.line(z)[0][:, 0] + member.line[0]
            axes.plot(z * along, x, color=TENDON, linewidth=1.2, linestyle=(0, (5, 2)), zorder=4)
            places += [float(x.min()), float(x.max())]
        # Words of loads begin where these start, so those of tendons end where they end.
        last = tendon.points[-1]
        below = sum(abs(x - last.x) < _SAME * member.length for x in named)
        named.append(last.x)
        axes.annotate(
            f"{tendon.title} {units.text(tendon.force, 'force', 3)}",
            (last.at * along, last.x),
            (-5, -3.5 - 9 * below),
            textcoords="offset points", fontsize=7.6, color=TENDON, ha="right", va="top", zorder=6,
            bbox={"boxstyle": "square,pad=0.05", "facecolor": "#ffffffb0", "edgecolor": "none"},
        )  # fmt: skip
    return places


def imposed_lines(member: Member, units: MemberUnits) -> list[str]:
    """All imposed deformations in a few lines of words."""
    if not member.imposed:
        return []
    words = "; ".join(f"{a.title}: {imposed_words(a, units)}" for a in member.imposed)
    lines = textwrap.wrap(f"imposed: {words}", _LINE)
    return [*lines[: _MOST - 1], lines[_MOST - 1] + " ..."] if len(lines) > _MOST else lines


def draw_imposed(axes: Axes, lines: list[str]) -> None:
    """The words at the foot of the plan."""
    axes.annotate(
        "\n".join(lines), (0.004, 0.015), xycoords="axes fraction", fontsize=7.0, color=_WORDS,
        ha="left", va="bottom", zorder=6,
    )  # fmt: skip
