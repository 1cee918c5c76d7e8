"""Stress along a member: the envelope of every stretch, how far strengths are used, and the place
of the worst, searched again on the section's own fields.

In a tapered stretch the section changes from station to station; there the actions are put on both
of its end sections, and the larger stress counts, which is on the safe side.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ..section.components import COMPONENTS
from .envelope import StressEnvelope, UnitStresses, stress_envelope
from .model import Stretch
from .solution import Solution, Stations
from .solved_section import SolvedSection
from .stations import StretchStations

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
    sections : (m,) tuple of str
    names : tuple of str
    peak : Peak
    bounded : bool
        False where surroundings of sharp corners were left out.
    """

    z: Array
    mises: Array
    shear: Array
    tension: Array
    compression: Array
    utilisation: Array | None
    points: Array
    sections: tuple[str, ...]
    names: tuple[str, ...]
    peak: Peak
    bounded: bool


Sections = Mapping[str, SolvedSection]


def member_stress(
    solution: Solution, parts: Sequence[StretchStations], sections: Sections
) -> MemberStress | None:
    """The envelope at the stations of every stretch; None when a section has no outline.

    Parameters
    ----------
    solution : Solution
    parts : sequence of StretchStations
        Stations of each stretch (see `stations.stretch_stations`).
    sections : mapping
        Solved sections by the names their constants bear.
    """
    if any(sections[name].search is None for part in parts for name in _names(part.stretch)):
        return None
    found = [_stretch(part, sections) for part in parts]
    whole = _joined(found, [part.table for part in parts])
    return replace(whole, peak=peak_of(whole, parts, sections))


def largest_stress(
    sections: Sections, stations: Callable[[Solution], Sequence[StretchStations]]
) -> Callable[[Solution], float]:
    """A function from a solution to its largest von Mises stress, for the table of cures."""

    def of(solution: Solution) -> float:
        stress = member_stress(solution, stations(solution), sections)
        return float("nan") if stress is None else float(stress.mises.max())

    return of


def unit_stresses(section: SolvedSection, per_strength: bool = False) -> UnitStresses:
    """A section's unit stresses at sampled points, or these over the strength at each point."""
    search = section.search
    assert search is not None
    points = search.stations.points
    sigma = search.arrays.sigma.reshape(8, -1)
    tau = search.arrays.tau.reshape(8, -1, 2)
    if per_strength:
        strength = np.array(section.strengths, dtype=float)[search.units.field.mesh.region]
        over = 1 / np.repeat(strength, points.shape[1])
        sigma, tau = sigma * over, tau * over[:, None]
    return UnitStresses(points.reshape(-1, 2), sigma, tau, search.outside.ravel())


def _names(stretch: Stretch) -> tuple[str, ...]:
    end = stretch.section_end
    return (stretch.section.name,) if end is None else (stretch.section.name, end.name)


def _stretch(part: StretchStations, sections: Sections) -> MemberStress:
    """Envelope of one stretch, the larger of its two end sections where it tapers."""
    names = _names(part.stretch)
    each = [_prismatic(part.table, sections[name]) for name in names]
    if len(each) == 1:
        return each[0]
    first, last = each
    from_last = last.mises > first.mises
    pick = np.where(from_last[..., None], last.points, first.points)
    used = None
    if first.utilisation is not None and last.utilisation is not None:
        used = np.maximum(first.utilisation, last.utilisation)
    return MemberStress(
        first.z,
        np.maximum(first.mises, last.mises),
        np.maximum(first.shear, last.shear),
        np.maximum(first.tension, last.tension),
        np.minimum(first.compression, last.compression),
        used,
        pick,
        tuple(names[int(row.any())] for row in from_last),
        first.names,
        first.peak,
        first.bounded and last.bounded,
    )


_NO_PEAK = Peak(0.0, 0.0, "", "", (0.0, 0.0), 0.0, True)


def _prismatic(table: Stations, section: SolvedSection) -> MemberStress:
    envelope: StressEnvelope = stress_envelope(table, unit_stresses(section))
    used = None
    if section.has_strength:
        strengths = set(section.strengths)
        if len(strengths) == 1:
            used = envelope.mises / float(strengths.pop() or 1.0)
        else:
            used = stress_envelope(table, unit_stresses(section, per_strength=True)).mises
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
        (section.name,) * len(table.z),
        table.names,
        _NO_PEAK,
        not search.corners,
    )


def _joined(found: Sequence[MemberStress], tables: Sequence[Stations]) -> MemberStress:
    used = [part.utilisation for part in found]
    return MemberStress(
        np.concatenate([part.z for part in found]),
        *(
            np.concatenate([getattr(part, word) for part in found])
            for word in ("mises", "shear", "tension", "compression")
        ),
        None if any(u is None for u in used) else np.concatenate(used),  # type: ignore[arg-type]
        np.concatenate([part.points for part in found]),
        tuple(name for part in found for name in part.sections),
        found[0].names,
        _NO_PEAK,
        all(part.bounded for part in found),
    )


def peak_of(
    stress: MemberStress,
    parts: Sequence[StretchStations],
    sections: Sections,
    combinations: Sequence[str] = (),
) -> Peak:
    """Where the von Mises stress is largest under the combinations named (all without names).

    The worst station of the envelope is searched again between the sampled points.
    """
    columns = [stress.names.index(n) for n in combinations] or list(range(len(stress.names)))
    values = stress.mises[:, columns]
    row, k = np.unravel_index(int(values.argmax()), values.shape)
    column = columns[int(k)]
    actions = np.concatenate([part.table.actions for part in parts])[row, column]
    name = stress.sections[int(row)]
    search = sections[name].search
    assert search is not None
    place, name_of = float(stress.z[row]), stress.names[column]
    if not values[row, k] > 0:
        x, y = (float(c) for c in stress.points[row, column])
        return Peak(0.0, place, name_of, name, (x, y), 0.0, stress.bounded)
    extreme = search.extreme(actions, COMPONENTS["mises"], 1)
    return Peak(extreme.value, place, name_of, name, extreme.at, extreme.change, extreme.bounded)
