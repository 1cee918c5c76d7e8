"""Stations of a member for tables, figures and stress: even ones, and both sides of every jump."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from .model import SAME_STATION, Stretch
from .solution import Solution, Stations

Array = NDArray[np.float64]


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
        inner = jumps[(jumps > stretch.start + least) & (jumps < stretch.end - least)]
        z = np.unique(np.concatenate([even, inner]))
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
