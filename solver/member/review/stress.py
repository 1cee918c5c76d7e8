"""Stress along a member: the envelope of every segment, how far strengths are used, and the place
of the worst, searched again on the section's own fields.

In a tapered segment the section changes from station to station; there the actions are put on both
of its end sections, and the largest stress is interpolated between the two. Stress falls as a power
of a section's size, a convex curve that lies below the straight line: the error is on the safe
side, and falls with the square of the length between solved sections.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ...section.stress.components import COMPONENTS
from ...section.stress.extremes import Extreme
from ..beam.solution import Solution, Stations
from ..beam.stations import SegmentStations
from ..model.member import Member, Segment
from ..model.solved_section import SolvedSection
from .envelope import StressEnvelope, UnitStresses, stress_envelope
from .greatest import greatest
from .own_stress import own_stresses

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Peak:
    """The largest von Mises stress of a member, or of some of its combinations.

    Attributes
    ----------
    value : float
    station : float
    combination : str
    section : str
    at : (x, y)
        Point of the section.
    change : float
        How far the section's field had converged there, relative.
    bounded : bool
        False where surroundings of sharp corners were left out.
    """

    value: float
    station: float
    combination: str
    section: str
    at: tuple[float, float]
    change: float
    bounded: bool


@dataclass(frozen=True, slots=True, eq=False)
class MemberStress:
    """Stress envelope along a member; arrays are (m, c) over stations and combinations.

    Attributes
    ----------
    z : (m,)
    mises, shear, tension, compression : (m, c)
    utilisation : (m, c) or None
        Largest von Mises stress over strength; None when a material states no strength.
    points : (m, c, 2)
        Point of the section with the largest von Mises stress.
    between : (m,) tuple of (str, str, float)
        The sections a station lies between, and its share of the way; the same twice where the
        segment does not taper.
    names : tuple of str
    peak : Peak
    bounded : bool
        False where surroundings of sharp corners were left out.
    own : frozenset of int
        Combinations in which temperature or shrinkage leaves stress within sections.
    """

    z: Array
    mises: Array
    shear: Array
    tension: Array
    compression: Array
    utilisation: Array | None
    points: Array
    between: tuple[tuple[str, str, float], ...]
    names: tuple[str, ...]
    peak: Peak
    bounded: bool
    own: frozenset[int] = frozenset()

    def largest_mises(self, combination: int) -> float:
        """Largest von Mises stress of a combination; the peak was sought between the points too."""
        found = float(self.mises[:, combination].max())
        if self.names[combination] == self.peak.combination:
            return max(found, self.peak.value)
        return found


Sections = Mapping[str, SolvedSection]


def member_stress(
    solution: Solution, parts: Sequence[SegmentStations], sections: Sections
) -> MemberStress | None:
    """The envelope at the stations of every segment; None when a section has no outline.

    Parameters
    ----------
    solution : Solution
    parts : sequence of SegmentStations
        Stations of each segment (see `stations.segment_stations`).
    sections : mapping
        Solved sections by the names their constants bear.
    """
    if any(sections[name].search is None for part in parts for name in _names(part.segment)):
        return None
    member = solution.mesh.member
    found = [_segment_stress(part, sections, member) for part in parts]
    whole = _joined(found)
    return replace(whole, peak=peak_of(whole, parts, sections))


def largest_stress(
    sections: Sections, stations: Callable[[Solution], Sequence[SegmentStations]]
) -> Callable[[Solution], float]:
    """A function from a solution to its largest von Mises stress, for the table of remedies."""

    def of(solution: Solution) -> float:
        stress = member_stress(solution, stations(solution), sections)
        return float("nan") if stress is None else float(stress.mises.max())

    return of


def unit_stresses(
    section: SolvedSection, per_strength: bool = False, rows: Array | None = None
) -> UnitStresses:
    """A section's unit stresses at sampled points, or these over the strength at each point; `rows`
    (a, p) of normal stress follow those of the actions."""
    search = section.search
    assert search is not None
    points = search.stations.points
    sigma = search.arrays.sigma.reshape(8, -1)
    if rows is not None:
        sigma = np.concatenate([sigma, rows])
    tau = search.arrays.tau.reshape(8, -1, 2)
    if per_strength:
        strength = np.array(section.strengths, dtype=float)[search.units.field.mesh.region]
        over = 1 / np.repeat(strength, points.shape[1])
        sigma, tau = sigma * over, tau * over[:, None]
    return UnitStresses(points.reshape(-1, 2), sigma, tau, search.outside.ravel())


def _names(segment: Segment) -> tuple[str, ...]:
    end = segment.section_end
    return (segment.section.name,) if end is None else (segment.section.name, end.name)


def _segment_stress(part: SegmentStations, sections: Sections, member: Member) -> MemberStress:
    """Envelope of one segment, interpolated between its two end sections where it tapers."""
    names = _names(part.segment)
    each = [_prismatic(part.table, sections[name], member) for name in names]
    if len(each) == 1:
        return each[0]
    first, last = each
    start, end = part.segment.start, part.segment.end
    share = np.clip((part.table.z - start) / (end - start), 0.0, 1.0)
    s = share[:, None]

    def mixed(word: str) -> Array:
        return np.asarray((1 - s) * getattr(first, word) + s * getattr(last, word))

    used = None
    if first.utilisation is not None and last.utilisation is not None:
        used = mixed("utilisation")
    return MemberStress(
        first.z,
        mixed("mises"),
        mixed("shear"),
        mixed("tension"),
        mixed("compression"),
        used,
        np.where(s[..., None] < 0.5, first.points, last.points),
        tuple((names[0], names[1], float(at)) for at in share),
        first.names,
        _NO_PEAK,
        first.bounded and last.bounded,
        first.own | last.own,
    )


_NO_PEAK = Peak(0.0, 0.0, "", "", (0.0, 0.0), 0.0, True)


def _prismatic(table: Stations, section: SolvedSection, member: Member) -> MemberStress:
    rows, own = own_stresses(member, section, table.z)
    envelope: StressEnvelope = stress_envelope(table, unit_stresses(section, rows=rows), own)
    used = None
    if section.has_strength:
        strengths = set(section.strengths)
        if len(strengths) == 1:
            used = envelope.mises / float(strengths.pop() or 1.0)
        else:
            used = stress_envelope(table, unit_stresses(section, True, rows), own).mises
    search = section.search
    assert search is not None
    return MemberStress(
        table.z,
        envelope.mises,
        envelope.shear,
        envelope.tension,
        envelope.compression,
        used,
        envelope.points[envelope.point],
        ((section.name, section.name, 0.0),) * len(table.z),
        table.names,
        _NO_PEAK,
        not search.corners,
        frozenset() if own is None else frozenset(np.flatnonzero(own.any(axis=(0, 2))).tolist()),
    )


def _joined(found: Sequence[MemberStress]) -> MemberStress:
    used = [part.utilisation for part in found if part.utilisation is not None]

    def all_of(word: str) -> Array:
        return np.concatenate([getattr(part, word) for part in found])

    return MemberStress(
        all_of("z"),
        all_of("mises"),
        all_of("shear"),
        all_of("tension"),
        all_of("compression"),
        np.concatenate(used) if len(used) == len(found) else None,
        all_of("points"),
        tuple(ends for part in found for ends in part.between),
        found[0].names,
        _NO_PEAK,
        all(part.bounded for part in found),
        frozenset().union(*(part.own for part in found)),
    )


def peak_of(
    stress: MemberStress,
    parts: Sequence[SegmentStations],
    sections: Sections,
    combinations: Sequence[str] = (),
) -> Peak:
    """Where the von Mises stress is largest under the combinations named (all without names).

    The worst station of the envelope is searched again between the sampled points.
    """
    columns = [stress.names.index(n) for n in combinations] or list(range(len(stress.names)))
    values = stress.mises[:, columns]
    row, k = greatest(values)
    column = columns[k]
    actions = np.concatenate([part.table.actions for part in parts])[row, column]
    first, last, share = stress.between[row]
    nearer = last if share >= 0.5 else first
    place, combination = float(stress.z[row]), stress.names[column]
    if not values[row, k] > 0:
        x, y = (float(c) for c in stress.points[row, column])
        return Peak(0.0, place, combination, nearer, (x, y), 0.0, stress.bounded)
    found = {name: _extreme(sections[name], actions) for name in dict.fromkeys((first, last))}
    value = (1 - share) * found[first].value + share * found[last].value
    if column in stress.own:
        # What strains leave within the section is known at the sampled points alone.
        x, y = (float(c) for c in stress.points[row, column])
        value = float(values[row, k])
        found[nearer] = replace(found[nearer], at=(x, y))
    return Peak(
        value,
        place,
        combination,
        nearer,
        found[nearer].at,
        max(e.change for e in found.values()),
        all(e.bounded for e in found.values()),
    )


def _extreme(section: SolvedSection, actions: Array) -> Extreme:
    assert section.search is not None
    return section.search.extreme(actions, COMPONENTS["von Mises"], 1)
