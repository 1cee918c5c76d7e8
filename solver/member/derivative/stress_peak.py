"""The largest von Mises stress of a member, and how fast it changes: at its place along the member
and in the section, which move with the elements and the section's mesh."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ...section.derivative.largest import NEAR, PeakRate, Rates
from ...section.derivative.stress_rate import spot_refused, stress_at
from ...section.stress.components import COMPONENTS
from ...section.stress.extremes import Search, Spot
from ...section.stress.unit_stress import UnitStress
from ..beam.solution import Solution, Stations
from ..beam.stations import SegmentStations
from ..model.member import Segment
from ..model.solved_section import SolvedSection
from .peak import SEARCH, PeakPlace, high_nearby, narrowed

if TYPE_CHECKING:
    from ..review.stress import MemberStress

Array = NDArray[np.float64]
Sections = Mapping[str, SolvedSection]

_MISES = COMPONENTS["von Mises"]
#: Places along the member that are looked at.
_MOST = 6


@dataclass(frozen=True, slots=True)
class StressPeak:
    """A place of a member where the stress is largest nearby.

    Attributes
    ----------
    peak : PeakPlace
        Along the member.
    segment : int
    spots : tuple of (str, Spot)
        Of the section there; of both end sections where the segment tapers.
    """

    peak: PeakPlace
    segment: int
    spots: tuple[tuple[str, Spot], ...]


def stress_peaks(
    solution: Solution, parts: Sequence[SegmentStations], stress: MemberStress, sections: Sections
) -> list[StressPeak]:
    """The highest place, and others nearly as high.

    Raises
    ------
    InputError
        The highest has no derivative, in words.
    """
    top = float(stress.mises.max())
    if not top > 0:
        return []
    found: list[StressPeak] = []
    begin = 0
    for n, part in enumerate(parts):
        rows = slice(begin, begin + len(part.table.z))
        begin = rows.stop
        values = stress.mises[rows]
        for row, c in _local(values, top):
            if c in stress.own:
                raise InputError(
                    "temperature or shrinkage leaves stress within the section, which has no "
                    "derivative here"
                )
            ends = stress.between[rows.start + row][:2]
            found += _at(solution, sections, n, part, ends, row, c)
    found.sort(key=lambda one: -one.peak.value)
    kept: list[StressPeak] = []
    apart = solution.mesh.member.length / SEARCH
    for one in found:
        if one.peak.value < found[0].peak.value * (1 - NEAR) or len(kept) == _MOST:
            break
        if not any(_same(one, other, apart) for other in kept):
            kept.append(one)
    _check(solution, kept[0], sections)
    return kept


def _local(values: Array, top: float) -> list[tuple[int, int]]:
    """Rows and columns of the highest stations nearby, the highest first."""
    high = high_nearby(values, top)
    places = np.argwhere(high)
    order = np.argsort(-values[high], kind="stable")
    return [(int(r), int(c)) for r, c in places[order][:_MOST]]


def _at(
    solution: Solution,
    sections: Sections,
    n: int,
    part: SegmentStations,
    ends: tuple[str, str],
    row: int,
    c: int,
) -> list[StressPeak]:
    """Peaks of the section around a station of a segment, between sections of these names, each
    narrowed along the member."""
    mesh, z = solution.mesh, part.table.z
    least = 1e-9 * mesh.member.length
    left = row == len(z) - 1 or z[row + 1] - z[row] < least
    element, s = mesh.locate(z[row : row + 1], "left" if left else "right")
    e = int(element[0])
    share = float(s[0] / mesh.length[e])
    actions = part.table.actions[row, c]
    first, last = ends
    spots = {name: _search(sections, name).peaks(actions, _MISES, 1, NEAR)
             for name in dict.fromkeys((first, last))}  # fmt: skip
    pairs: list[tuple[tuple[str, Spot], ...]] = [((first, spot),) for spot in spots[first]]
    if first != last:
        pairs = [((first, spots[first][0]), (last, spots[last][0]))]
    units = {name: _search(sections, name).units for name in spots}
    found = []
    for pair in pairs:
        size = partial(_values, c=c, segment=part.segment, spots=pair, units=units)
        found.append(StressPeak(narrowed(solution, size, e, share, c), n, pair))
    return found


def _values(
    table: Stations,
    c: int,
    segment: Segment,
    spots: Sequence[tuple[str, Spot]],
    units: Mapping[str, UnitStress],
) -> Array:
    """(m,) stress of a combination at spots of the section at stations of a segment."""
    each = [stress_at(units[name], spot, table.actions[:, c], _MISES) for name, spot in spots]
    if len(each) == 1:
        return np.asarray(each[0])
    share = np.clip((table.z - segment.start) / (segment.end - segment.start), 0.0, 1.0)
    return np.asarray((1 - share) * each[0] + share * each[1])


def _search(sections: Sections, name: str) -> Search:
    search = sections[name].search
    assert search is not None
    return search


def _same(one: StressPeak, other: StressPeak, apart: float) -> bool:
    near = abs(one.peak.z - other.peak.z) < apart
    spots = [s.at for _, s in one.spots] == [s.at for _, s in other.spots]
    return near and spots and one.peak.column == other.peak.column


def _check(solution: Solution, peak: StressPeak, sections: Sections) -> None:
    own = peak.peak
    table = solution.within(np.array([own.element]), np.array([own.share]))
    actions = table.actions[0, own.column]
    for name, spot in peak.spots:
        why = spot_refused(_search(sections, name), spot.at, actions, _MISES)
        if why:
            raise InputError(why)


def apart_by_order(solution: Solution, one: StressPeak, sections: Sections) -> float:
    """How far the sections' fields of one order less put the stress of a peak off, by its value."""
    own = one.peak
    table = solution.within(np.array([own.element]), np.array([own.share]))
    segment = solution.mesh.member.segments[one.segment]
    units = {name: _search(sections, name).units.lower_order for name, _ in one.spots}
    lower = _values(table, own.column, segment, one.spots, units)[0]
    return abs(float(lower) / own.value - 1)


def stress_rates(
    peaks: Sequence[StressPeak],
    solutions: Sequence[Solution],
    sections: Sections,
    moved: Sequence[Mapping[str, UnitStress]],
    step: float,
) -> Rates[PeakPlace]:
    """Their derivatives, from the member moved to first order and the unit stresses of sections
    that change, at every step."""
    each = []
    for one in peaks:
        own = one.peak
        values = []
        for solution, units in zip(solutions, moved, strict=True):
            table = solution.within(np.array([own.element]), np.array([own.share]))
            segment = solution.mesh.member.segments[one.segment]
            named = {name: units.get(name) or _search(sections, name).units
                     for name, _ in one.spots}  # fmt: skip
            values.append(_values(table, own.column, segment, one.spots, named)[0])
        each.append(PeakRate.of(own, [float(v) for v in values], step))
    return Rates(tuple(each))
