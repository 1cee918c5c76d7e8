"""Stations of a member for tables, figures and stress: even ones, and both sides of every jump."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from ..model.member import SAME_STATION, Stretch
from .solution import Solution, Stations

Array = NDArray[np.float64]

#: A torsion length below so many steps is followed by stations of its own, at these multiples of
#: it: e^-5 of a bimoment is left at the last.
_SHORT = 4.0
_DYING = (0.15, 0.35, 0.6, 1.0, 1.6, 2.5, 5.0)


@dataclass(frozen=True, slots=True)
class StretchStations:
    """A stretch with the results at stations of it, in order; jumps have one on either side."""

    stretch: Stretch
    table: Stations


def stretch_stations(solution: Solution, count: int) -> tuple[StretchStations, ...]:
    """About `count` stations over the whole member, by stretches."""
    member = solution.mesh.member
    jumps = _jumps(solution)
    step = member.length / count
    least = SAME_STATION * member.length
    found = []
    for stretch in member.stretches:
        parts = max(1, round((stretch.end - stretch.start) / step))
        even = np.linspace(stretch.start, stretch.end, parts + 1)
        if stretch.section_end is not None:
            even = _middles(solution, stretch)
        inner = jumps[(jumps > stretch.start + least) & (jumps < stretch.end - least)]
        near = _layers(stretch, jumps, step)
        near = near[(near > stretch.start + least) & (near < stretch.end - least)]
        z = np.unique(np.concatenate([even, inner, near]))
        z = z[np.append(True, np.diff(z) > least)]
        # A station takes the value that follows it; before a jump, and at the end, the one before.
        jumping = np.isin(z, inner)
        jumping[-1] = True
        rank = np.concatenate([2 * np.arange(len(z) - 1) + 1, 2 * np.flatnonzero(jumping)])
        order = np.argsort(rank, kind="stable")
        right, left = solution.at(z[:-1]), solution.at(z[jumping], side="left")
        found.append(StretchStations(stretch, _ordered(right, left, order)))
    return tuple(found)


def whole(parts: tuple[StretchStations, ...]) -> Stations:
    """The stations of all stretches in one table."""
    tables = [part.table for part in parts]
    values = {
        f.name: np.concatenate([getattr(t, f.name) for t in tables])
        for f in fields(Stations)
        if f.name != "names"
    }
    return Stations(**values, names=tables[0].names)


def _middles(solution: Solution, stretch: Stretch) -> Array:
    """Ends of a tapered stretch, and the middles of the prismatic pieces that stand for it: only
    there is a piece's section that of the taper."""
    nodes = solution.mesh.nodes
    least = SAME_STATION * solution.mesh.member.length
    own = nodes[(nodes >= stretch.start - least) & (nodes <= stretch.end + least)]
    return np.concatenate([[stretch.start], (own[1:] + own[:-1]) / 2, [stretch.end]])


def _layers(stretch: Stretch, jumps: Array, step: float) -> Array:
    """Stations close to jumps, where restrained warping dies out within a few steps."""
    ends = (stretch.section, stretch.section_end or stretch.section)
    length = max(s.torsion_length for s in ends)
    if not 0 < length < _SHORT * step:
        return np.zeros(0)
    away = length * np.array(_DYING)
    return np.asarray((jumps[:, None] + np.concatenate([-away, away])).ravel())


def _jumps(solution: Solution) -> Array:
    """Stations where an action may jump: point loads, supports, restraints, ends of line loads."""
    member = solution.mesh.member
    found: list[float] = []
    for item in (*member.supports, *member.restraints, *member.loads):
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
