"""The largest von Mises stress of a member, and how fast it changes: at its place along the member
and in the section, which move with the elements and the section's mesh."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ...section.derivative.stress_rate import spot_refused, stress_at
from ...section.stress.components import COMPONENTS
from ...section.stress.extremes import Search, Spot
from ...section.stress.unit_stress import UnitStress
from ..beam.solution import Solution, Stations
from ..beam.stations import SegmentStations
from ..model.member import Segment
from ..model.solved_section import SolvedSection
from .peak import NEAR, PeakPlace, PeakRate, Rates

if TYPE_CHECKING:
    from ..review.stress import MemberStress

Array = NDArray[np.float64]
Sections = Mapping[str, SolvedSection]

_MISES = COMPONENTS["von Mises"]
#: Places along the member that are looked at, rounds in which each is narrowed, and with so many
#: places.
_MOST, _ROUNDS, _PLACES = 6, 3, 41


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
            found += _at(solution, sections, n, part, row, c)
    if not found:
        return []
    found.sort(key=lambda one: -one.peak.value)
    kept: list[StressPeak] = []
    apart = solution.mesh.member.length / 400
    for one in found:
        if one.peak.value < found[0].peak.value * (1 - NEAR) or len(kept) == _MOST:
            break
        if not any(_same(one, other, apart) for other in kept):
            kept.append(one)
    _check(solution, kept[0], sections)
    return kept


def _local(values: Array, top: float) -> list[tuple[int, int]]:
    """Rows and columns of the highest stations nearby, the highest first."""
    before = np.vstack([np.full(values.shape[1], -np.inf), values[:-1]])
    after = np.vstack([values[1:], np.full(values.shape[1], -np.inf)])
    high = (values >= before) & (values >= after) & (values >= top * (1 - 2 * NEAR))
    places = np.argwhere(high & (values > 0))
    order = np.argsort(-values[high & (values > 0)], kind="stable")
    return [(int(r), int(c)) for r, c in places[order][:_MOST]]


def _at(
    solution: Solution, sections: Sections, n: int, part: SegmentStations, row: int, c: int
) -> list[StressPeak]:
    """Peaks of the section around a station of a segment, each narrowed along the member."""
    mesh, z = solution.mesh, part.table.z
    least = 1e-9 * mesh.member.length
    left = row == len(z) - 1 or z[row + 1] - z[row] < least
    element, s = mesh.locate(z[row : row + 1], "left" if left else "right")
    e = int(element[0])
    share = float(s[0] / mesh.length[e])
    actions = part.table.actions[row, c]
    first, last, at = _ends(part.segment, float(z[row]))
    spots = {name: _search(sections, name).peaks(actions, _MISES, 1, NEAR)
             for name in dict.fromkeys((first, last))}  # fmt: skip
    pairs: list[tuple[tuple[str, Spot], ...]] = [((first, spot),) for spot in spots[first]]
    if first != last:
        pairs = [((first, spots[first][0]), (last, spots[last][0]))]
    units = {name: _search(sections, name).units for name in spots}
    found = []
    reach = 2 * mesh.member.length / 400 / mesh.length[e]
    for pair in pairs:
        place, value, where = share, -np.inf, at
        for k in range(_ROUNDS):
            width = min(1.0, reach) * (2 / (_PLACES - 1)) ** k
            places = np.clip(place + width * np.linspace(-1, 1, _PLACES), 0.0, 1.0)
            table = solution.within(np.full(_PLACES, e), places)
            own = _values(table, c, part.segment, pair, units)
            best = int(np.argmax(own))
            place, value, where = float(places[best]), float(own[best]), float(table.z[best])
        found.append(StressPeak(PeakPlace(value, e, place, c, where), n, pair))
    return found


def _ends(segment: Segment, z: float) -> tuple[str, str, float]:
    """Names of the sections a station lies between, and its share of the way."""
    end = segment.section_end
    if end is None:
        return segment.section.name, segment.section.name, 0.0
    share = (z - segment.start) / (segment.end - segment.start)
    return segment.section.name, end.name, float(np.clip(share, 0.0, 1.0))


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
    share = np.array([_ends(segment, float(z))[2] for z in table.z])
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
        why = spot_refused(_search(sections, name), spot, actions, _MISES)
        if why:
            raise InputError(why)


def stress_rates(
    peaks: Sequence[StressPeak],
    solutions: Sequence[Solution],
    sections: Sections,
    moved: Sequence[Mapping[str, UnitStress]],
    step: float,
) -> Rates:
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
    return Rates.of(each)
