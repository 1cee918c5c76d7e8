"""A member with another section in it: its twist, movement, stress and limits."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from ....geometry.conversion import in_unit
from ....geometry.errors import InputError
from ...member.beam.analysis import solve, with_critical_loads
from ...member.beam.stability import REFUSE_ABOVE, CriticalLoad
from ...member.beam.stations import segment_stations
from ...member.model.member import Segment
from ...member.model.solved_section import SolvedSection, solved_section
from ...member.review.movement_limits import Utilisation, utilisation
from ...member.review.stress import member_stress
from ...member.review.stress_limit import StressLimit, stress_utilisation

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...member.beam.solution import Solution
    from ...member.file.request import MemberRequest

#: Stations at which the largest twist and movement are sought.
_SEARCH = 400


@dataclass(frozen=True, slots=True)
class MemberOutcome:
    """What a member does.

    Attributes
    ----------
    section : str
        Names of its sections.
    mass : float or None
        Of the whole member, along its axis; None where a density is missing.
    twist : float
        Largest, radians.
    movement : float
        Largest of the shear centre, across and up together.
    stress : float or None
        Largest von Mises stress; None where a section has no outline, or it was not asked for.
    bounded : bool
        False where surroundings of sharp corners were left out of the stress.
    checks : tuple of Utilisation
        Every limit of the member.
    stability : Utilisation or None
        How near the member is to its critical load, as far as its order of analysis may be trusted;
        None where it was not asked for.
    """

    section: str
    mass: float | None
    twist: float
    movement: float
    stress: float | None
    bounded: bool
    checks: tuple[Utilisation, ...]
    stability: Utilisation | None = None

    @property
    def everything(self) -> tuple[Utilisation, ...]:
        """Every limit, stability last where it was looked at."""
        return self.checks if self.stability is None else (*self.checks, self.stability)

    @property
    def critical_factor(self) -> float | None:
        """Multiplier of the loads at which the member buckles, the least of all combinations."""
        if self.stability is None:
            return None
        return 1 / self.stability.value if self.stability.value > 0 else math.inf

    @property
    def ratio(self) -> float:
        """How far the most used limit is used; 0 without limits."""
        return max((c.ratio for c in self.checks), default=0.0)

    @property
    def governing(self) -> Utilisation | None:
        """The most used limit."""
        return max(self.checks, key=lambda c: c.ratio, default=None)

    @property
    def passed(self) -> bool:
        """Whether every limit is kept."""
        return self.ratio <= 1


def solved_for(section: Section, request: MemberRequest, accuracy: float) -> SolvedSection:
    """A section brought to the member's unit and solved with all that a member needs of it."""
    return solved_section(in_unit(section, request.units.length), section.name, accuracy)


def with_section(
    request: MemberRequest, section: SolvedSection, replaces: str = ""
) -> MemberRequest:
    """The request with another section in place of one, or of all.

    Loads keep their places: those given from the shear centre move with it, those given as points
    stay where they are in the new section's axes.

    Parameters
    ----------
    request : MemberRequest
    section : SolvedSection
        In the member's units.
    replaces : str
        Name of the section it stands in for; empty: every one.

    Raises
    ------
    InputError
        If the member has no section of that name.
    """
    names = list(request.sections)
    if replaces and replaces not in names:
        raise InputError(
            f"the member has no section {replaces!r} to replace; it has {', '.join(names)}"
        )
    others = {n: s for n, s in request.sections.items() if replaces and n != replaces}
    # The new one may bear the name of one that stays.
    name = section.name if section.name not in others else f"{section.name} (new)"
    new = section.renamed(name)
    segments = tuple(_changed(s, new, others) for s in request.member.segments)
    return replace(
        request,
        member=request.member.with_(segments=segments),
        sections={**others, name: new},
    )


def outcome(request: MemberRequest, *, stressed: bool = True) -> MemberOutcome:
    """Solve the member and hold it against its limits.

    Parameters
    ----------
    request : MemberRequest
    stressed : bool
        False leaves the stress and its limits out: they cost most.

    Raises
    ------
    InputError, SolveError
        As the member's solution does; near a critical load with its factor.
    """
    found, solution = outcome_and_solution(request, stressed=stressed)
    return stable(found, solution, request)


