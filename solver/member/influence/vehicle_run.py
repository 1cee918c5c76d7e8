"""A vehicle on one line, in one direction: its sum of axles, and where that is largest.

The sum is smooth while every axle stays within one element, so its extremes are at axles on nodes
or inside such an interval. Places with an axle on a station of the table are looked at first, by
interpolation; the best intervals are then searched with the field itself. Distances count along the
vehicle's own line, which in a curve is 1 - kappa x times the axis. On a ring it drives round and
round: all of its axles stand on the deck, those before the start at the end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..model.moving import Vehicle
from .analysis import Influence
from .crowd_strip import BESIDE, CrowdStrip, own_length
from .ordinates import ordinates_on

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Intervals searched for each extreme.
SEARCHED = 4
#: Golden sections of each.
STEPS = 22


@dataclass(frozen=True, slots=True, eq=False)
class Best:
    """The place of a vehicle that is worst for one result: `run` is its number, negative where it
    is best away; `first` the length along its line at which its first axle stands."""

    value: float
    run: int
    first: float


class Run:
    """A vehicle on one line, in one direction.

    `crowd` are strips of its lane, with the crowd's factor over the vehicle's, that it clears over
    `clear` before and behind it.
    """

    def __init__(
        self,
        found: Influence,
        vehicle: Vehicle,
        line: int,
        forward: bool,
        crowd: Sequence[tuple[CrowdStrip, float]] = (),
    ) -> None:
        self.line, self.forward = line, forward
        self.z = found.z
        self.s = own_length(found.member, vehicle.lines[line], found.z)
        wheels = vehicle.wheels(line)
        self.wheels = [found.field.on(p) for p in wheels]
        tables = [ordinates_on(found.field, p, found.z, found.last) for p in wheels]
        self.table = np.sum(tables, axis=0)
        # Seen from the start, axles stand behind the first where it travels to the end.
        self.offset = np.array([a.behind for a in vehicle.axles]) * (-1.0 if forward else 1.0)
        self.force = np.array([a.force for a in vehicle.axles]) * vehicle.factor / len(self.wheels)
        self.clear = vehicle.clear or 0.0
        self.ring = found.member.axis.closed
        if self.ring and np.ptp(self.offset) >= self.s[-1]:
            raise InputError(
                f"{vehicle.name}: it is longer than the ring ({self.s[-1]:g} along its line), so "
                "its first axle would stand on its last; take axles off"
            )
        self.crowd = [(strip, share, strip.positive()) for strip, share in crowd]

    def axles_at(self, first: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Stations and forces of the axles that stand on the member, with the first at s."""
        s, on = self._placed(first + self.offset)
        force = self.force[on] * len(self.wheels)
        return tuple(np.interp(s[on], self.s, self.z).tolist()), tuple(force.tolist())

    def _placed(self, s: Array) -> tuple[Array, NDArray[np.bool_]]:
        """Lengths s as they lie on the line, and which of them do."""
        if self.ring:
            s = np.mod(s, self.s[-1])
        return s, (s >= 0) & (s <= self.s[-1])

    def cleared(self, first: Array) -> tuple[Array, Array]:
        """Stations (m,) between which no crowd stands in the vehicle's lane; on a ring they count
        on beyond its end, and back before its start."""
        ends = self.offset.min() - self.clear, self.offset.max() + self.clear
        if not self.ring:
            low, high = (np.interp(first + end, self.s, self.z) for end in ends)
            return low, high
        turns, rest = zip(*(np.divmod(first + end, self.s[-1]) for end in ends), strict=True)
        low, high = (
            np.interp(r, self.s, self.z) + n * self.z[-1] for n, r in zip(turns, rest, strict=True)
        )
        return low, np.minimum(high, low + self.z[-1])

    def total(self, first: Array) -> Array:
        """(m, c) results with the first axle at lengths s (m,) along the line."""
        found = np.zeros((len(first), self.table.shape[1]))
        for z, on, force in self._standing(first):
            for wheel in self.wheels:
                found[on] += force * wheel.at(z)
        return found

    def single(self, first: Array, result: Index, sign: Array) -> Array:
        """(m,) sign times one result at each of these places, less the crowd that it clears."""
        found = np.zeros(len(first))
        for z, on, force in self._standing(first):
            for wheel in self.wheels:
                found[on] += force * wheel.single(z, result[on])
        found *= sign
        if self.crowd:
            ends = self.cleared(first)
            for strip, share, table in self.crowd:
                place = np.append(strip.start, strip.length)
                for end, way in zip(ends, (1.0, -1.0), strict=True):
                    turns, rest = self._round(end)
                    found += way * share * _between(place, table, rest, result, sign)
                    if self.ring:
                        found += way * share * turns * table[np.where(sign > 0, 0, 1), -1, result]
        return found

    def _round(self, z: Array) -> tuple[Array, Array]:
        """How often stations (m,) have gone round, and where they then are."""
        if not self.ring:
            return np.zeros(len(z)), z
        turns, rest = np.divmod(z, self.z[-1])
        return turns, rest

    def rough(self, result: Index, sign: Array) -> tuple[Array, Array, Array]:
        """Intervals low, high (m,) of the first axle's place in which no axle passes a station, and
        sign times the results (2, m, k) at their ends by interpolation, less cleared crowd."""
        beside = BESIDE * self.s[-1]
        at = (np.unique(self.s)[:, None] - self.offset).ravel()
        if self.ring:
            at = np.append(np.mod(at, self.s[-1]), [0.0, self.s[-1]])
        at = np.unique(at)
        low, high = at[:-1] + beside, at[1:] - beside
        wide = high > low
        low, high = low[wide], high[wide]
        found = np.zeros((2, len(low), self.table.shape[1]))
        for k, first in enumerate((low, high)):
            for offset, force in zip(self.offset, self.force, strict=True):
                s, on = self._placed(first + offset)
                for c in range(found.shape[2]):
                    found[k, on, c] += force * np.interp(s[on], self.s, self.table[:, c])
        signed = found[:, :, result] * sign
        for k, first in enumerate((low, high)):
            for strip, share, table in self.crowd:
                place = np.append(strip.start, strip.length)
                for end, way in zip(self.cleared(first), (1.0, -1.0), strict=True):
                    turns, rest = self._round(end)
                    for j, (c, one) in enumerate(zip(result, sign, strict=True)):
                        own = table[0 if one > 0 else 1, :, c]
                        before = np.interp(rest, place, own) + turns * own[-1]
                        signed[k, :, j] += way * share * before
        return low, high, signed

    def searched(self, c: Index, sign: Array, a: Array, b: Array) -> tuple[Array, Array]:
        """Largest sign times result c (m,) in intervals a to b (m,), ends included, and its place:
        golden sections of all at once."""
        place = np.where(self.single(a, c, sign) >= self.single(b, c, sign), a, b)
        best = self.single(place, c, sign)
        golden = (np.sqrt(5) - 1) / 2
        for _ in range(STEPS):
            one, two = b - golden * (b - a), a + golden * (b - a)
            first, second = self.single(one, c, sign), self.single(two, c, sign)
            for s, found in ((one, first), (two, second)):
                place = np.where(found > best, s, place)
                best = np.maximum(found, best)
            left = first >= second
            a, b = np.where(left, a, one), np.where(left, two, b)
        return best, place

    def _standing(self, first: Array):  # type: ignore[no-untyped-def]
        """Stations of each axle, which of the places it stands on the member at, its force."""
        for offset, force in zip(self.offset, self.force, strict=True):
            s, inside = self._placed(first + offset)
            on = np.flatnonzero(inside)
            if len(on):
                yield np.interp(s[on], self.s, self.z), on, force


