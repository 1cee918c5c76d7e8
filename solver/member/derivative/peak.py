"""Largest values along a member and how fast they change: at the place of the peak, which moves
along with its element.

A largest value that is smooth along the member is stationary there, so that its derivative is that
of the value at the place; one at a node, where something jumps or bends off, moves with the node
(see `section.derivative.largest`).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from ...section.derivative.largest import NEAR, PeakRate, Rates
from ..beam.solution import Solution, Stations

Array = NDArray[np.float64]
#: A size of what stations have: (m, c), or (m,) of one combination.
Size = Callable[[Stations], Array]

#: Stations among which peaks are sought, and rounds in which each place is narrowed, each with so
#: many places: to 1e-6 of a distance of stations, for a derivative is as exact as its place.
SEARCH, _ROUNDS, _PLACES = 400, 5, 41
#: Share of the highest by which two elements may differ where they meet.
ROUNDING = 1e-11


@dataclass(frozen=True, slots=True)
class PeakPlace:
    """A place where a size is largest nearby.

    Attributes
    ----------
    value : float
    element : int
    share : float
        Of the element's length.
    column : int
        The combination.
    z : float
        The station.
    """

    value: float
    element: int
    share: float
    column: int
    z: float


def peaks_of(solution: Solution, size: Size) -> list[PeakPlace]:
    """The highest place of a size along the member, and others nearly as high."""
    element, share = _places(solution)
    values = size(solution.within(element, share))
    top = float(values.max())
    if not top > 0:
        return []
    found = [
        narrowed(solution, partial(_column, size, c), int(element[n]), float(share[n]), c)
        for c, n in np.argwhere(high_nearby(values, top).T).tolist()
    ]
    found.sort(key=lambda peak: -peak.value)
    kept: list[PeakPlace] = []
    apart = solution.mesh.member.length / SEARCH
    for peak in found:
        known = any(p.column == peak.column and abs(p.z - peak.z) < apart for p in kept)
        if not known and peak.value >= found[0].value * (1 - NEAR):
            kept.append(peak)
    return kept


def _places(solution: Solution) -> tuple[NDArray[np.intp], Array]:
    """Elements and shares of some hundred stations, both ends of every element among them."""
    mesh = solution.mesh
    some = np.flatnonzero(mesh.joint < 0)
    count = np.maximum(3, np.ceil(SEARCH * mesh.length[some] / mesh.member.length)).astype(int)
    element = np.repeat(some, count)
    rank = np.arange(len(element)) - np.repeat(np.cumsum(count) - count, count)
    return element, rank / (np.repeat(count, count) - 1)


def high_nearby(values: Array, top: float) -> NDArray[np.bool_]:
    """Which values (m, c) of neighbouring stations are as high as those beside them and nearly the
    top: a step of the search may hide so much of a peak between two stations. Where two elements
    meet, rounding must not choose the one on the wrong side of the peak."""
    beyond = np.full((1, values.shape[1]), -np.inf)
    before, after = np.vstack([beyond, values[:-1]]), np.vstack([values[1:], beyond])
    least = np.maximum(before, after) - ROUNDING * top
    return np.asarray(values >= np.maximum(least, top * (1 - 2 * NEAR)))


def _column(size: Size, c: int, table: Stations) -> Array:
    return size(table)[:, c]


def narrowed(solution: Solution, size: Size, element: int, share: float, c: int) -> PeakPlace:
    """The peak of a size (m,) of combination c beside a place found by the search."""
    reach = min(1.0, 2 * solution.mesh.member.length / SEARCH / solution.mesh.length[element])
    value, z = -np.inf, 0.0
    for _ in range(_ROUNDS):
        places = np.clip(share + reach * np.linspace(-1, 1, _PLACES), 0.0, 1.0)
        table = solution.within(np.full(_PLACES, element), places)
        own = size(table)
        k = int(np.argmax(own))
        value, share, z = float(own[k]), float(places[k]), float(table.z[k])
        reach *= 2 / (_PLACES - 1)
    return PeakPlace(value, element, share, c, z)


def peak_rates(
    peaks: Sequence[PeakPlace], solutions: Sequence[Solution], size: Size, step: float
) -> Rates[PeakPlace]:
    """Their derivatives, from the member moved to first order."""
    element = np.array([p.element for p in peaks])
    share = np.array([p.share for p in peaks])
    column = np.array([p.column for p in peaks])
    rows = np.arange(len(peaks))
    values = [size(one.within(element, share))[rows, column] for one in solutions]
    each = np.array(values).T.tolist()
    return Rates(tuple(PeakRate.of(p, v, step) for p, v in zip(peaks, each, strict=True)))
