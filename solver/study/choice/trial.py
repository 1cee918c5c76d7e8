"""One candidate tried in a member: its weight and size, its limits, and why it fails.

A trial goes only as far as it must: overall size first, then twist and movement from the section's
constants, then the stress, then stability. With `thorough` every limit is looked at, so that all
reasons are known.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Protocol

from ....geometry.conversion import in_unit
from ....geometry.errors import SoapfilmError, SolveError
from ...accuracy import STUDY_ACCURACY
from ...member.beam.analysis import critical_loads
from ...member.model.solved_section import SolvedSection, solved_section
from ..file.member_base import MemberBase
from ..run.member_constants import section_constants
from .objective import LIGHTEST, Objective
from .substitution import MemberOutcome, outcome_and_solution, stability_of, with_section

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...member.file.request import MemberRequest
    from ...member.review.movement_limits import Utilisation
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
    objective : Objective
        What is made least or most.
    """

    member: MemberBase
    replaces: str = ""
    depth: float | None = None
    width: float | None = None
    accuracy: float = STUDY_ACCURACY
    cached: bool = True
    objective: Objective = LIGHTEST


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
    value : float
        What is sought, smaller is better: the weight, or what the objective says; infinite where it
        is not known.
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
    value: float = math.inf

    @property
    def passed(self) -> bool:
        """Whether it keeps every limit."""
        return self.complete and not self.reasons

    @property
    def checks(self) -> tuple[Utilisation, ...]:
        """Every limit of the member that was looked at, stability among them."""
        return () if self.outcome is None else self.outcome.everything


@lru_cache(maxsize=4)
def request_of(member: MemberBase, accuracy: float) -> MemberRequest:
    """The member itself, once a process."""
    return member.request({}, accuracy)


def attempt(setting: Setting, candidate: Candidate, *, thorough: bool = False) -> Trial:
    """Try a candidate; what goes wrong with it is its reason.

    Parameters
    ----------
    setting : Setting
    candidate : Candidate
    thorough : bool
        Look at every limit, even when one has failed.

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
    objective = setting.objective
    value = objective.of_section(section, size[0]) if objective.cheap else math.inf
    too_large = _size_reasons(setting, depth, width, request.units.length)
    if too_large and not thorough:
        used = max(r.ratio for r in too_large)
        return Trial(candidate.label, *size, used, too_large, None, False, value=value)
    try:
        found, solved = _answer(setting, request, section, candidate.label, thorough)
    except SoapfilmError as error:
        return _failed(candidate.label, size, str(error), too_large, value)
    if solved is not None and not objective.cheap:
        value = objective.of_outcome(found, solved)
    reasons = too_large + limit_reasons(found)
    ratios = [c.ratio for c in found.everything]
    used = max([*ratios, *_size_ratios(setting, depth, width)], default=0.0)
    return Trial(candidate.label, *size, used, reasons, found, solved is not None, value=value)


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
    failed = sorted((c for c in found.everything if not c.passed), key=lambda c: -c.ratio)
    return tuple(
        Reason(f"{c.limit}: {c.ratio:.3g} times it under {c.combination!r}", c.ratio)
        for c in failed
    )


def _answer(
    setting: Setting, request: MemberRequest, section: Section, label: str, thorough: bool
) -> tuple[MemberOutcome, SolvedSection | None]:
    """The member's answer, and the section if every limit was looked at."""
    solved = None
    if not thorough:
        cache = _cache() if setting.cached else None
        constants, solved = section_constants(section, setting.accuracy, cache)
        bare = SolvedSection(label, replace(constants, name=label))
        changed = with_section(request, bare, setting.replaces)
        quick = _judged(changed, stressed=False, stability=False)
        if limit_reasons(quick):
            return quick, None
    if solved is None:
        solved = solved_section(section, label, setting.accuracy)
    changed = with_section(request, solved.renamed(label), setting.replaces)
    return _judged(changed, stressed=True), solved


def _judged(request: MemberRequest, *, stressed: bool, stability: bool = True) -> MemberOutcome:
    """The member's answer with its stability, which is a limit like all others.

    Beyond its critical load a member has no second-order answer; its first-order one then says how
    far off it is, and by the critical load why it fails.
    """
    try:
        found, solution = outcome_and_solution(request, stressed=stressed)
    except SolveError:
        if request.order == "first":
            raise
        critical = critical_loads(request.member)
        if all(load.factor > 1 for load in critical):
            raise
        found, _ = outcome_and_solution(replace(request, order="first"), stressed=stressed)
        return replace(found, stability=stability_of(critical, request))
    if not stability:
        return found
    critical = solution.critical or critical_loads(request.member)
    return replace(found, stability=stability_of(critical, request))


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
    value: float = math.inf,
) -> Trial:
    reasons = (*before, Reason(why, math.inf))
    return Trial(label, *size, math.inf, reasons, None, True, value=value)


@lru_cache(maxsize=1)
def _cache() -> RecordCache:
    from ..run.cache import RecordCache, default_folder

    return RecordCache(default_folder())
