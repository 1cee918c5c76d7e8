"""One candidate tried in a member: its weight and size, its limits, and why it fails.

A trial goes only as far as it must: overall size first, then twist and movement from the section's
constants, then the stress, then stability. With `thorough` every limit is looked at, so that all
reasons are known.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Protocol

from ....geometry.conversion import in_unit
from ....geometry.errors import SoapfilmError
from ...accuracy import STUDY_ACCURACY
from ...member.beam.analysis import with_critical_loads
from ...member.model.solved_section import SolvedSection, solved_section
from ..file.member_base import MemberBase
from ..run.member_constants import section_constants
from .substitution import MemberOutcome, outcome_and_solution, with_section

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...member.beam.solution import Solution
    from ...member.file.request import MemberRequest
    from ..run.cache import RecordCache


class Candidate(Protocol):
    """Something that can be tried; it travels to workers."""

    @property
    def label(self) -> str:
        """What it is called."""

    def section(self) -> Section:
        """Its section."""


@dataclass(frozen=True, slots=True)
class Setting:
    """What all trials have in common.

    Attributes
    ----------
    member : MemberBase
    replaces : str
        Section of the member that candidates stand in for; empty: every one.
    depth, width : float or None
        Greatest overall size, in the member's unit.
    accuracy : float
    cached : bool
    """

    member: MemberBase
    replaces: str = ""
    depth: float | None = None
    width: float | None = None
    accuracy: float = STUDY_ACCURACY
    cached: bool = True


@dataclass(frozen=True, slots=True)
class Reason:
    """A limit that is not kept: in words, and how far it is used (infinite where no number is)."""

    words: str
    ratio: float


@dataclass(frozen=True, slots=True)
class Trial:
    """What became of a candidate.

    Attributes
    ----------
    label : str
    weight : float
        Mass per length; the area where a density is missing. In the member's units.
    depth, width : float
    used : float
        How far the most used limit is used, as far as limits were looked at; infinite where the
        member has no answer.
    reasons : tuple of Reason
        Empty for a candidate that keeps every limit.
    outcome : MemberOutcome or None
        None where size ruled it out, or the member has no answer.
    complete : bool
        Whether every limit was looked at.
    screened : bool
        Whether a lower bound of the twist ruled it out, without a solution.
    """

    label: str
    weight: float
    depth: float
    width: float
    used: float
    reasons: tuple[Reason, ...]
    outcome: MemberOutcome | None
    complete: bool
    screened: bool = False

    @property
    def passed(self) -> bool:
        """Whether it keeps every limit."""
        return self.complete and not self.reasons


@lru_cache(maxsize=4)
def request_of(member: MemberBase, accuracy: float) -> MemberRequest:
    """The member itself, once a process."""
    return member.request({}, accuracy)


def attempt(
    setting: Setting, candidate: Candidate, *, thorough: bool = False, stability: bool = True
) -> Trial:
    """Try a candidate; what goes wrong with it is its reason.

    Parameters
    ----------
    setting : Setting
    candidate : Candidate
    thorough : bool
        Look at every limit, even when one has failed.
    stability : bool
        Whether a candidate that keeps every limit is held against its critical loads too.

    Raises
    ------
    SoapfilmError
        If the member itself cannot be read.
    """
    request = request_of(setting.member, setting.accuracy)
    try:
        section = in_unit(candidate.section(), request.units.length)
    except SoapfilmError as error:
        return _failed(candidate.label, (0.0, 0.0, 0.0), str(error))
    x0, y0, x1, y1 = section.bounds()
    depth, width = y1 - y0, x1 - x0
    size = weight_of(section), depth, width
    too_large = _size_reasons(setting, depth, width, request.units.length)
    if too_large and not thorough:
        used = max(r.ratio for r in too_large)
        return Trial(candidate.label, *size, used, too_large, None, False)
    try:
        found, solution, complete = _answer(setting, request, section, candidate.label, thorough)
        reasons = too_large + limit_reasons(found)
        if complete and stability and not reasons:
            with_critical_loads(solution)
    except SoapfilmError as error:
        return _failed(candidate.label, size, str(error), too_large)
    used = max([found.ratio, *_size_ratios(setting, depth, width)])
    return Trial(candidate.label, *size, used, reasons, found, complete)


def weight_of(section: Section) -> float:
    """Mass per length; the area where a density is missing."""
    total = 0.0
    for region in section.regions:
        density = region.material.density
        if density is None:
            return sum(r.area() for r in section.regions)
        total += density * region.area()
    return total


def limit_reasons(found: MemberOutcome) -> tuple[Reason, ...]:
    """Every limit that is exceeded, the worst first."""
    failed = sorted((c for c in found.checks if not c.passed), key=lambda c: -c.ratio)
    return tuple(
        Reason(f"{c.limit}: {c.ratio:.3g} times it under {c.combination!r}", c.ratio)
        for c in failed
    )


def _answer(
    setting: Setting, request: MemberRequest, section: Section, label: str, thorough: bool
) -> tuple[MemberOutcome, Solution, bool]:
    """The member's answer, and whether every limit was looked at."""
    solved = None
    if not thorough:
        cache = _cache() if setting.cached else None
        constants, solved = section_constants(section, setting.accuracy, cache)
        bare = SolvedSection(label, replace(constants, name=label))
        changed = with_section(request, bare, setting.replaces)
        quick, solution = outcome_and_solution(changed, stressed=False)
        if not quick.passed:
            return quick, solution, False
    if solved is None:
        solved = solved_section(section, label, setting.accuracy)
    changed = with_section(request, solved.renamed(label), setting.replaces)
    whole, solution = outcome_and_solution(changed, stressed=True)
    return whole, solution, True


def _size_ratios(setting: Setting, depth: float, width: float) -> list[float]:
    pairs = ((depth, setting.depth), (width, setting.width))
    return [value / most for value, most in pairs if most is not None]


def _size_reasons(setting: Setting, depth: float, width: float, unit: str) -> tuple[Reason, ...]:
    found = []
    for word, value, most in (("depth", depth, setting.depth), ("width", width, setting.width)):
        # Rounding of a unit's conversion must not rule out a shape of exactly the size allowed.
        if most is not None and value > most * (1 + 1e-9):
            words = f"{word} {value:.4g} {unit} is above the {most:.4g} {unit} allowed"
            found.append(Reason(words, value / most))
    return tuple(found)


def _failed(
    label: str,
    size: tuple[float, float, float],
    why: str,
    before: tuple[Reason, ...] = (),
) -> Trial:
    reasons = (*before, Reason(why, float("inf")))
    return Trial(label, *size, float("inf"), reasons, None, True)


@lru_cache(maxsize=1)
def _cache() -> RecordCache:
    from ..run.cache import RecordCache, default_folder

    return RecordCache(default_folder())
