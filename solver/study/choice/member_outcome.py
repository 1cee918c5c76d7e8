"""What a member does with its sections: by the classical theory, quickly, and as a member's report
judges it, by deforming sections with the classical values beside.

The classical theory answers in hundredths of a second, deforming sections in some tenths: searches
look at the first and hold against the second what comes near to the limits.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from ....geometry.errors import InputError, SolveError
from ...member.beam.analysis import solve, with_critical_loads
from ...member.beam.mismatch import mismatch_of
from ...member.beam.stability import REFUSE_ABOVE, CriticalLoad
from ...member.model.load import Place
from ...member.review.deformed import Deformed
from ...member.review.judgement import (
    Judgement,
    LimitRow,
    classical_judgement,
    deforming_judgement,
)
from ...member.review.movement_limits import Utilisation
from .diaphragm_weight import diaphragm_mass

if TYPE_CHECKING:
    from ...member.beam.solution import Solution
    from ...member.beam.support_reaction import SupportReaction
    from ...member.file.request import MemberRequest

#: Stations at which the largest twist and movement are sought.
_SEARCH = 400
#: What the leading theory of an outcome is called.
DEFORMING, CLASSICAL = "deforming", "classical"


@dataclass(frozen=True, slots=True)
class MemberOutcome:
    """What a member does, by one theory.

    Attributes
    ----------
    section : str
    mass : float or None
        Of the whole member, along its axis; None where a density is missing.
    twist : float
        Largest, radians.
    movement : float
        Largest of the shear centre, across and up together.
    stress : float or None
        Largest von Mises stress; None where a section has no outline, it was not asked for, or it
        has not settled.
    bounded : bool
        False where surroundings of sharp corners were left out of the stress.
    rows : tuple of LimitRow
    reactions : tuple per combination of tuple of SupportReaction
    stability : Utilisation or None
        How near the member is to its critical load, as far as its order of analysis may be trusted;
        always classical. None where it was not asked for.
    theory : str
        `DEFORMING` or `CLASSICAL`: which one the numbers are of.
    alone : str
        Why the classical theory stands alone where the other was asked for.
    deflection : float or None
        Largest of the outermost corners, up or down: distortion shows there.
    change : float or None
        What the last functions and orders changed of twist, deflection or stress, relative.
    reason : str
        Why the theories part, see `parting`.
    classical : MemberOutcome or None
        The classical answer beside the deforming one; None where it has no meaning.
    """

    section: str
    mass: float | None
    twist: float
    movement: float
    stress: float | None
    bounded: bool
    rows: tuple[LimitRow, ...]
    reactions: tuple[tuple[SupportReaction, ...], ...] = ()
    stability: Utilisation | None = None
    theory: str = CLASSICAL
    alone: str = ""
    deflection: float | None = None
    change: float | None = None
    reason: str = ""
    classical: MemberOutcome | None = None

    @property
    def judged(self) -> bool:
        """Whether limits are judged as a member's report judges them."""
        return self.theory == DEFORMING or bool(self.alone)

    @property
    def checks(self) -> tuple[Utilisation, ...]:
        """Every limit of the member."""
        return tuple(row.row for row in self.rows)

    @property
    def everything(self) -> tuple[Utilisation, ...]:
        """Every limit, stability last where it was looked at."""
        return self.checks if self.stability is None else (*self.checks, self.stability)

    @property
    def critical_factor(self) -> float | None:
        """Least multiplier of the loads at which it buckles: of sections that deform where a limit
        asks for it (at most what was looked at), else classical."""
        least = [row.row.value for row in self.rows if row.kind == "critical"]
        return min(least) if least else self.classical_factor

    @property
    def classical_factor(self) -> float | None:
        """The same of sections that keep their shape."""
        used = None if self.stability is None else self.stability.value
        return None if used is None else 1 / used if used > 0 else math.inf

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


def loaded_at_once(request: MemberRequest) -> MemberOutcome:
    """Solve a member without stages and hold it against its limits, as a member's report does.

    Raises
    ------
    InputError, SolveError
        As the member's solution does; near a critical load with its factor.
    """
    plain = classical_answer(request, stressed=True)
    critical = with_critical_loads(plain.solution).critical
    found = judged_outcome(request, plain)
    return replace(found, stability=stability_of(critical, request))


