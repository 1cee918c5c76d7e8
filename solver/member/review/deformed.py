"""What deforming sections change: a member by both theories, side by side, and in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import ArrangementError, InputError, SolveError
from ..beam.solution import Solution
from ..beam.support_reaction import SupportReaction
from ..critical.imperfection import Imperfection
from ..critical.member_buckling import MemberBuckling
from ..critical.second_order import second_order
from ..deforming.analysis import ORDERS, solve_deforming
from ..deforming.change import Change, change_of, stations_away
from ..deforming.envelope import DeformingStress, stress_envelope
from ..deforming.gathering import course_of
from ..deforming.node_places import looked_at
from ..deforming.reactions import DiaphragmForce, diaphragm_forces, reactions
from ..deforming.solution import DeformingSolution
from ..model.member import Member
from ..model.solved_section import SolvedSection
from .greatest import greatest
from .parting import Parting, parting_of
from .stress import MemberStress
from .theories import BothTheories, both_theories

Array = NDArray[np.float64]

#: Stations at which motions of both theories are compared.
STATIONS = 121


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
        return self.change.settled


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
        first, change, near = first_order(member, sections)
    except ArrangementError:
        raise
    except (InputError, SolveError) as error:
        return str(error)
    assert change is not None
    solution, envelope, buckling = first.solution, first.stress, None
    if classical.order == "second":
        solution, buckling = second_order(solution, sections, imperfection)
        envelope = stress_envelope(solution, sections)
        if near is not None:
            envelope = _away(solution, envelope)
    z = looked_at(member, STATIONS)
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


def first_order(
    member: Member,
    sections: Mapping[str, SolvedSection],
    *,
    away: bool = False,
    change: bool = True,
    orders: Sequence[int] = ORDERS,
) -> tuple[FirstOrder, Change | None, float | None]:
    """Solve a member with deforming sections, first order.

    Parameters
    ----------
    away : bool
        Whether the stress of stations away from what disturbs the section is asked for alone.
    change : bool
        Whether to find what the last functions and orders changed (the member is solved again).
    orders : sequence of int
        Along the member, see `solve_deforming`.

    Returns
    -------
    FirstOrder
    Change or None
    float or None
        What they changed of the largest stress, where that is too much for a number to act on; the
        stress is then that of stations away from what disturbs the section.
    """
    solution = solve_deforming(member, course_of(member, sections), orders=orders)
    envelope = stress_envelope(solution, sections)
    found = change_of(solution, envelope, sections) if change else None
    near = None
    if away or (found is not None and not found.settled):
        whole = float(envelope.mises.max())
        envelope = _away(solution, envelope)
        rest = float(envelope.mises.max())
        if found is not None:
            near = found.stress
            found = replace(found, stress=found.stress_away * whole / rest if rest > 0 else 0.0)
    return FirstOrder(solution, envelope), found, near


def _away(solution: DeformingSolution, envelope: DeformingStress) -> DeformingStress:
    """Stations away from what disturbs the section; all where none are."""
    kept = np.isin(envelope.z, stations_away(solution, envelope, envelope.z))
    return envelope.at_stations(kept) if kept.any() else envelope
