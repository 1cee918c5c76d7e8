"""The largest spacing of rigid diaphragms that keeps the stress of distortion under a limit,
solved.

At the section's outermost corners the stress along the member has a plane part, that of bending and
axial force, and a rest, that of distortion (and, small in cells, of torsional warping). The
greatest rest over the greatest plane part must stay below the limit. The limit of a tenth and the
customary spacings set beside the result are from memory.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..deforming.analysis import solve_deforming
from ..deforming.corners import corners_of
from ..deforming.course import Course
from ..deforming.gathering import course_of
from ..deforming.solution import DeformingSolution
from ..model.diaphragm import Diaphragm
from ..model.member import Member
from ..model.solved_section import SolvedSection

Array = NDArray[np.float64]

#: Share of the bending stress that distortion may add: the limit of American practice for box
#: girders (AASHTO LRFD, commentary to article 6.7.4.3), from memory.
LIMIT = 0.10

#: Metres of a foot.
_FOOT = 0.3048

#: Bays of a span tried at most.
MOST = 32

#: Slow modes of the section in the search: distortion is the slowest.
MODES = 4

#: Stations of each bay of the closest spacing at which stress is compared.
STATIONS = 6


@dataclass(frozen=True, slots=True)
class DiaphragmSpacing:
    """Result of the search.

    Attributes
    ----------
    spacing : float or None
        Largest spacing that meets the limit in every span; None where none does: then what is left
        is warping, which diaphragms do not hold.
    added : float
        Stress of distortion over that of bending then.
    without : float
        The same without diaphragms between the supports.
    limit : float
    """

    spacing: float | None
    added: float
    without: float
    limit: float


def largest_spacing(
    member: Member, sections: Mapping[str, SolvedSection], limit: float = LIMIT
) -> DiaphragmSpacing:
    """Search from few bays in the longest span to bays as long as the section is wide."""
    course = course_of(member, sections, MODES, answers=False)
    spans = member.spans or ((0.0, member.length),)
    longest = max(b - a for a, b in spans)
    closest = min(MOST, max(2, math.ceil(longest / _width(course))))
    z = np.linspace(0.0, member.length, STATIONS * closest + 1)

    def added(bays: int) -> float:
        return _rest(solve_deforming(spaced(member, longest / bays), course), z)

    without = added(1)
    if without <= limit:
        return DiaphragmSpacing(longest, without, without, limit)
    low, high, value = 1, closest, added(closest)
    if value > limit:
        return DiaphragmSpacing(None, value, without, limit)
    while high - low > 1:
        middle = (low + high) // 2
        share = added(middle)
        if share <= limit:
            high, value = middle, share
        else:
            low = middle
    return DiaphragmSpacing(longest / high, value, without, limit)


def spaced(member: Member, spacing: float) -> Member:
    """The member with rigid diaphragms between its supports, no farther apart than a spacing, and
    its own at the supports."""
    spans = member.spans or ((0.0, member.length),)
    ends = [z for span in spans for z in span]
    least = 1e-6 * member.length
    found = [d for d in member.diaphragms if any(abs(d.at - z) < least for z in ends)]
    for start, end in spans:
        bays = max(1, math.ceil((end - start) / spacing * (1 - 1e-9)))
        found += [
            Diaphragm(math.fmod(start + (end - start) * k / bays, member.length))
            for k in range(1, bays)
        ]
    return member.with_(diaphragms=tuple(found))


def customary_spacing(length: float) -> float:
    """Largest spacing in steel boxes by Japanese practice for a span in metres: 6 m up to 60 m,
    0.14 L - 2.4 m up to 160 m, 20 m beyond (Sakai and Nagai 1977, as quoted by Nakai and Yoo 1988;
    from memory)."""
    return min(max(6.0, 0.14 * length - 2.4), 20.0)


def customary_curved_spacing(length: float, radius: float) -> float | None:
    """The same in boxes curved in plan, by older American practice: L sqrt(R / (200 L - 7500)) in
    feet, 25 at most (Oleinik and Heins 1975, from memory); span and radius in metres. None for
    spans up to 37.5 ft, of which it says nothing."""
    feet = length / _FOOT
    under = 200 * feet - 7500
    if under <= 0:
        return None
    return float(min(feet * math.sqrt(radius / _FOOT / under), 25.0) * _FOOT)


def _width(course: Course) -> float:
    section = course.parts[0].straight
    used = np.unique(section.fields.mesh.triangles[section.elastic.solid])
    return float(np.ptp(section.fields.mesh.vertices[used], axis=0).max())


def _rest(solution: DeformingSolution, z: Array) -> float:
    """Greatest stress that is not plane over the greatest plane stress, at the corners."""
    rest = plane = 0.0
    for corners in corners_of(solution, z):
        own = z[corners.own]
        alike = solution.course.part(float(own[0])).tapered is None
        groups = (
            [(corners.points[0], own)] if alike else list(zip(corners.points, own, strict=True))
        )
        for points, stations in groups:
            stress = solution.stress(points, stations)[:, :, 2]
            base = np.column_stack([np.ones(len(points)), points])
            fitted = np.einsum("ij,mjc->mic", base @ np.linalg.pinv(base), stress)
            rest = max(rest, float(np.abs(stress - fitted).max()))
            plane = max(plane, float(np.abs(fitted).max()))
    return rest / plane if plane > 0 else 0.0