def _between(place: Array, table: Array, z: Array, result: Index, sign: Array) -> Array:
    """(m,) table (2, p, c) at places z (m,), of one result and sign each, linearly."""
    k = np.clip(np.searchsorted(place, z, side="right") - 1, 0, len(place) - 2)
    share = np.clip((z - place[k]) / (place[k + 1] - place[k]), 0.0, 1.0)
    which = np.where(sign > 0, 0, 1)
    return (1 - share) * table[which, k, result] + share * table[which, k + 1, result]


def driven(runs: Sequence[Run], count: int) -> list[Best]:
    """Maximum and minimum of every result over all runs of one vehicle; 2 count rows."""
    results = np.repeat(np.arange(count), 2)
    signs = np.tile([1.0, -1.0], count)
    low, high, ends = zip(*(run.rough(results, signs) for run in runs), strict=True)
    of = np.repeat(np.arange(len(runs)), [len(one) for one in low])
    start, end = np.concatenate(low), np.concatenate(high)
    signed = np.concatenate(ends, axis=1).max(axis=0)
    best = np.zeros(2 * count)
    place, run_of = np.zeros(2 * count), np.full(2 * count, -1)
    chosen = np.argsort(-signed, axis=0)[:SEARCHED]
    for k, run in enumerate(runs):
        rank, asked = np.nonzero(of[chosen] == k)
        if not len(asked):
            continue
        where = chosen[rank, asked]
        values, at = run.searched(results[asked], signs[asked], start[where], end[where])
        for which, value, s in zip(asked, values, at, strict=True):
            if value > best[which]:
                best[which], place[which], run_of[which] = value, s, k
    return [Best(float(v), int(k), float(s)) for v, k, s in zip(best, run_of, place, strict=True)]
