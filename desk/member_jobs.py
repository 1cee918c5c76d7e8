"""Jobs about a member: its results along its length by either theory, its modes, its report."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from ..geometry.errors import InputError
from ..solver.member.file import MemberRequest, member_from_toml
from .errand import Errand
from .plan import handles_in_plan, plan

if TYPE_CHECKING:
    from ..solver.member.review.assessment import Assessment

Job = dict[str, Any]

#: Seconds without a new wish before a member is solved, before its buckling is, and modes that are
#: shown.
_REST, _LONG_REST, _MODES = 0.05, 0.4, 6


def request_of(job: Job) -> MemberRequest:
    """The member that a job's text describes, its sections solved."""
    return member_from_toml(job["text"], name=job["name"], folder=job["home"] or ".")


def member_sheet(job: Job, errand: Errand) -> None:
    """What is seen in plan at once; soon the actions by the classical theory and how sections turn
    and deform; then everything by the theory asked for, its buckling last; without remedies."""
    from ..solver.member.review.assessment import assess, with_critical
    from .member_sight import first_look, seen

    request = _by_theory(request_of(job), job)
    errand.tell("plan", plan=plan(request), handles=handles_in_plan(job["text"], request))
    errand.rest(_REST)
    if request.stages:
        _stages_sheet(request, errand)
        return
    if not request.keep_shape:
        quick = assess(replace(request, keep_shape=True), cures=False)
        first = first_look(request)
        errand.tell("result", stage="coarse", **seen(quick, first) | {"alone": ""})
        errand.rest(_REST)
    found = assess(request, cures=False, critical=False)
    errand.tell("result", stage="full", **seen(found))
    if found.deformed is not None and found.stability is None:
        errand.rest(_LONG_REST)
        found = with_critical(found)
        errand.tell("result", stage="full", **seen(found))
    _last[_key(job)] = found


def _stages_sheet(request: MemberRequest, errand: Errand) -> None:
    """What stands after each stage: by the classical theory soon, then by the one asked for."""
    from ..solver.member.staged.assessment import assess_stages
    from .staged_sight import seen_staged

    if not request.keep_shape:
        quick = seen_staged(assess_stages(replace(request, keep_shape=True)))
        errand.tell("result", stage="coarse", **quick | {"alone": "", "deforming": True})
        errand.rest(_REST)
    errand.tell("result", stage="full", **seen_staged(assess_stages(request)))


def modes(job: Job, errand: Errand) -> None:
    """Modes in motion: natural ones with their frequencies, or those of buckling."""
    from ..report.vibration.result import modes_of
    from .mode_shapes import buckling, swinging

    if job.get("what") == "buckling":
        errand.tell("modes", modes=buckling(_assessed(job)))
        return
    errand.tell("modes", modes=swinging(modes_of(_by_theory(request_of(job), job), _MODES)))


def _assessed(job: Job) -> Assessment:
    """The member as it was last solved, or solved again."""
    from ..solver.member.review.assessment import assess

    if _key(job) not in _last:
        request = _by_theory(request_of(job), job)
        if request.stages:
            raise InputError(
                "this member is built in stages, and which of them is to buckle is not said; take "
                "the [[stage]] tables out for this"
            )
        _last[_key(job)] = assess(request, cures=False)
    return _last[_key(job)]


def export(job: Job, errand: Errand) -> None:
    """The member's report page as a file."""
    from ..report.page.member_report import member_report
    from ..report.page.stages_report import stages_report
    from ..solver.member.review.assessment import assess
    from ..solver.member.staged.assessment import assess_stages
    from .exporting import tell_report

    request = _by_theory(request_of(job), job)
    name = request.member.name
    if request.stages:
        staged = assess_stages(request)
        tell_report(errand, name, lambda origin: stages_report(staged, origin))
        return
    assessment = assess(request)
    tell_report(errand, name, lambda origin: member_report(assessment, origin))


def _by_theory(request: MemberRequest, job: Job) -> MemberRequest:
    """As the file has it, or with the classical theory alone."""
    return request if job.get("deforming", True) else replace(request, keep_shape=True)


class _Last(dict[tuple[str, str | None, bool], "Assessment"]):
    """The last member's answers alone."""

    def __setitem__(self, key: tuple[str, str | None, bool], value: Assessment) -> None:
        self.clear()
        super().__setitem__(key, value)


_last = _Last()


def _key(job: Job) -> tuple[str, str | None, bool]:
    return job["text"], job["home"], bool(job.get("deforming", True))
