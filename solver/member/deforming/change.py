"""How far a member's answers have settled: what the last functions and orders changed of them.

The same member is solved once more with less of everything: fewer slow modes, answers to loads and
holds without their shortest waves and to the curve without those of later modes, one order less of
the sections' shape functions, the first order along the member. What that changes is stated beside
the answers. It holds where it is no less than what they are off 3D elasticity.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..model.solved_section import SolvedSection
from .analysis import ORDERS, solve_deforming
from .corners import corners_of, deflections
from .course import MemberPart
from .envelope import DeformingStress, stress_envelope
from .exclusion import disturbed_stations, loaded_spots, near_spots
from .gathering import course_of
from .solution import DeformingSolution
from .surface import mises_squared, surface_of

Array = NDArray[np.float64]

#: Change of the largest stress above which it is no number to act on.
UNSETTLED = 0.1
#: Share of the slow modes that the lesser member keeps.
FEWER = 0.6
#: Stations along the member at which motions are compared.
STATIONS = 41
#: A twist below this part of what the deflection would be over the section is none.
_NO_TWIST = 1e-3
#: Distance from sharp corners, in thicknesses, at which stresses are compared.
_OFF_CORNERS = 2.0
#: Stations of a tapered part at which stresses are compared; each has a section of its own.
_TAPER_STATIONS = 9


@dataclass(frozen=True, slots=True)
class Change:
    """Relative changes, of the largest of all combinations.

    Attributes
    ----------
    twist, deflection, stress : float
        Of the largest values.
    displacement_anywhere : float
        Largest movement across or up of an outermost corner, at any station, that the change
        brings, and what one order more along the member does; as a share of the largest movement.
        Within a plate's thickness of a force at a point that grows without bound, as stress does,
        and is left out.
    stress_away : float
        Largest von Mises stress of the change, at stations half the section's size and more away
        from ends, supports, ends of loads, diaphragms and steps (or as far as there are any), and
        two walls' thicknesses off sharp corners; as a share of the largest stress. Beside those
        the stress itself is what few functions show last.
    """

    twist: float
    deflection: float
    stress: float
    displacement_anywhere: float
    stress_away: float

    @property
    def settled(self) -> bool:
        """Whether the largest stress is a number to act on."""
        return not self.stress > UNSETTLED

    @property
    def peak(self) -> float:
        """The largest change of the largest values."""
        return max(self.twist, self.deflection, self.stress)


def lesser_solution(
    solution: DeformingSolution, sections: Mapping[str, SolvedSection]
) -> DeformingSolution:
    """The same member with less of everything."""
    course = solution.course
    modes = max(1, round(FEWER * course.modes))
    order = course.parts[0].section.fields.order - 1
    lesser = course_of(solution.member, sections, modes, order=order, coarse=True)
    return solve_deforming(solution.member, lesser, orders=ORDERS[:1])


def change_of(
    solution: DeformingSolution,
    envelope: DeformingStress,
    sections: Mapping[str, SolvedSection],
) -> Change:
    """Solve the lesser member and compare.

    Parameters
    ----------
    solution : DeformingSolution
    envelope : DeformingStress
        Its largest stresses.
    sections : mapping
        Solved sections by the names their constants bear.
    """
    other = lesser_solution(solution, sections)
    z = np.linspace(0.0, solution.member.length, STATIONS)
    down = deflections(solution, z).max()
    twist = [float(np.abs(one.twist(z)).max()) for one in (solution, other)]
    # A twist of rounding's size has no relative change.
    least = _NO_TWIST * float(down) / max(_reach(solution), 1e-300)
    twist = [max(t, least) for t in twist]
    peak = float(envelope.mises.max())
    return Change(
        _relative(*twist),
        _relative(float(down), float(deflections(other, z).max())),
        _relative(peak, float(stress_envelope(other, sections).mises.max())),
        _displacement(solution, other, z, envelope.zone) + solution.order_change,
        _stress(solution, other, envelope, sections) / peak if peak > 0 else 0.0,
    )


def _relative(now: float, before: float) -> float:
    return abs(now - before) / now if now > 0 else 0.0


def _reach(solution: DeformingSolution) -> float:
    (corners,) = corners_of(solution, np.zeros(1))
    return float(np.ptp(corners.points[0], axis=0).max())


def _displacement(
    solution: DeformingSolution, other: DeformingSolution, z: Array, zone: float
) -> float:
    largest = worst = 0.0
    # Forces at points, or over less than the zone.
    spots = [spot for spot in loaded_spots(solution) if spot[1] - spot[0] <= 2 * zone]
    for own, less in zip(corners_of(solution, z), corners_of(other, z), strict=True):
        now, before = (
            np.einsum("kdn,mnc->mkdc", corners.rows[:, :2], one.functions(z[own.own])[1])
            for corners, one in ((own, solution), (less, other))
        )
        largest = max(largest, float(np.abs(now).max()))
        off = np.abs(now - before)
        for k, station in enumerate(z[own.own]):
            for close, _ in near_spots(own.points[k], np.array([station]), spots, zone):
                off[k, close] = 0.0
        worst = max(worst, float(off.max()))
    return worst / largest if largest > 0 else 0.0


def _stress(
    solution: DeformingSolution,
    other: DeformingSolution,
    envelope: DeformingStress,
    sections: Mapping[str, SolvedSection],
) -> float:
    """Largest von Mises stress of the difference, at the border of the material."""
    worst, zone = 0.0, envelope.zone
    spots = loaded_spots(solution)
    nodes = solution.field.nodes
    z = (nodes[:-1, None] + np.diff(nodes)[:, None] * (0.25, 0.75)).ravel()
    away = stations_away(solution, envelope, z)
    if not len(away):  # the farthest between two that disturb fell between those looked at
        away = z[[_apart(z, _disturbed(solution, envelope)).argmax()]]
    for k in solution.course.grouped(range(len(solution.course.parts))):
        part, less = solution.course.parts[k], other.course.parts[k]
        for z in _shared(part, away):
            first = float(z[0])
            mine, theirs = (
                surface_of(p, first, s, sections) for p, s in ((part, solution), (less, other))
            )
            now, before = (
                surface.stress(np.concatenate(s.functions(z)[1:], axis=1).transpose(1, 0, 2))
                for surface, s in ((mine, solution), (theirs, other))
            )
            size = mises_squared(now - before)
            for close, within in near_spots(mine.points, z, spots, zone):
                size[np.ix_(close, within)] = 0.0
            apart = np.hypot(*(mine.points[:, None] - mine.corners).transpose(2, 0, 1))
            size[apart.min(axis=1, initial=np.inf) < _OFF_CORNERS * zone] = 0.0
            worst = max(worst, float(size.max(initial=0.0)))
    return float(np.sqrt(worst))


def stations_away(solution: DeformingSolution, envelope: DeformingStress, z: Array) -> Array:
    """Those of stations z (m,) that lie half the section's size from all that disturbs, or as far
    as any station can."""
    at = _disturbed(solution, envelope)
    least = min(_reach(solution) / 2, 0.49 * float(np.diff(at).max()))
    return np.asarray(z[_apart(z, at) >= least])


def _apart(z: Array, at: Array) -> Array:
    """Distance of stations z (m,) from the nearest of others."""
    return np.asarray(np.abs(z[:, None] - at).min(axis=1))


def _disturbed(solution: DeformingSolution, envelope: DeformingStress) -> Array:
    """Ends, supports, ends of loads, diaphragms and steps, in order."""
    spots = loaded_spots(solution)
    return np.unique(
        [
            0.0,
            solution.member.length,
            *disturbed_stations(solution, envelope.zone),
            *(end for spot in spots for end in spot[:2]),
        ]
    )


def _shared(part: MemberPart, away: Array) -> list[Array]:
    """Stations of a part, together where they share their section."""
    z = away[(away > part.start) & (away < part.end)]
    if not len(z):
        return []
    if part.tapered is None:
        return [z]
    some = np.unique(np.linspace(0, len(z) - 1, _TAPER_STATIONS).round().astype(int))
    return [z[[i]] for i in some]
