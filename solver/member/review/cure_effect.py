"""What each remedy does: the member solved again with it, by the theory that leads."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from ....geometry.errors import InputError, SolveError
from ..beam.analysis import solve
from ..beam.solution import Solution
from ..beam.stations import segment_stations
from ..deforming.analysis import ORDERS
from ..deforming.corners import deflections
from ..deforming.node_places import looked_at
from ..file.request import MemberRequest
from ..model.member import Member
from ..model.solved_section import SolvedSection, solved_section
from .alternative import closed_by_plates, tube_of_equal_weight
from .deformed import STATIONS, Deformed, FirstOrder, first_order
from .diagnosis import largest_twist
from .remedy import Cure, standard_cures
from .secondary import SecondaryState, secondary_states
from .stress import largest_stress
from .theories import least_twist

#: Stations at which the stress of a remedy is sought where sections keep their shape.
_STATIONS = 100


@dataclass(frozen=True, slots=True)
class CureEffect:
    """A remedy, solved again.

    `twist` in radians and `stress` (None where none was asked for, or it does not settle) are the
    largest over the member and its combinations; the ratios are to the member as it stands.
    `failure` says why a remedy could not be solved. `secondary` are the states of secondary beams.
    """

    title: str
    twist: float | None
    twist_ratio: float | None
    stress: float | None
    stress_ratio: float | None
    failure: str = ""
    secondary: tuple[SecondaryState, ...] = ()


@dataclass(frozen=True, slots=True)
class Measured:
    """Largest twist and stress of a member, and the states of its secondary beams."""

    twist: float
    stress: float | None
    secondary: tuple[SecondaryState, ...] = ()


Measure = Callable[[Member], Measured]


def by_classical(stress: Callable[[Solution], float] | None = None) -> Measure:
    """Members whose sections keep their shape; `stress` gives the largest of a solution, and must
    know the section of each."""

    def measured(member: Member) -> Measured:
        found = solve(member)
        level = stress(found) if stress else None
        return Measured(largest_twist(found), level, secondary_states(found))

    return measured


def by_deforming(existing: Member, now: Deformed, sections: Mapping[str, SolvedSection]) -> Measure:
    """Members whose sections deform, first order; `now` answers for the existing one."""
    known = {s.section.name for s in existing.segments}
    away = now.unsettled_near is not None

    def measured(member: Member) -> Measured:
        if member is existing:
            return _measured(now.first, now.settled)
        # Where the sections are the same ones, their stress settles as the existing member's does,
        # and at the same order along the member.
        new = {s.section.name for s in member.segments} != known
        orders = ORDERS if new else (now.first.solution.field.order,)
        found, change, _ = first_order(member, sections, away=away, change=new, orders=orders)
        return _measured(found, now.settled if change is None else change.settled)

    return measured


def _measured(solved: FirstOrder, settled: bool) -> Measured:
    solution = solved.solution
    z = looked_at(solution.member, STATIONS)
    twist = float(np.abs(solution.twist(z)).max())
    return Measured(
        twist if twist >= least_twist(solution, deflections(solution, z)) else 0.0,
        float(solved.stress.mises.max()) if settled else None,
        secondary_states(solution),
    )


def cure_effects(
    member: Member, cures: Iterable[Cure], measure: Measure | None = None
) -> tuple[CureEffect, ...]:
    """Twist and stress of the member as it exists (first row) and with each remedy, as `measure`
    finds them (by default twist alone, by the classical theory)."""
    measure = measure or by_classical()
    now = measure(member)
    first = CureEffect("existing", now.twist, 1.0, now.stress, None if now.stress is None else 1.0)
    rows = [replace(first, secondary=now.secondary)]
    for cure in cures:
        if cure.member is None:
            rows.append(CureEffect(cure.title, None, None, None, None, cure.failure))
            continue
        try:
            found = measure(cure.member)
        except (InputError, SolveError) as reason:
            rows.append(CureEffect(cure.title, None, None, None, None, str(reason)))
            continue
        rows.append(
            CureEffect(
                cure.title,
                found.twist,
                found.twist / now.twist if now.twist > 0 else None,
                found.stress,
                found.stress / now.stress if found.stress is not None and now.stress else None,
                secondary=found.secondary,
            )
        )
    return tuple(rows)


def cured(request: MemberRequest, stressed: bool, other: Deformed | None) -> tuple[CureEffect, ...]:
    """Standard remedies, with the file's other sections and those made from an open section, by
    sections that deform where these lead."""
    member = request.member
    tried = {**request.sections, **_made(request)}
    others = {name: s.constants for name, s in tried.items() if name not in request.sections}
    cures = standard_cures(member, secondary=request.secondary, sections=others)
    if other is not None:
        return cure_effects(member, cures, by_deforming(member, other, tried))
    stress = None
    if stressed and all(s.search is not None for s in tried.values()):
        stress = largest_stress(tried, lambda s: segment_stations(s, _STATIONS))
    return cure_effects(member, cures, by_classical(stress))


def _made(request: MemberRequest) -> dict[str, SolvedSection]:
    """Alternatives of the file, and those made from the member's only section if it is open."""
    found = dict(request.alternatives)
    if len(request.sections) != 1:
        return found
    (section,) = request.sections.values()
    if section.result is None:
        return found
    for make in (closed_by_plates, tube_of_equal_weight):
        other = make(section.result)
        if other is not None:
            try:
                found[other.name] = solved_section(other, other.name, accuracy=1e-4)
            except SolveError:
                continue  # an alternative nobody asked for need not exist
    return found
