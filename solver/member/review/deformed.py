"""What deforming sections change: a member by both theories, side by side, and in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import ArrangementError, InputError, SolveError
from ..beam.solution import Solution
from ..beam.support_reaction import SupportReaction
from ..critical.imperfection import Imperfection
from ..critical.member_buckling import MemberBuckling
from ..critical.second_order import second_order
from ..deforming.analysis import solve_deforming
from ..deforming.change import Change, change_of, stations_away
from ..deforming.envelope import DeformingStress, stress_envelope
from ..deforming.gathering import course_of
from ..deforming.reactions import DiaphragmForce, diaphragm_forces, reactions
from ..deforming.solution import DeformingSolution
from ..model.solved_section import SolvedSection
from .greatest import greatest
from .parting import Parting, parting_of
from .stress import MemberStress
from .theories import BothTheories, both_theories

Array = NDArray[np.float64]

#: Stations at which motions of both theories are compared.
STATIONS = 121

#: Change by the last modes above which a stress is no number to act on.
UNSETTLED = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class FirstOrder:
    """What critical loads and second order rest on."""

    solution: DeformingSolution
    stress: DeformingStress


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
    change : Change
        What the last functions and orders changed of twist, deflection and stress, as stated.
    reactions : tuple per combination of tuple of SupportReaction
    diaphragms : tuple of DiaphragmForce
    first : FirstOrder
        That solution and stress; the same where second order was not asked for.
    buckling : MemberBuckling or None
        What second order rests on.
    imperfection : Imperfection or None
    unsettled_near : float or None
        What they changed of the largest stress near loads, supports and steps, where that is too
        much for a number to act on: `stress` then holds stations away from these alone.
    """

    solution: DeformingSolution
    stress: DeformingStress
    rows: tuple[BothTheories, ...]
    parting: Parting
    distortion: float
    distortion_at: float
    change: Change
    reactions: tuple[tuple[SupportReaction, ...], ...]
    diaphragms: tuple[DiaphragmForce, ...]
    first: FirstOrder
    buckling: MemberBuckling | None = None
    imperfection: Imperfection | None = None
    unsettled_near: float | None = None

    @property
    def settled(self) -> bool:
        """Whether the largest stress that is stated is a number to act on."""
        return not self.change.stress > UNSETTLED


def deformed(
    classical: Solution,
    stress: MemberStress | None,
    sections: Mapping[str, SolvedSection],
    imperfection: Imperfection | None = None,
) -> Deformed | str:
    """Solve with deforming sections beside the classical solution, in its order; why not, where it
    cannot be.

    Raises
    ------
    SolveError
        In second order, at or near a critical load that the classical theory does not know of.
    """
    member = classical.mesh.member
    try:
        course = course_of(member, sections)
        solution = solve_deforming(member, course)
        envelope = stress_envelope(solution, sections)
        change = change_of(solution, envelope, sections)
    except ArrangementError:
        raise
    except (InputError, SolveError) as error:
        return str(error)
    near = None
    if change.stress > UNSETTLED:
        near, whole = change.stress, float(envelope.mises.max())
        envelope = _away(solution, envelope)
        rest = float(envelope.mises.max())
        change = replace(change, stress=change.stress_away * whole / rest if rest > 0 else 0.0)
    first, buckling = FirstOrder(solution, envelope), None
    if classical.order == "second":
        solution, buckling = second_order(solution, sections, imperfection)
        envelope = stress_envelope(solution, sections)
        if near is not None:
            envelope = _away(solution, envelope)
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
        first,
        buckling,
        imperfection,
        near,
    )


def _away(solution: DeformingSolution, envelope: DeformingStress) -> DeformingStress:
    """Stations away from what disturbs the section; all where none are."""
    kept = np.isin(envelope.z, stations_away(solution, envelope, envelope.z))
    return envelope.at_stations(kept) if kept.any() else envelope
