"""What deforming sections change: a member by both theories, side by side, and in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import ArrangementError, InputError, SolveError
from ..beam.solution import Solution
from ..beam.support_reaction import SupportReaction
from ..deforming.analysis import ORDERS, solve_deforming
from ..deforming.course import Course
from ..deforming.envelope import DeformingStress, stress_envelope
from ..deforming.gathering import course_of
from ..deforming.reactions import DiaphragmForce, diaphragm_forces, reactions
from ..deforming.solution import DeformingSolution
from ..model.solved_section import SolvedSection
from .corners import corners_of, deflections
from .greatest import greatest
from .parting import Parting, parting_of
from .stress import MemberStress
from .theories import BothTheories, both_theories

Array = NDArray[np.float64]

#: Stations at which motions of both theories are compared.
STATIONS = 121

#: Share of the slow modes that the answer is compared with, to tell what the next ones change.
FEWER = 0.6


@dataclass(frozen=True, slots=True, eq=False)
class Deformed:
    """A member's answers with deforming sections.

    Attributes
    ----------
    solution : DeformingSolution
    stress : DeformingStress
    rows : tuple of BothTheories
        One a combination.
    parting : Parting
        Where and why the theories part.
    distortion : float
        Largest root mean square in-plane motion of a section that is not rigid.
    distortion_at : float
    change : float
        What the last slow modes changed of twist, deflection and stress, the largest, relative.
    reactions : tuple per combination of tuple of SupportReaction
    diaphragms : tuple of DiaphragmForce
    """

    solution: DeformingSolution
    stress: DeformingStress
    rows: tuple[BothTheories, ...]
    parting: Parting
    distortion: float
    distortion_at: float
    change: float
    reactions: tuple[tuple[SupportReaction, ...], ...]
    diaphragms: tuple[DiaphragmForce, ...]


def deformed(
    classical: Solution, stress: MemberStress | None, sections: Mapping[str, SolvedSection]
) -> Deformed | str:
    """Solve with deforming sections beside the classical solution; why not, where it cannot be."""
    member = classical.mesh.member
    try:
        course = course_of(member, sections)
        solution = solve_deforming(member, course)
        envelope = stress_envelope(solution, sections)
        change = _change(solution, envelope, course, sections)
    except ArrangementError:
        raise
    except (InputError, SolveError) as error:
        return str(error)
    z = np.linspace(0.0, member.length, STATIONS)
    rows = both_theories(solution, envelope, classical, stress, z)
    amplitude = solution.distortion(z)
    row, _ = greatest(amplitude)
    worst, where = float(amplitude.max()), float(z[row])
    return Deformed(
        solution,
        envelope,
        rows,
        parting_of(solution, rows, worst, where),
        worst,
        where,
        change,
        tuple(reactions(solution, c) for c in range(len(solution.names))),
        diaphragm_forces(solution),
    )


def _change(
    solution: DeformingSolution,
    envelope: DeformingStress,
    course: Course,
    sections: Mapping[str, SolvedSection],
) -> float:
    """Relative change of the largest twist, deflection and stress by the last modes."""
    fewer = round(FEWER * course.modes)
    if fewer < 1:
        return float("nan")
    # What the modes change hardly hangs on the order: one is enough.
    other = solve_deforming(solution.member, course.first(fewer), orders=ORDERS[1:2])
    z = np.linspace(0.0, solution.member.length, 41)
    pairs = [
        (np.abs(solution.twist(z)).max(), np.abs(other.twist(z)).max()),
        (deflections(solution, z).max(), deflections(other, z).max()),
        (envelope.mises.max(), stress_envelope(other, sections).mises.max()),
    ]
    # A twist of rounding's size has no relative change.
    size = float(pairs[1][0]) / max(_reach(solution), 1e-300)
    pairs[0] = (max(pairs[0][0], size * 1e-3), max(pairs[0][1], size * 1e-3))
    return float(max(abs(a - b) / a if a > 0 else 0.0 for a, b in pairs))


def _reach(solution: DeformingSolution) -> float:
    (corners,) = corners_of(solution, np.zeros(1))
    return float(np.ptp(corners.points[0], axis=0).max())
