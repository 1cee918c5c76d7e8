"""What a member answers to a section put into it, no farther than it must be asked: twist and
movement by the classical theory, then the stress, then stability, then deforming sections."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from ....geometry.errors import SolveError
from ...member.beam.analysis import critical_loads
from ...member.beam.mismatch import mismatched_steps
from ...member.influence.worst_place import standing_request
from ...member.model.solved_section import SolvedSection, Solving, solved_section
from ..run.member_constants import section_constants
from .member_outcome import (
    ClassicalAnswer,
    MemberOutcome,
    classical_answer,
    judged_outcome,
    stability_of,
)
from .setting import request_of
from .substitution import with_section

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...member.file.request import MemberRequest
    from ..file.member_base import MemberBase
    from ..run.cache import RecordCache
    from .setting import Setting


def answer(
    request: MemberRequest,
    setting: Setting,
    section: Section,
    label: str,
    thorough: bool,
    solving: Solving = solved_section,
) -> tuple[MemberOutcome, SolvedSection | None]:
    """The member's answer, and the section if every limit was looked at; `solving` says how it is
    solved then.

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
        quick = _classical(_standing(changed, setting), stressed=False, stability=False)[0]
        if quick.ratio > max(setting.reach, 1.0) and not _untold(changed):
            return quick, None
    if solved is None:
        solved = solving(section, label, setting.accuracy)
    changed = with_section(request, solved.renamed(label), setting.replaces)
    deforming, travels = changed, changed.travels
    if travels:
        changed = _standing(changed, setting) if setting.coarse else _worst(changed)
    found, plain = _classical(changed, stressed=True)
    if setting.reach == 0 or plain is None:
        return found, solved
    if (found.ratio <= setting.reach and (thorough or _stable(found))) or _untold(changed):
        if travels and not deforming.keep_shape:
            # Deforming sections have worst places of their own.
            changed = standing_request(deforming)
            plain = classical_answer(changed, stressed=True)
        judged = judged_outcome(changed, plain)
        beside = judged.classical and replace(judged.classical, stability=found.stability)
        found = replace(judged, stability=found.stability, classical=beside)
    return found, solved


def _standing(request: MemberRequest, setting: Setting) -> MemberRequest:
    """What travels as still loads, where it does most with the member's own section.

    Any place of them counts, so what fails a limit there fails it; what keeps all may fail one with
    its loads elsewhere.
    """
    if not request.travels:
        return request
    found = _own_places(setting.member, setting.accuracy)
    still = {load.case for load in request.member.loads}
    loads = [x for x in found.member.loads if x.case not in still]
    member = request.member.with_(
        loads=(*request.member.loads, *loads), combinations=found.member.combinations
    )
    return replace(request, member=member, limits=found.limits, codes=found.codes, variable=())


@lru_cache(maxsize=2)
def _own_places(member: MemberBase, accuracy: float) -> MemberRequest:
    return _worst(request_of(member, accuracy))


def _worst(request: MemberRequest) -> MemberRequest:
    """What travels where it does most by the classical theory, as still loads."""
    found = standing_request(replace(request, keep_shape=True))
    return replace(found, keep_shape=request.keep_shape)


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