@dataclass(frozen=True, slots=True, eq=False)
class ClassicalAnswer:
    """A member by the classical theory, without a look at critical loads."""

    solution: Solution
    judgement: Judgement
    outcome: MemberOutcome


def classical_answer(request: MemberRequest, *, stressed: bool) -> ClassicalAnswer:
    """Solve the member by the classical theory; without `stressed`, stress is left out.

    Raises
    ------
    InputError
        A member built in stages: it is no single solution.
    """
    refuse_stages(request)
    solution = solve(request.member, order=request.order)
    judgement = classical_judgement(request, solution, stressed=stressed)
    twist, movement = _largest(solution)
    stress, bounded = None, True
    if judgement.stress is not None:
        along = judgement.stress
        stress, bounded = max(along.peak.value, float(along.mises.max())), along.bounded
    found = MemberOutcome(
        ", ".join(request.sections),
        member_mass(request),
        twist,
        movement,
        stress,
        bounded,
        judgement.rows,
        tuple(tuple(rows) for rows in solution.reactions),
    )
    return ClassicalAnswer(solution, judgement, found)


def refuse_stages(request: MemberRequest) -> None:
    """See that the member is loaded at once."""
    if request.stages:
        raise InputError(
            "this member is built in stages, which soapfilm member follows; take the [[stage]] "
            "tables out to choose among sections"
        )


def judged_outcome(request: MemberRequest, plain: ClassicalAnswer) -> MemberOutcome:
    """The outcome by deforming sections, with the classical one beside it; the classical one with
    its reason where it stands alone.

    Raises
    ------
    InputError
        A limit that cannot be judged, sections that cannot be arranged.
    SolveError
        The classical theory would stand alone, and cannot tell either.
    """
    judgement = deforming_judgement(request, plain.solution, plain.judgement)
    mismatch = mismatch_of(request.member)
    if judgement.deformed is None:
        if mismatch is not None:
            raise SolveError(f"{mismatch.sentence()}; but: {judgement.alone}")
        return replace(plain.outcome, alone=judgement.alone)
    found = _deforming_outcome(plain.outcome, judgement.deformed, judgement.rows)
    beside = replace(plain.outcome, deflection=_classical_deflection(judgement.deformed))
    return replace(found, classical=None if mismatch is not None else beside)


def _deforming_outcome(
    plain: MemberOutcome, found: Deformed, rows: tuple[LimitRow, ...]
) -> MemberOutcome:
    solution = found.solution
    z = np.linspace(0.0, solution.member.length, _SEARCH)
    across, up = solution.movement(Place(), z)
    return replace(
        plain,
        twist=float(np.abs(solution.twist(z)).max()),
        movement=float(np.hypot(across, up).max()),
        deflection=max(row.deflection.deforming for row in found.rows),
        stress=float(found.stress.mises.max()) if found.settled else None,
        bounded=not found.stress.corners_left_out,
        rows=rows,
        reactions=found.reactions,
        theory=DEFORMING,
        change=_change(found),
        reason=found.parting.reason,
    )


def _change(found: Deformed) -> float | None:
    each = (found.change.twist, found.change.deflection, found.change.stress)
    return max((c for c in each if math.isfinite(c)), default=None)


def _classical_deflection(found: Deformed) -> float:
    return max(row.deflection.classical for row in found.rows)


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


def _largest(solution: Solution) -> tuple[float, float]:
    """Largest twist and movement of the shear centre."""
    table = solution.diagram(count=_SEARCH)
    return float(np.abs(table.phi).max()), float(np.hypot(table.u, table.v).max())


def member_mass(request: MemberRequest) -> float | None:
    """Mass along the axis, plates and bars of diaphragms with it; a taper counts the mean of its
    ends."""
    total = 0.0
    for segment in request.member.segments:
        ends = [segment.section, segment.section_end or segment.section]
        masses = [c.mass_per_length for c in ends if c.mass_per_length is not None]
        if len(masses) < 2:
            return None
        total += (segment.end - segment.start) * sum(masses) / 2
    for name, section in request.sections.items():
        if section.result is not None:
            total += diaphragm_mass(request.member, section.result.section, name)
    return total
