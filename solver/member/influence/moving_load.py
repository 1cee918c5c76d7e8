"""The worst place of vehicles and crowds, each by itself, from influence lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..model.member import Member
from ..model.moving import Crowd, Vehicle
from .analysis import Influence
from .crowd_strip import CrowdStrip, without
from .vehicle_run import Run, driven

Array = NDArray[np.float64]


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
    forces : tuple of float
        Theirs, with the dynamic factor.
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
    forces: tuple[float, ...] = ()
    parts: tuple[tuple[int, float, float], ...] = ()


def vehicle_extremes(
    found: Influence,
    vehicle: Vehicle,
    number: int,
    lines: Sequence[int],
    crowd: Sequence[tuple[CrowdStrip, float]] = (),
) -> list[MovingExtreme]:
    """Maximum and minimum of every result of one vehicle on the best of some lines, in order of
    the results. With a crowd that it clears its place is the best of both; value and results stay
    the vehicle's own."""
    count = len(found.asked)
    runs = [
        Run(found, vehicle, line, forward, crowd)
        for line in lines
        for forward in ((True, False) if vehicle.both_ways else (True,))
    ]
    rows = []
    for k, best in enumerate(driven(runs, count)):
        c, maximum = k // 2, k % 2 == 0
        if best.run < 0:
            rows.append(MovingExtreme(number, c, maximum, 0.0, np.zeros(count), lines[0]))
            continue
        run = runs[best.run]
        together = run.total(np.array([best.first]))[0]
        low, high = run.cleared(np.array([best.first]))
        rows.append(
            MovingExtreme(
                number, c, maximum, float(together[c]), together, run.line, run.forward,
                *run.axles_at(best.first),
                _within(float(low[0]), float(high[0]), found.member) if crowd else (),
            )
        )  # fmt: skip
    return rows


def _within(low: float, high: float, member: Member) -> tuple[tuple[int, float, float], ...]:
    """What is cleared, on a ring in parts that lie within it."""
    if not member.axis.closed:
        return ((0, low, high),)
    turn = low // member.length * member.length
    low, high = low - turn, high - turn
    if high <= member.length:
        return ((0, low, high),)
    return ((0, low, member.length), (0, 0.0, high - member.length))


def strips_of(found: Influence, crowd: Crowd) -> list[CrowdStrip]:
    """A crowd's strips."""
    return [CrowdStrip(found, place, crowd.pressure * width) for place, width in crowd.strips]


def strip_extremes(
    strip: CrowdStrip, number: int, k: int, less: Sequence[MovingExtreme] = ()
) -> list[MovingExtreme]:
    """Maximum and minimum of every result of a crowd on strip k of crowd `number`, less what the
    vehicles of rows in the same order clear."""
    rows: list[MovingExtreme] = []
    for c in range(strip.whole.shape[1]):
        for maximum in (True, False):
            parts = strip.worst(c, 1.0 if maximum else -1.0)
            if less:
                for _, start, end in less[len(rows)].parts:
                    parts = without(parts, start, end)
            together = strip.together(parts)
            rows.append(
                MovingExtreme(
                    number, c, maximum, float(together[c]), together,
                    parts=tuple((k, a, b) for a, b in parts),
                )
            )  # fmt: skip
    return rows


def summed(strips: Sequence[MovingExtreme]) -> MovingExtreme:
    """A crowd of several strips."""
    first = strips[0]
    together = np.sum([one.together for one in strips], axis=0)
    return MovingExtreme(
        first.load, first.result, first.maximum, float(together[first.result]), together,
        parts=tuple(part for one in strips for part in one.parts),
    )  # fmt: skip
