"""The plan of a member with its bearings: what each carries, and arrows of how it moves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...solver.member.influence.bearing_schedule import ScheduleRow, bearing_schedule
from ...solver.member.influence.envelope import Envelope
from ...solver.member.model.support import Support
from ..drawing import drafting
from ..drawing.figure_style import style
from ..drawing.fonts import use_fonts_that_have, within
from ..member.units import MemberUnits
from ..text.number import number
from .bearing_schedule import bearing_title
from .heading import put_heading

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Array = NDArray[np.float64]

#: The longest arrow, as a share of the plan's larger side.
_ARROW = 0.1
_POINTS = 200
#: From a bearing's middle to that of its number, in points.
_OFF = 11.0
_RED, _BLUE = "#c2571a", "#123f6b"


def plot_bearings(envelope: Envelope, units: MemberUnits) -> Figure:
    """The plan from above, bearings as squares."""
    from matplotlib.figure import Figure

    rows = sorted(bearing_schedule(envelope), key=lambda row: row.support.at)
    member = envelope.influence.member
    along = units.factor("along")
    line, _ = _line(envelope, np.linspace(0, member.length, _POINTS))
    line = line * along
    size = np.ptp(line, axis=0)
    wide = float(max(size[0], 1e-9))
    share = float(np.clip(size[1] / wide, 0.12, 0.75))
    height = 1.7 + 7.4 * share + 0.32 * len({bearing_title(r) for r in rows})
    with style():
        figure = Figure(figsize=(8.3, height), dpi=150, facecolor=drafting.PAPER)
        moves = [abs(row.values[k] or 0.0) for row in rows for k in (3, 4) if row.quantity == k]
        longest = max(moves, default=0.0)
        arrows = (
            "arrows: the largest movements of the member at each bearing, along red and across "
            f"blue, the longest {units.text(longest, 'displacement')}"
            if longest
            else "no bearing moves in plan under these loads"
        )
        words = f"plan from above; {arrows}"
        put_heading(figure, f"{member.name}: bearings", words)
        foot = 0.32 * len({bearing_title(r) for r in rows}) + 0.55
        axes = figure.add_axes((0.06, foot / height, 0.9, 1 - (foot + 0.75) / height))
        axes.plot(line[:, 0], line[:, 1], "-.", color="#8a8a8a", lw=0.8)
        _draw(axes, envelope, rows, along, (float(size.max()), longest))
        first = line[1] - line[0]
        axes.annotate(
            "start", line[0], tuple(-20 * first / max(float(np.hypot(*first)), 1e-300)),
            textcoords="offset points", ha="center", va="center", fontsize=6.5, color="#6a6a6a",
        )  # fmt: skip
        axes.set_aspect("equal")
        axes.margins(0.09)
        axes.axis("off")
        _list(figure, envelope, rows, units, foot / height)
        use_fonts_that_have(figure)
    return figure


def _line(envelope: Envelope, z: Array) -> tuple[Array, Array]:
    """(m, 2) the axis seen from above, along it to the right and x of the section upward where it
    starts; and (m, 2) the direction of x."""
    across, forward, turned = envelope.influence.member.axis.plan(z)
    direction = np.stack([-np.sin(turned), np.cos(turned)], axis=1)
    return np.stack([forward, across], axis=1), direction


def _draw(
    axes: Axes,
    envelope: Envelope,
    rows: Sequence[ScheduleRow],
    along: float,
    scale: tuple[float, float],
) -> None:
    reach, longest = scale
    member = envelope.influence.member
    names = list(dict.fromkeys(bearing_title(r) for r in rows))
    for title in names:
        own = [row for row in rows if bearing_title(row) == title]
        row = own[0]
        (base,), (x,) = _line(envelope, np.array([row.support.at]))
        seat = row.support.bearings[row.bearing - 1].x if row.bearing else member.line[0]
        place = (base + (seat - member.line[0]) * x) * along
        axes.plot(
            *place, "s", mfc=drafting.PAPER, mec=drafting.INK, ms=4.5, zorder=3, clip_on=False
        )
        axes.annotate(
            str(names.index(title) + 1), place, tuple(_OFF * _outward(row, x)),
            textcoords="offset points", ha="center", va="center", fontsize=7, zorder=6,
        )  # fmt: skip
        tangent = np.array([x[1], -x[0]])
        for quantity, direction, colour in ((4, tangent, _RED), (3, x, _BLUE)):
            moves = [row.values[quantity] or 0.0 for row in own if row.quantity == quantity]
            for moved in (max(moves, default=0.0), min(moves, default=0.0)):
                if abs(moved) <= 1e-3 * longest:
                    continue
                tip = moved * direction * _ARROW * reach / longest
                axes.annotate(
                    "", place + tip, place,
                    arrowprops={"arrowstyle": "-|>,head_length=0.35,head_width=0.16",
                                "color": colour, "lw": 1.1, "shrinkA": 0, "shrinkB": 0},
                    zorder=4, annotation_clip=False,
                )  # fmt: skip
                axes.plot(*(place + tip), ".", ms=0)


def _outward(row: ScheduleRow, x: Array) -> Array:
    """Direction in the plan in which a bearing's number stands clear of its neighbours and of the
    axis; between two of them along and across."""
    seats = [b.x for b in row.support.bearings] or [0.0]
    side = seats[row.bearing - 1] if row.bearing else 0.0
    if side == max(seats):
        return x
    return -x if side == min(seats) else np.array([x[1], -x[0]]) * 0.8 + x * 0.6


def _kind(support: Support, every: Sequence[Support]) -> str:
    """What a bearing does in plan, in the words of its makers."""
    across, along = (getattr(support, word) not in (None, "free", 0) for word in ("x", "z"))
    if all(s.z in (None, "free", 0) for s in every):  # then the first one holds along, see notes
        unsaid = [s for s in every if s.z is None]
        along = bool(unsaid) and support is min(unsaid, key=lambda s: s.at)
    if across and along:
        return "fixed"
    return "guided along" if across else "guided across" if along else "free"


def _list(
    figure: Figure, envelope: Envelope, rows: Sequence[ScheduleRow], units: MemberUnits, top: float
) -> None:
    """One line a bearing under the plan."""
    names = list(dict.fromkeys(bearing_title(r) for r in rows))
    height = figure.get_size_inches()[1]
    heads = ("", "bearing", "in plan", f"vertical ({units.unit('force')})",
             f"movement along ({units.unit('displacement')})",
             f"movement across ({units.unit('displacement')})",
             "rotation along (mrad)")  # fmt: skip
    places = (0.03, 0.06, 0.27, 0.38, 0.515, 0.68, 0.84)
    y = top - 0.08 / height
    for x, head in zip(places, heads, strict=True):
        figure.text(x, y, head, fontsize=6.5, color="#555555", va="center")
    factors = {0: units.factor("force"), 4: units.factor("displacement"),
               3: units.factor("displacement"), 5: 1e3}  # fmt: skip
    for n, name in enumerate(names):
        y -= 0.3 / height
        support = next(r.support for r in rows if bearing_title(r) == name)
        cells = [str(n + 1), name, _kind(support, envelope.influence.member.supports)]
        for quantity in (0, 4, 3, 5):
            found = [
                r.values[quantity] or 0.0
                for r in rows
                if bearing_title(r) == name and r.quantity == quantity
            ]
            factor = factors[quantity]
            cells.append(
                f"{number(min(found) * factor, 4)} to {number(max(found) * factor, 4)}"
                if found
                else "none"
            )
        for x, cell in zip(places, cells, strict=True):
            shown, size = within(cell, 1.65, 7.0) if x == places[1] else (cell, 7.0)
            figure.text(x, y, shown, fontsize=size, va="center")
