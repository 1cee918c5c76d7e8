"""A member held against its limits: by the theory whose sections deform where it can be solved, by
the classical one where that stands alone, and why it does.

There is one way to judge: a member's report, sizing, comparisons and sweeps all come here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from ....geometry.errors import InputError
from ..beam.solution import Solution
from ..beam.stations import SegmentStations, segment_stations
from ..file.request import MemberRequest
from .critical_limit import critical_rows
from .deformed import Deformed, deformed
from .deforming_limits import movement_rows, stress_row
from .frequency_limit import frequency_rows
from .movement_limits import Limit, MovementLimit, Utilisation, utilisation
from .stability import MemberStability, stability
from .stress import MemberStress, Sections, member_stress
from .stress_limit import StressLimit, stress_utilisation


@dataclass(frozen=True, slots=True)
class LimitRow:
    """A limit held against the member.

    Attributes
    ----------
    kind : "twist", "displacement", "stress", "ratio", "frequency" or "critical"
    row : Utilisation
    number : int
        Of the limit, from 1, those on frequencies and on buckling last: one that is judged in
        every span has several rows.
    """

    kind: str
    row: Utilisation
    number: int


@dataclass(frozen=True, slots=True, eq=False)
class Judgement:
    """A member's stresses and limits.

    Attributes
    ----------
    parts : tuple of SegmentStations
        Of the classical solution.
    stress : MemberStress or None
        Classical; None where a section is known by its figures alone, or it was not asked for.
    rows : tuple of LimitRow
        Every limit in the order of the file, those on frequencies last.
    deformed : Deformed or None
        The answers with deforming sections, by which `rows` are judged; None where the classical
        theory stands alone.
    alone : str
        Why it does.
    stability : MemberStability, str or None
        With deforming sections, where a limit on the critical factor asked for it.
    """

    parts: tuple[SegmentStations, ...]
    stress: MemberStress | None
    rows: tuple[LimitRow, ...]
    deformed: Deformed | None
    alone: str
    stability: MemberStability | str | None = None


def judged(request: MemberRequest, solution: Solution) -> Judgement:
    """Hold a member against its limits, given its classical solution.

    Raises
    ------
    InputError
        A limit that cannot be judged, in words.
    """
    return deforming_judgement(request, solution, classical_judgement(request, solution))


def classical_judgement(
    request: MemberRequest, solution: Solution, *, stressed: bool = True
) -> Judgement:
    """The same by the classical theory alone, quickly; without `stressed` twist and movement
    alone are looked at."""
    if not stressed:
        limits = [limit for limit in request.limits if not isinstance(limit, StressLimit)]
        request = replace(request, limits=tuple(limits), frequencies=(), critical=())
    parts = segment_stations(solution, request.stations) if stressed else ()
    stress = member_stress(solution, parts, request.sections) if stressed else None
    rows = _held(request.limits, solution, stress, parts, request.sections, None)
    rows += _frequencies(request, keep_shape=True) + _critical(request, solution, None)
    return Judgement(tuple(parts), stress, rows, None, "it alone was asked for")


def deforming_judgement(
    request: MemberRequest, solution: Solution, classical: Judgement
) -> Judgement:
    """The judgement with deforming sections beside the classical one."""
    other, alone = _deformed(request, solution, classical.stress)
    frequencies = _frequencies(request)
    known = None
    if request.critical and other is not None:
        asked = max(limit.factor for limit in request.critical)
        known = stability(solution, other, request.sections, asked)
    frequencies += _critical(request, solution, known)
    if other is None:
        rows = tuple(row for row in classical.rows if row.number <= len(request.limits))
        return replace(classical, rows=rows + frequencies, alone=alone)
    rows = _held(
        request.limits, solution, classical.stress, classical.parts, request.sections, other
    )
    return replace(classical, rows=rows + frequencies, deformed=other, alone="", stability=known)


def _frequencies(request: MemberRequest, *, keep_shape: bool = False) -> tuple[LimitRow, ...]:
    before = len(request.limits)
    found = frequency_rows(request, keep_shape=keep_shape)
    return tuple(LimitRow("frequency", row, before + n) for n, row in enumerate(found, 1))


def _critical(
    request: MemberRequest, solution: Solution, known: MemberStability | str | None
) -> tuple[LimitRow, ...]:
    before = len(request.limits) + len(request.frequencies)
    found = critical_rows(request.critical, solution, known)
    return tuple(LimitRow("critical", row, before + n) for n, row in enumerate(found, 1))


def _deformed(
    request: MemberRequest, solution: Solution, stress: MemberStress | None
) -> tuple[Deformed | None, str]:
    """The answers with deforming sections, or why there are none."""
    if request.keep_shape:
        return None, "the file asks for sections that keep their shape"
    found = deformed(solution, stress, request.sections, request.imperfection)
    return (None, found) if isinstance(found, str) else (found, "")


def _held(
    limits: Sequence[Limit | StressLimit],
    solution: Solution,
    stress: MemberStress | None,
    parts: Sequence[SegmentStations],
    sections: Sections,
    other: Deformed | None,
) -> tuple[LimitRow, ...]:
    """Every limit in the order of the file."""
    rows: list[LimitRow] = []
    for number, limit in enumerate(limits, 1):
        try:
            if isinstance(limit, StressLimit):
                found = stress_utilisation([limit], stress, parts, sections)
                if other is not None:
                    found = (stress_row(other.stress, limit, sections),)
            else:
                found = utilisation(solution, [limit])
                if other is not None:
                    found = tuple(movement_rows(other.solution, limit))
        except InputError as error:
            raise InputError(f"limit {number}: {error}") from error
        rows += limit_rows(limit, number, found, sections)
    return tuple(rows)


def limit_rows(
    limit: Limit | StressLimit, number: int, found: Iterable[Utilisation], sections: Sections
) -> list[LimitRow]:
    """What a limit's utilisations are called, and its number in the file."""
    if isinstance(limit, StressLimit):
        strengths = {strength for s in sections.values() for strength in s.strengths}
        kind = "stress" if limit.allowed is not None or len(strengths) == 1 else "ratio"
    else:
        kind = "displacement" if isinstance(limit, MovementLimit) else "twist"
    return [LimitRow(kind, row, number) for row in found]
