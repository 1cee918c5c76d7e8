"""Stations of a member for tables, figures and stress: even ones, and both sides of every jump."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from ..model.member import SAME_STATION, Segment
from .solution import Solution, Stations

Array = NDArray[np.float64]

#: A characteristic length below so many steps is followed by stations of its own, at these
#: multiples of it: e^-5 of a bimoment is left at the last.
_SHORT = 4.0
_DYING = (0.15, 0.35, 0.6, 1.0, 1.6, 2.5, 5.0)


@dataclass(frozen=True, slots=True)
class SegmentStations:
    """A segment with the results at stations of it, in order; jumps have one on either side."""

    segment: Segment
    table: Stations


def segment_stations(solution: Solution, count: int) -> tuple[SegmentStations, ...]:
    """About `count` stations over the whole member, by segments."""
    member = solution.mesh.member
    jumps = _jumps(solution)
    step = member.length / count
    least = SAME_STATION * member.length
    found = []
    for segment in member.segments:
        parts = max(1, round((segment.end - segment.start) / step))
        even = np.linspace(segment.start, segment.end, parts + 1)
        if segment.section_end is not None:
            even = _middles(solution, segment)
        inner = jumps[(jumps > segment.start + least) & (jumps < segment.end - least)]
        near = _layers(segment, jumps, step)
        near = near[(near > segment.start + least) & (near < segment.end - least)]
        z = np.unique(np.concatenate([even, inner, near]))
        z = z[np.append(True, np.diff(z) > least)]
        # A station takes the value that follows it; before a jump, and at the end, the one before.
        jumping = np.isin(z, inner)
        jumping[-1] = True
        rank = np.concatenate([2 * np.arange(len(z) - 1) + 1, 2 * np.flatnonzero(jumping)])
        order = np.argsort(rank, kind="stable")
        right, left = solution.at(z[:-1]), solution.at(z[jumping], side="left")
        found.append(SegmentStations(segment, _ordered(right, left, order)))
    return tuple(found)


def whole(parts: tuple[SegmentStations, ...]) -> Stations:
    """The stations of all segments in one table."""
    tables = [part.table for part in parts]
    values = {
        f.name: np.concatenate([getattr(t, f.name) for t in tables])
        for f in fields(Stations)
        if f.name != "names"
    }
    return Stations(**values, names=tables[0].names)


def _middles(solution: Solution, segment: Segment) -> Array:
    """Ends of a tapered segment, and the middles of the prismatic pieces that stand for it: only
    there is a piece's section that of the taper."""
    nodes = solution.mesh.nodes
    least = SAME_STATION * solution.mesh.member.length
    own = nodes[(nodes >= segment.start - least) & (nodes <= segment.end + least)]
    return np.concatenate([[segment.start], (own[1:] + own[:-1]) / 2, [segment.end]])


def _layers(segment: Segment, jumps: Array, step: float) -> Array:
    """Stations close to jumps, where restrained warping dies out within a few steps."""
    ends = (segment.section, segment.section_end or segment.section)
    length = max(s.characteristic_length for s in ends)
    if not 0 < length < _SHORT * step:
        return np.zeros(0)
    away = length * np.array(_DYING)
    return np.asarray((jumps[:, None] + np.concatenate([-away, away])).ravel())


def _jumps(solution: Solution) -> Array:
    """Stations where an action may jump: point loads, supports, restraints, ends of line loads."""
    member = solution.mesh.member
    found: list[float] = []
    items: tuple[object, ...] = (*member.supports, *member.restraints, *member.hinges)
    items = (*items, *member.acting)
    for item in items:
        for word in ("at", "start", "end"):
            if hasattr(item, word):
                found.append(float(getattr(item, word)))
    return np.unique([*found, *member.axis.breaks.tolist()])


def _ordered(first: Stations, second: Stations, order: NDArray[np.intp]) -> Stations:
    values = {
        f.name: np.concatenate([getattr(first, f.name), getattr(second, f.name)])[order]
        for f in fields(Stations)
        if f.name != "names"
    }
    return Stations(**values, names=first.names)
