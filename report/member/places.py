"""Where a member's loads act, in its load plan: lines, dots and turns, each place named once."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from ...solver.member.model.load import LineLoad, PointLoad
from ..text.number import number
from .marks import LOAD, turn_of
from .units import MemberUnits

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from ...solver.member.model.member import Member
    from ...solver.member.review.assessment import Assessment

_WORDS = "#8a3c00"
_AT = re.compile(r"( at \S+ \w+|, span \d+)$")
#: Places nearer than this share of the plan's height, starting alike, share one line of words.
_CLOSE = 0.11
#: Loads named in one line of words.
_MOST = 3


@dataclass(slots=True)
class LoadPlace:
    """One place across the section: its words, where the first of its loads starts, and whether
    dots stand there."""

    x: float
    start: float = np.inf
    dotted: bool = False
    words: dict[str, None] = field(default_factory=dict)


def draw_loads(axes: Axes, assessment: Assessment, units: MemberUnits) -> list[float]:
    """Line loads as lines, point loads as dots, moments as turns; returns the places across."""
    member, along = assessment.solution.mesh.member, units.factor("along")
    places: dict[float, LoadPlace] = {}
    for load in member.loads:
        if not isinstance(load, PointLoad | LineLoad) or load.placed:
            continue
        z = load.at if isinstance(load, PointLoad) else load.start
        section = member.section_at(z)
        pushes = any(load.force) or any(getattr(load, "force_end", None) or ())
        point = member.locate(load.place, section) if pushes else section.shear_centre
        x = round(point[0], 9)
        if isinstance(load, PointLoad):
            mark = "o" if pushes else turn_of(load.moment[2])
            axes.plot(z * along, x, marker=mark, color=LOAD, markersize=4 if pushes else 9,
                      zorder=5, linestyle="")  # fmt: skip
        else:
            axes.plot(
                [load.start * along, load.end * along], [x, x], color=LOAD, linewidth=1.6,
                linestyle="-" if pushes else (0, (2, 1)), zorder=4,
            )  # fmt: skip
        place = places.setdefault(x, LoadPlace(x))
        place.words[f"{_AT.sub('', load.title)} {load_size(_whole(load, member), units)}"] = None
        place.dotted |= isinstance(load, PointLoad)
        place.start = min(place.start, z * along)
    _labels(axes, list(places.values()), member.length * along)
    return list(places)


def _whole(load: PointLoad | LineLoad, member: Member) -> PointLoad | LineLoad:
    """A load that goes on from section to section, like wind, from its least torque to its
    largest."""
    if isinstance(load, PointLoad):
        return load
    force = load.force
    alike = [
        other
        for other in member.loads
        if isinstance(other, LineLoad)
        and other.title == load.title
        and np.allclose([other.force, other.force_end or other.force], force, rtol=1e-6)
    ]
    if load not in alike or len(alike) < 2:
        return load
    torques = [t for one in alike for t in (one.torque, one.torque_end) if t is not None]
    return replace(load, torque=min(torques), torque_end=max(torques))


def load_size(load: PointLoad | LineLoad, units: MemberUnits) -> str:
    """Force and moment in words, with a sign only where it is not a weight."""
    point = isinstance(load, PointLoad)
    parts = []
    force_end = None if point else load.force_end  # type: ignore[union-attr]
    both = np.abs([load.force, force_end or load.force]).max(axis=0)
    if both.any():
        component = int(both.argmax())
        quantity = "force" if point else "line load"
        sizes = [f[component] for f in (load.force, force_end or load.force)]
        way = {0: " across", 2: " along"}.get(component, "" if min(sizes) < 0 else " up")
        parts.append(f"{_range(sizes, quantity, units)} {units.unit(quantity)}{way}")
    if isinstance(load, PointLoad):
        for word, value in zip(("M_x", "M_y", "T"), load.moment, strict=True):
            if value:
                parts.append(f"{word} = {units.text(value, 'moment', 3)}")
        if load.bimoment:
            parts.append(f"B = {units.text(load.bimoment, 'bimoment', 3)}")
    elif load.torque or load.torque_end:
        sizes = [load.torque, load.torque if load.torque_end is None else load.torque_end]
        unit = units.unit("line moment")
        parts.append(f"m_t = {_range(sizes, 'line moment', units, signed=True)} {unit}")
    return ", ".join(parts)


def _range(sizes: list[float], quantity: str, units: MemberUnits, signed: bool = False) -> str:
    """One number, or "first to last" where they differ."""
    factor = units.factor(quantity)
    shown = [number((s if signed else abs(s)) * factor, 3) for s in sizes]
    return shown[0] if len(set(shown)) == 1 else " to ".join(shown)


def _labels(axes: Axes, places: list[LoadPlace], end: float) -> None:
    """Each place's loads in words just above it; places too close together share a line."""
    if not places:
        return
    low, high = min(p.x for p in places), max(p.x for p in places)
    window = axes.dataLim.height or 1.0
    apart = _CLOSE * max(high - low, window)
    shared: list[LoadPlace] = []
    for place in sorted(places, key=lambda p: p.x):
        last = shared[-1] if shared else None
        near = last is not None and place.x - last.x < apart
        if last is not None and near and abs(place.start - last.start) < 0.4 * end:
            last.words |= place.words
        else:
            shared.append(place)
    for place in shared:
        late = place.start > 0.7 * end
        words = list(place.words)
        more = f" and {len(words) - _MOST} more" if len(words) > _MOST else ""
        axes.annotate(
            "; ".join(words[:_MOST]) + more,
            (place.start, place.x),
            (-3 if late else 3, 3.5 if place.dotted else 1.5),
            textcoords="offset points",
            fontsize=7.6,
            color=_WORDS,
            ha="right" if late else "left",
            va="bottom",
            zorder=6,
            bbox={"boxstyle": "square,pad=0.05", "facecolor": "#ffffffb0", "edgecolor": "none"},
        )
