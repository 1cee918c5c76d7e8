"""What a member answers to a section put into it, no farther than it must be asked: twist and
movement by the classical theory, then the stress, then stability, then deforming sections."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from ....geometry.errors import SolveError
from ...member.beam.analysis import critical_loads
from ...member.beam.mismatch import mismatched_steps
from ...member.model.solved_section import SolvedSection, solved_section
from ..run.member_constants import section_constants
from .member_outcome import (
    ClassicalAnswer,
    MemberOutcome,
    classical_answer,
    judged_outcome,
    stability_of,
)
from .substitution import with_section

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...member.file.request import MemberRequest
    from ..run.cache import RecordCache
    from .setting import Setting


def answer(
    request: MemberRequest, setting: Setting, section: Section, label: str, thorough: bool
) -> tuple[MemberOutcome, SolvedSection | None]:
    """The member's answer, and the section if every limit was looked at.

    Raises
    ------
    SoapfilmError
        No answer, in words.
    """
    solved = None
    if not thorough:
        cache = _cache() if setting.cached else None
        constants, solved = section_constants(section, setting.accuracy, cache)
        bare = SolvedSection(label, replace(constants, name=label))
        changed = with_section(request, bare, setting.replaces)
        quick = _classical(changed, stressed=False, stability=False)[0]
        if quick.ratio > max(setting.reach, 1.0) and not _untold(changed):
            return quick, None
    if solved is None:
        solved = solved_section(section, label, setting.accuracy)
    changed = with_section(request, solved.renamed(label), setting.replaces)
    found, plain = _classical(changed, stressed=True)
    if setting.reach == 0 or plain is None:
        return found, solved
    if (found.ratio <= setting.reach and (thorough or _stable(found))) or _untold(changed):
        judged = judged_outcome(changed, plain)
        beside = judged.classical and replace(judged.classical, stability=found.stability)
        found = replace(judged, stability=found.stability, classical=beside)
    return found, solved


def _untold(request: MemberRequest) -> bool:
    """Whether closed and open pieces meet: the classical theory cannot tell what they do."""
    return bool(mismatched_steps(request.member))


def _stable(found: MemberOutcome) -> bool:
    return found.stability is None or found.stability.passed


def _classical(
    request: MemberRequest, *, stressed: bool, stability: bool = True
) -> tuple[MemberOutcome, ClassicalAnswer | None]:
    """The member's classical answer with its stability, which is a limit like all others; None
    where it is no answer to go on with.

    Beyond its critical load a member has no second-order answer; its first-order one then says how
    far off it is, and by the critical load why it fails.
    """
    try:
        plain = classical_answer(request, stressed=stressed)
    except SolveError:
        if request.order == "first":
            raise
        critical = critical_loads(request.member)
        if all(load.factor > 1 for load in critical):
            raise
        first = classical_answer(replace(request, order="first"), stressed=stressed)
        return replace(first.outcome, stability=stability_of(critical, request)), None
    if not stability:
        return plain.outcome, plain
    critical = plain.solution.critical or critical_loads(request.member)
    return replace(plain.outcome, stability=stability_of(critical, request)), plain


@lru_cache(maxsize=1)
def _cache() -> RecordCache:
    from ..run.cache import RecordCache, default_folder

    return RecordCache(default_folder())
