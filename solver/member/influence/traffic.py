"""Several moving loads at once: a vehicle or a crowd in each lane, crowds beside the lanes.

Influence lines add up, so each lane is filled by itself with what is worst there; where fewer
vehicles than lanes are about, all ways of placing them are tried.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from ..model.moving import Crowd, Vehicle
from .analysis import Influence
from .crowd_strip import CrowdStrip
from .moving_load import MovingExtreme, strip_extremes, strips_of, summed, vehicle_extremes

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """A moving load in its place: its name, its factor, where it stands and what it makes of all
    results without the factor."""

    name: str
    factor: float
    place: MovingExtreme


@dataclass(frozen=True, slots=True, eq=False)
class Choice:
    """One way of filling a lane: 2c rows of standing loads, in the order of maximum and minimum of
    every result, and their sum (2c,), signed so that more is worse."""

    worse: Array
    rows: list[tuple[Standing, ...]]
    vehicle: str = ""


class Traffic:
    """The worst traffic of any results.

    Parameters
    ----------
    found : Influence
    vehicles, crowds
    """

    def __init__(
        self, found: Influence, vehicles: Sequence[Vehicle], crowds: Sequence[Crowd]
    ) -> None:
        self.found = found
        self.vehicles = {v.name: (k, v) for k, v in enumerate(vehicles)}
        self.crowds = {c.name: (k, c) for k, c in enumerate(crowds, len(vehicles))}
        self._strips: dict[str, list[CrowdStrip]] = {}
        self._known: dict[tuple[object, ...], list[MovingExtreme]] = {}

    def alone(self) -> tuple[MovingExtreme, ...]:
        """Maximum and minimum of every result under each moving load by itself, one vehicle of a
        kind at a time."""
        rows: list[MovingExtreme] = []
        for name in self.vehicles:
            rows += self._anywhere(name)
        for name, (_, crowd) in self.crowds.items():
            every = [self._strip(name, k) for k in range(len(crowd.strips))]
            rows += [summed(strips) for strips in zip(*every, strict=True)]
        return tuple(rows)

    def worst(self, moving: Mapping[str, float]) -> list[tuple[Standing, ...]]:
        """For maximum and minimum of every result (2c rows) what stands where, under the factors of
        vehicles and crowds."""
        vehicles = {n: f for n, f in moving.items() if n in self.vehicles}
        crowds = {n: f for n, f in moving.items() if n in self.crowds}
        free: list[tuple[Standing, ...]] = [()] * (2 * len(self.found.asked))
        lanes: dict[str, None] = {}
        for name, factor in crowds.items():
            for k, lane in enumerate(self.crowds[name][1].lanes):
                if lane:
                    lanes[lane] = None
                else:
                    free = _joined(free, _standing(name, factor, self._strip(name, k)))
        for name, factor in vehicles.items():
            _, vehicle = self.vehicles[name]
            if vehicle.lanes:
                lanes |= dict.fromkeys(vehicle.lanes)
            else:
                free = _joined(free, _standing(name, factor, self._anywhere(name)))
        if not lanes:
            return free
        chosen = self._assigned([self._choices(lane, vehicles, crowds) for lane in lanes])
        return [(*a, *b) for a, b in zip(free, chosen, strict=True)]

    def _choices(
        self, lane: str, vehicles: Mapping[str, float], crowds: Mapping[str, float]
    ) -> list[Choice]:
        """All ways to fill a lane; the crowd, or nothing, comes first."""
        strips = [
            (name, k)
            for name in crowds
            for k, own in enumerate(self.crowds[name][1].lanes)
            if own == lane
        ]
        empty: list[tuple[Standing, ...]] = [()] * (2 * len(self.found.asked))
        walked = empty
        for name, k in strips:
            walked = _joined(walked, _standing(name, crowds[name], self._strip(name, k)))
        found = [self._choice(walked)]
        for name, factor in vehicles.items():
            number, vehicle = self.vehicles[name]
            if lane not in vehicle.lanes:
                continue
            line = vehicle.lanes.index(lane)
            beside = [
                (self._strips_of(crowd)[k], crowds[crowd] / factor)
                for crowd, k in strips
                if vehicle.clear is not None
            ]
            rows = self._once(
                (name, line, *(share for _, share in beside)),
                lambda v=vehicle, n=number, x=line, b=beside: vehicle_extremes(
                    self.found, v, n, [x], b
                ),
            )
            both = _joined(empty, _standing(name, factor, rows))
            for crowd, k in strips if beside else []:
                own = strip_extremes(self._strips_of(crowd)[k], self.crowds[crowd][0], k, rows)
                both = _joined(both, _standing(crowd, crowds[crowd], own))
            found.append(self._choice(both, name))
        return found

    def _choice(self, rows: list[tuple[Standing, ...]], vehicle: str = "") -> Choice:
        worse = np.array(
            [
                (1.0 if k % 2 == 0 else -1.0)
                * sum(s.factor * s.place.together[k // 2] for s in row)
                for k, row in enumerate(rows)
            ]
        )
        return Choice(worse, rows, vehicle)

    def _assigned(self, lanes: Sequence[Sequence[Choice]]) -> list[tuple[Standing, ...]]:
        """The worst choice of all lanes together, no more of each vehicle than may be at once."""
        best: Array | None = None
        which: NDArray[np.intp] | None = None
        ways: list[list[Choice]] = []
        for numbers in product(*(range(len(lane)) for lane in lanes)):
            taken = [lane[k] for lane, k in zip(lanes, numbers, strict=True)]
            names = [c.vehicle for c in taken if c.vehicle]
            if any(0 < self.vehicles[n][1].at_once < names.count(n) for n in set(names)):
                continue
            total = np.sum([c.worse for c in taken], axis=0)
            if best is None or which is None:
                best, which = total, np.zeros(len(total), np.intp)
            else:
                better = total > best
                best, which = np.where(better, total, best), np.where(better, len(ways), which)
            ways.append(taken)
        assert which is not None
        return [
            tuple(standing for choice in ways[w] for standing in choice.rows[k])
            for k, w in enumerate(which)
        ]

    def _strips_of(self, crowd: str) -> list[CrowdStrip]:
        if crowd not in self._strips:
            self._strips[crowd] = strips_of(self.found, self.crowds[crowd][1])
        return self._strips[crowd]

    def _anywhere(self, name: str) -> list[MovingExtreme]:
        """A vehicle on the best of its lines."""
        number, vehicle = self.vehicles[name]
        lines = range(len(vehicle.lines))
        return self._once((name,), lambda: vehicle_extremes(self.found, vehicle, number, lines))

    def _strip(self, crowd: str, k: int) -> list[MovingExtreme]:
        number = self.crowds[crowd][0]
        return self._once((crowd, k), lambda: strip_extremes(self._strips_of(crowd)[k], number, k))

    def _once(self, key: tuple[object, ...], make: object) -> list[MovingExtreme]:
        if key not in self._known:
            self._known[key] = make()  # type: ignore[operator]
        return self._known[key]


def _standing(name: str, factor: float, rows: Sequence[MovingExtreme]) -> list[Standing | None]:
    """Loads in their places; None where one is best away."""
    return [Standing(name, factor, one) if one.axles or one.parts else None for one in rows]


def _joined(
    rows: Sequence[tuple[Standing, ...]], more: Sequence[Standing | None]
) -> list[tuple[Standing, ...]]:
    return [(*a, b) if b is not None else a for a, b in zip(rows, more, strict=True)]