def outcome_and_solution(
    request: MemberRequest, *, stressed: bool
) -> tuple[MemberOutcome, Solution]:
    """The same, with the solution, and without a look at critical loads."""
    solution = solve(request.member, order=request.order)
    twist, movement = _largest(solution)
    other = [limit for limit in request.limits if not isinstance(limit, StressLimit)]
    checks = list(utilisation(solution, other))
    stress, bounded = None, True
    if stressed:
        parts = segment_stations(solution, request.stations)
        along = member_stress(solution, parts, request.sections)
        limits = [limit for limit in request.limits if isinstance(limit, StressLimit)]
        checks += stress_utilisation(limits, along, parts, request.sections)
        if along is not None:
            stress, bounded = max(along.peak.value, float(along.mises.max())), along.bounded
    names = ", ".join(request.sections)
    found = MemberOutcome(names, _mass(request), twist, movement, stress, bounded, tuple(checks))
    return found, solution


def stable(found: MemberOutcome, solution: Solution, request: MemberRequest) -> MemberOutcome:
    """The outcome with its stability.

    Raises
    ------
    SolveError
        Too near a critical load, or above it.
    """
    critical = with_critical_loads(solution).critical
    return replace(found, stability=stability_of(critical, request))


def held_and_used(
    found: MemberOutcome, solution: Solution, request: MemberRequest
) -> dict[str, float]:
    """The use of each limit, and the largest and smallest upward reaction and the largest torque
    of each support over all combinations; both are numbered from 1.

    A limit that is judged in every span counts with the span that uses it most.
    """
    result: dict[str, float] = {}
    rest = list(found.checks)
    # Stress limits come last among the checks.
    ordered = sorted(request.limits, key=lambda limit: isinstance(limit, StressLimit))
    for limit in ordered:
        number = request.limits.index(limit) + 1
        spans = len(request.member.spans) or 1
        each = getattr(limit, "span_ratio", None) or getattr(limit, "masonry_unit", None)
        count = spans if each is not None else 1
        own, rest = rest[:count], rest[count:]
        if own:
            result[f"limit_{number}_used"] = max(check.ratio for check in own)
    for n, support in enumerate(request.member.supports):
        held = [r for of in solution.reactions for r in of if r.title == support.title]
        up = [r.force[1] for r in held]
        result[f"support_{n + 1}_up_most"] = max(up)
        result[f"support_{n + 1}_up_least"] = min(up)
        result[f"support_{n + 1}_torque"] = max((r.torque for r in held), key=abs)
    return result


def stability_of(critical: Sequence[CriticalLoad], request: MemberRequest) -> Utilisation | None:
    """The combination nearest to its critical load, as a limit like all others.

    First order is trusted up to a share of the critical load, second order up to that load itself
    (see `beam.stability`).
    """
    if not critical:
        return None
    first = request.order == "first"
    worst = max(critical, key=lambda load: load.share)
    return Utilisation(
        f"{100 * REFUSE_ABOVE:g} % of the critical load (first order)"
        if first
        else "critical load",
        worst.share,
        REFUSE_ABOVE if first else 1.0,
        0.0,
        worst.name,
        "see the documentation of critical loads",
        "set by this project",
    )


def record(found: MemberOutcome) -> dict[str, float | None]:
    """Plain numbers of an outcome: twist in degrees, and how far the limits are used."""
    return {
        "mass": found.mass,
        "twist_deg": math.degrees(found.twist),
        "displacement": found.movement,
        "stress": found.stress,
        "limit_used": found.ratio if found.checks else None,
        "critical_factor": found.critical_factor,
    }


def _changed(segment: Segment, new: SolvedSection, others: Mapping[str, SolvedSection]) -> Segment:
    start = segment.section if segment.section.name in others else new.constants
    end = segment.section_end
    if end is not None and end.name not in others:
        end = new.constants
    if end is start:
        end = None
    return Segment(segment.start, segment.end, start, end)


def _largest(solution: Solution) -> tuple[float, float]:
    """Largest twist and movement of the shear centre."""
    table = solution.diagram(count=_SEARCH)
    return float(np.abs(table.phi).max()), float(np.hypot(table.u, table.v).max())


def _mass(request: MemberRequest) -> float | None:
    """Mass along the axis; a taper counts the mean of its ends."""
    total = 0.0
    for segment in request.member.segments:
        ends = [segment.section, segment.section_end or segment.section]
        masses = [c.mass_per_length for c in ends if c.mass_per_length is not None]
        if len(masses) < 2:
            return None
        total += (segment.end - segment.start) * sum(masses) / 2
    return total
