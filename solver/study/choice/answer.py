"""What a member answers to a section put into it, no farther than it must be asked: twist and
movement by the classical theory, then the stress, then stability, then deforming sections."""

from __future__ import annotations

from collections.abc import Callable
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

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...member.file.request import MemberRequest
    from ..file.member_base import MemberBase
    from ..run.cache import RecordCache
    from .setting import Setting


def answer(
    setting: Setting,
    put: Callable[[Solving], MemberRequest],
    thorough: bool,
    solving: Solving = solved_section,
) -> tuple[MemberOutcome, SolvedSection | None]:
    """The member's answer, and its first section if every limit was looked at.

    Parameters
    ----------
    setting : Setting
    put : callable
        The member, given how its sections are solved.
    thorough : bool
        Whether every limit is looked at, even when one has failed.
    solving : Solving
        How sections are solved then.

    Raises
    ------
    SoapfilmError
        No answer, in words.
    """
    if not thorough:
        bare = _Bare(setting, solving)
        changed = put(bare)
        quick = _classical(_standing(changed, setting), stressed=False, stability=False)[0]
        if quick.ratio > max(setting.reach, 1.0) and not _untold(changed):
            return quick, None
        solving = bare.whole
    changed = put(solving)
    solved = next(iter(changed.sections.values()))
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


class _Bare:
    """Sections as their constants alone, from the cache where they are known."""

    def __init__(self, setting: Setting, solving: Solving) -> None:
        self._cache = _cache() if setting.cached else None
        self._solving = solving
        self._solved: dict[str, SolvedSection] = {}

    def __call__(self, section: Section, name: str, accuracy: float) -> SolvedSection:
        """The constants of a section."""
        constants, solved = section_constants(section, accuracy, self._cache)
        if solved is not None:
            self._solved[name] = solved.renamed(name)
        return SolvedSection(name, replace(constants, name=name))

    def whole(self, section: Section, name: str, accuracy: float) -> SolvedSection:
        """The section with its fields; what had to be solved for its constants is not solved
        again."""
        return self._solved.get(name) or self._solving(section, name, accuracy)


def _standing(request: MemberRequest, setting: Setting) -> MemberRequest:
    """What travels as still loads, where it does most with the member's own section.

    Any place of them counts, so what fails a limit there fails it; what keeps all may fail one with
    its loads elsewhere.
    """
    if not request.travels:
        return request
    own = request_of(setting.member, setting.accuracy)
    if any(a != b for a, b in zip(_course(request), _course(own), strict=True)):
        return _worst(request)
    found = _own_places(setting.member, setting.accuracy)
    still = {load.case for load in request.member.loads}
    loads = [x for x in found.member.loads if x.case not in still]
    member = request.member.with_(
        loads=(*request.member.loads, *loads), combinations=found.member.combinations
    )
    return replace(request, member=member, limits=found.limits, codes=found.codes, variable=())


def _course(request: MemberRequest) -> tuple[object, ...]:
    """What travels, and along what."""
    member = request.member
    return member.axis, member.supports, request.vehicles, request.crowds, request.variable


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
