"""Worst places drawn: the deck laid out straight, one strip an arrangement, axles and crowds on
it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from ...solver.member.influence.envelope import Envelope
from ...solver.member.influence.traffic import Standing
from ...solver.member.influence.worst_place import WorstPlace
from ...solver.member.model.member import Member
from ...solver.member.model.moving import Crowd, Vehicle
from ..drawing import drafting
from ..drawing.figure_style import style
from ..drawing.fonts import use_fonts_that_have, within
from ..member.units import MemberUnits
from ..text.number import number
from ..text.numbering import LONGEST
from .envelope import number_of
from .heading import put_heading

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Arrangements on one page.
SHOWN = 14
_HEAD, _ROW, _FOOT = 0.75, 0.92, 0.5
_CROWD, _WHEEL, _BAND = "#9dbfdd", "#b3123c", "#e8e6e1"


def plot_places(
    envelope: Envelope,
    found: Sequence[WorstPlace],
    loads: tuple[Sequence[Vehicle], Sequence[Crowd]],
    units: MemberUnits,
) -> Figure:
    """The first arrangements, one below another."""
    from matplotlib.figure import Figure

    count = max(1, min(SHOWN, len(found)))
    height = _HEAD + _ROW * count + _FOOT
    member = envelope.influence.member
    low, high = _width(member, loads)
    with style():
        figure = Figure(figsize=(8.3, height), dpi=150, facecolor=drafting.PAPER)
        grid = figure.add_gridspec(
            count, 1, left=0.08, right=0.97, top=1 - _HEAD / height, bottom=_FOOT / height,
            hspace=0.95,
        )  # fmt: skip
        words = "the deck laid out straight from above; blue: crowd, red: wheels, grey: supports"
        if count < len(found):
            words += f"; the first {count} of {len(found)} arrangements"
        put_heading(figure, f"{member.name}: worst places", words)
        titles = [
            within(_said(envelope, one, n, units), 7.4, 7.0)
            for n, one in enumerate(found[:count], 1)
        ]
        small = min((size for _, size in titles), default=7.0)
        for k, one in enumerate(found[:count]):
            axes = figure.add_subplot(grid[k, 0])
            _strip(axes, envelope, one, loads, units, (low, high))
            axes.set_title(titles[k][0], fontsize=small, loc="left", pad=2)
            axes.tick_params(labelbottom=k == count - 1)
            if k == count - 1:
                axes.set_xlabel(f"station ({units.unit('along')})", fontsize=7)
        use_fonts_that_have(figure)
    return figure


def _strip(
    axes: Axes,
    envelope: Envelope,
    one: WorstPlace,
    loads: tuple[Sequence[Vehicle], Sequence[Crowd]],
    units: MemberUnits,
    width: tuple[float, float],
) -> None:
    member = envelope.influence.member
    along = units.factor("along")
    low, high = width
    axes.axhspan(low, high, color=_BAND, lw=0, zorder=0)
    for support in member.supports:
        axes.axvline(support.at * along, color="#9a9a9a", lw=0.8, zorder=1)
    for standing in one.extreme.standing:
        _stand(axes, member, standing, loads, along)
    axes.set_xlim(0, member.length * along)
    axes.set_ylim(low, high)
    axes.set_ylabel(f"x ({units.unit('place')})", fontsize=6)
    axes.tick_params(labelsize=6)
    axes.locator_params(axis="y", nbins=3)


def _said(envelope: Envelope, one: WorstPlace, n: int, units: MemberUnits) -> str:
    """What strip n is headed by: what it is worst for, and the cases that act there. Long names of
    combinations are numbered as in the tables, behind their state."""
    base = envelope.combinations[one.extreme.combination]
    acting, name = base.cases, one.name
    if len(name) > LONGEST:
        name = f"{number_of(one.extreme.combination + 1)} A{n}, {base.name.partition(':')[0]}"
    parts = [n for n in one.extreme.factors if acting[n][0] != acting[n][1]]
    asked = envelope.influence.asked[one.extreme.result]
    value = number(one.extreme.value * units.factor(asked.quantity), 4)
    first, *others = one.worst_for
    said = f"{name}: {first} ({value} {units.unit(asked.quantity)})"
    said += "".join(f"; {words}" for words in others)
    if parts:
        said += f"; with {', '.join(f'{n} x {number(one.extreme.factors[n], 3)}' for n in parts)}"
    return said


def _stand(
    axes: Axes,
    member: Member,
    standing: Standing,
    loads: tuple[Sequence[Vehicle], Sequence[Crowd]],
    along: float,
) -> None:
    place = standing.place
    section = member.section_at(0.0)
    vehicle = next((v for v in loads[0] if v.name == standing.name), None)
    if vehicle is not None:
        wheels = [member.locate(w, section)[0] for w in vehicle.wheels(place.line)]
        largest = max(place.forces, default=1.0)
        for z, force in zip(place.axles, place.forces, strict=True):
            axes.plot(
                [z * along] * len(wheels), wheels, "o", color=_WHEEL,
                ms=2.5 + 2.5 * force / largest, zorder=4, clip_on=False,
            )  # fmt: skip
            axes.plot([z * along] * 2, [min(wheels), max(wheels)], color=_WHEEL, lw=1, zorder=4)
        return
    crowd = next(c for c in loads[1] if c.name == standing.name)
    for strip, start, end in place.parts:
        where, width = crowd.strips[strip]
        x = member.locate(where, section)[0]
        axes.fill_between(
            [start * along, end * along], x - width / 2, x + width / 2, color=_CROWD,
            edgecolor="#4f7fae", lw=0.4, zorder=2,
        )  # fmt: skip


def _width(member: Member, loads: tuple[Sequence[Vehicle], Sequence[Crowd]]) -> tuple[float, float]:
    """What of the deck's width is shown: the section's, and all that stands on it."""
    section = member.section_at(0.0)
    half = (section.width or 0.0) / 2
    found = [section.centroid[0] - half, section.centroid[0] + half]
    for vehicle in loads[0]:
        for line in range(len(vehicle.lines)):
            found += [member.locate(w, section)[0] for w in vehicle.wheels(line)]
    for crowd in loads[1]:
        for where, width in crowd.strips:
            x = member.locate(where, section)[0]
            found += [x - width / 2, x + width / 2]
    low, high = min(found), max(found)
    if not high > low:
        return low - 0.5, high + 0.5
    return low - 0.02 * float(np.ptp(found)), high + 0.02 * float(np.ptp(found))
