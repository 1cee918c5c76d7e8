"""The worst place of vehicles and crowds, from influence lines.

The sum of a vehicle's axles is smooth while every axle stays within one element, so its extremes
are at axles on nodes or inside such an interval. Places with an axle on a station of the table are
looked at first, by interpolation; the best intervals are then searched with the field itself.
Distances count along the vehicle's own line, which in a curve is 1 - kappa x times the axis.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..model.load import Where
from ..model.member import Member
from ..model.moving import Crowd, Vehicle
from .analysis import Influence, ordinates_on

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Intervals searched for each extreme.
SEARCHED = 4
#: Golden sections of each.
STEPS = 22
#: Distance from a node at which its two sides are seen, as a share of the length.
BESIDE = 1e-8
#: Gauss points of each interval between stations, for crowds.
GAUSS = 4


@dataclass(frozen=True, slots=True, eq=False)
class MovingExtreme:
    """Maximum or minimum of one result under one moving load.

    Attributes
    ----------
    load, result : int
        Numbers in `vehicles` then `crowds`, and among the results.
    value : float
        0 where the load is best away.
    together : (c,)
        All results then.
    line : int
        Of the vehicle.
    forward : bool
        Whether it travels from start to end.
    axles : tuple of float
        Stations of its axles that stand on the member; empty where it is away.
    parts : tuple of (strip, start, end)
        What a crowd covers.
    """

    load: int
    result: int
    maximum: bool
    value: float
    together: Array
    line: int = 0
    forward: bool = True
    axles: tuple[float, ...] = ()
    parts: tuple[tuple[int, float, float], ...] = ()


def moving_extremes(
    found: Influence, vehicles: Sequence[Vehicle], crowds: Sequence[Crowd]
) -> tuple[MovingExtreme, ...]:
    """Maximum and minimum of every result under each moving load by itself."""
    rows: list[MovingExtreme] = []
    count = len(found.asked)
    for number, vehicle in enumerate(vehicles):
        runs = [
            Run(found, vehicle, line, forward)
            for line in range(len(vehicle.lines))
            for forward in ((True, False) if vehicle.both_ways else (True,))
        ]
        rows += _driven(runs, number, count)
    for number, crowd in enumerate(crowds, len(vehicles)):
        rows += _crowded(found, crowd, number)
    return tuple(rows)


def own_length(member: Member, place: Where, z: Array) -> Array:
    """Length (m,) along a line of the section from the start to stations z (m,) in order."""
    x = np.array([member.locate(place, member.section_at(float(s)))[0] for s in z])
    middle = (z[1:] + z[:-1]) / 2
    # Trapezium of x, the curvature of the middle: exact for arcs whose ends are stations.
    arm = (x[1:] + x[:-1]) / 2 - member.line[0]
    per = 1 - member.axis.curvature(middle) * arm
    return np.concatenate([[0.0], np.cumsum(np.diff(z) * per)])


class Run:
    """A vehicle on one line, in one direction."""

    def __init__(self, found: Influence, vehicle: Vehicle, line: int, forward: bool) -> None:
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

    def axles_at(self, first: float) -> tuple[float, ...]:
        """Stations of the axles that stand on the member, with the first at s."""
        s = first + self.offset
        on = (s >= 0) & (s <= self.s[-1])
        return tuple(np.interp(s[on], self.s, self.z).tolist())

    def total(self, first: Array) -> Array:
        """(m, c) results with the first axle at lengths s (m,) along the line."""
        found = np.zeros((len(first), self.table.shape[1]))
        for offset, force in zip(self.offset, self.force, strict=True):
            s = first + offset
            on = np.flatnonzero((s >= 0) & (s <= self.s[-1]))
            if len(on):
                z = np.interp(s[on], self.s, self.z)
                for wheel in self.wheels:
                    found[on] += force * wheel.at(z)
        return found

    def single(self, first: Array, result: Index) -> Array:
        """(m,) one result at each of these places of the first axle."""
        found = np.zeros(len(first))
        for offset, force in zip(self.offset, self.force, strict=True):
            s = first + offset
            on = np.flatnonzero((s >= 0) & (s <= self.s[-1]))
            if len(on):
                z = np.interp(s[on], self.s, self.z)
                for wheel in self.wheels:
                    found[on] += force * wheel.single(z, result[on])
        return found

    def rough(self) -> tuple[Array, Array, Array]:
        """Intervals low, high (m,) of the first axle's place in which no axle passes a station, and
        the results at their ends (2, m, c) by interpolation."""
        beside = BESIDE * self.s[-1]
        at = np.unique((np.unique(self.s)[:, None] - self.offset).ravel())
        low, high = at[:-1] + beside, at[1:] - beside
        wide = high > low
        low, high = low[wide], high[wide]
        found = np.zeros((2, len(low), self.table.shape[1]))
        for offset, force in zip(self.offset, self.force, strict=True):
            for k, first in enumerate((low, high)):
                s = first + offset
                on = (s >= 0) & (s <= self.s[-1])
                for c in range(found.shape[2]):
                    found[k, on, c] += force * np.interp(s[on], self.s, self.table[:, c])
        return low, high, found

    def searched(self, c: Index, sign: Array, a: Array, b: Array) -> tuple[Array, Array]:
        """Largest sign times result c (m,) in intervals a to b (m,), ends included, and its place:
        golden sections of all at once."""

        def value(s: Array) -> Array:
            return np.asarray(sign * self.single(s, c))

        place = np.where(value(a) >= value(b), a, b)
        best = value(place)
        golden = (np.sqrt(5) - 1) / 2
        for _ in range(STEPS):
            one, two = b - golden * (b - a), a + golden * (b - a)
            first, second = value(one), value(two)
            for s, found in ((one, first), (two, second)):
                place = np.where(found > best, s, place)
                best = np.maximum(found, best)
            left = first >= second
            a, b = np.where(left, a, one), np.where(left, two, b)
        return best, place


def _driven(runs: Sequence[Run], number: int, count: int) -> list[MovingExtreme]:
    """Maximum and minimum of every result over all runs of one vehicle."""
    low, high, ends = zip(*(run.rough() for run in runs), strict=True)
    of = np.repeat(np.arange(len(runs)), [len(one) for one in low])
    start, end = np.concatenate(low), np.concatenate(high)
    rough = np.concatenate(ends, axis=1)
    results = np.repeat(np.arange(count), 2)
    signs = np.tile([1.0, -1.0], count)
    best = np.zeros(2 * count)
    place, run_of = np.zeros(2 * count), np.full(2 * count, -1)
    signed = (rough[:, :, results] * signs).max(axis=0)
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
    rows = []
    for c, sign, s, k in zip(results, signs, place, run_of, strict=True):
        if k < 0:
            rows.append(MovingExtreme(number, int(c), bool(sign > 0), 0.0, np.zeros(count)))
            continue
        run = runs[k]
        together = run.total(np.array([s]))[0]
        rows.append(
            MovingExtreme(
                number, int(c), bool(sign > 0), float(together[c]), together,
                run.line, run.forward, run.axles_at(float(s)),
            )
        )  # fmt: skip
    return rows


def _crowded(found: Influence, crowd: Crowd, number: int) -> list[MovingExtreme]:
    """A crowd on every part of its strips where a result's line has one sign."""
    x, w = np.polynomial.legendre.leggauss(GAUSS)
    inner = np.flatnonzero(~found.last[:-1])
    a, b = found.z[inner], found.z[inner + 1]
    z = (a + b)[:, None] / 2 + (b - a)[:, None] / 2 * x
    count = len(found.asked)
    weights, ordinates, ends = [], [], []
    for place, width in crowd.strips:
        per = np.diff(own_length(found.member, place, found.z))[inner] / (b - a)
        weights.append(crowd.pressure * width * per[:, None] * (b - a)[:, None] / 2 * w)
        ordinates.append(found.field.on(place).at(z.ravel()).reshape(*z.shape, count))
        table = ordinates_on(found.field, place, found.z, found.last)
        ends.append((table[inner], table[inner + 1]))
    rows = []
    for c in range(count):
        for sign in (1.0, -1.0):
            together = np.zeros(count)
            parts: list[tuple[int, float, float]] = []
            for k, (load, values, (first, last)) in enumerate(
                zip(weights, ordinates, ends, strict=True)
            ):
                start, end = _covered(sign * first[:, c], sign * last[:, c])
                whole = (start == 0) & (end == 1)
                together += np.einsum("mg,mgc->c", load[whole], values[whole])
                place = crowd.strips[k][0]
                for i in np.flatnonzero(~whole & (end > start)):
                    # From the zero on, by Gauss points of its own.
                    share = end[i] - start[i]
                    own = a[i] + (b[i] - a[i]) * (start[i] + share * (1 + x) / 2)
                    together += load[i] * share @ found.field.on(place).at(own)
                parts += _joined(k, a + (b - a) * start, a + (b - a) * end, float(b[-1]))
            rows.append(
                MovingExtreme(number, c, sign > 0, float(together[c]), together, parts=tuple(parts))
            )
    return rows


def _covered(first: Array, last: Array) -> tuple[Array, Array]:
    """Start and end of the positive share of intervals with these values at their ends; equal
    where there is none. A zero misplaced by d costs the order of d squared."""
    with np.errstate(divide="ignore", invalid="ignore"):
        zero = np.where(first != last, first / (first - last), 0.0)
    start = np.where(first >= 0, 0.0, np.where(last > 0, zero, 0.0))
    end = np.where(last >= 0, 1.0, np.where(first > 0, zero, 0.0))
    none = (first <= 0) & (last <= 0)
    return np.where(none, 0.0, start), np.where(none, 0.0, end)


def _joined(strip: int, start: Array, end: Array, length: float) -> list[tuple[int, float, float]]:
    """Neighbouring parts made one."""
    found: list[tuple[int, float, float]] = []
    for a, b in zip(start.tolist(), end.tolist(), strict=True):
        if b - a <= BESIDE * length:
            continue
        if found and abs(found[-1][2] - a) <= BESIDE * length:
            found[-1] = (strip, found[-1][1], b)
        else:
            found.append((strip, a, b))
    return found
