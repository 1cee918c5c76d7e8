"""Jobs about a member: its results along its length by either theory, its modes, its report."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from ..geometry.errors import InputError
from ..geometry.section_file.text import parsed
from ..report.member.units import MemberUnits
from ..report.page.packing import floats
from ..solver.member.file import MemberRequest, member_from_toml
from .errand import Errand
from .plan_handles import plan_handles

if TYPE_CHECKING:
    from ..solver.member.review.assessment import Assessment

Job = dict[str, Any]

#: Seconds without a new wish before a member is solved, and modes that are shown.
_REST, _MODES = 0.05, 6
#: Points of an axis that is drawn.
_POINTS = 61


def request_of(job: Job) -> MemberRequest:
    """The member that a job's text describes, its sections solved."""
    request = member_from_toml(job["text"], name=job["name"], folder=job["home"] or ".")
    if request.stages:
        raise InputError("this member is built in stages; follow it with: soapfilm member FILE")
    return request


def member_sheet(job: Job, errand: Errand) -> None:
    """What is seen in plan at once, results by the classical theory soon, and then by the theory
    asked for; without remedies."""
    from ..solver.member.review.assessment import assess

    request = _by_theory(request_of(job), job)
    errand.tell("plan", plan=plan(request), handles=handles_in_plan(job, request))
    errand.rest(_REST)
    if not request.keep_shape:
        quick = assess(replace(request, keep_shape=True), cures=False)
        errand.tell("result", stage="coarse", **_shown(quick))
        errand.rest(_REST)
    errand.tell("result", stage="full", **_shown(assess(request, cures=False)))


def _shown(assessment: Assessment) -> dict[str, Any]:
    """The largest values in words, and everything along the member."""
    from ..report.page.live_member import member_data
    from ..report.page.member_report import member_facts

    values = [
        {"symbol": f.symbol, "words": f.words, "text": f.value, "unit": f.unit, "note": f.note,
         "value": None, "lower": None, "upper": None, "refusal": None}
        for f in member_facts(assessment)
    ]  # fmt: skip
    return {
        "values": values,
        "field": None,
        "member": member_data(assessment),
        "plan": plan(assessment.request),
        "deforming": assessment.deformed is not None,
        "alone": assessment.alone,
    }


def modes(job: Job, errand: Errand) -> None:
    """Natural frequencies and the motion of the modes."""
    from ..report.page.live_modes import modes_data
    from ..report.vibration.result import modes_of

    errand.tell("modes", modes=modes_data(modes_of(_by_theory(request_of(job), job), _MODES)))


def export(job: Job, errand: Errand) -> None:
    """The member's figure or report page as a file."""
    from ..report.member.figure import plot_member
    from ..report.page.member_report import member_report
    from ..solver.member.review.assessment import assess
    from .exporting import tell_file

    assessment = assess(_by_theory(request_of(job), job), cures=job["what"] == "report")
    tell_file(
        errand, job["what"], (assessment.request.member.name, "member"),
        lambda origin: member_report(assessment, origin), lambda: plot_member(assessment),
    )  # fmt: skip


def _by_theory(request: MemberRequest, job: Job) -> MemberRequest:
    """As the file has it, or with the classical theory alone."""
    return request if job.get("deforming", True) else replace(request, keep_shape=True)


def plan(request: MemberRequest) -> dict[str, Any]:
    """What stands along the member, in the unit that is shown: stations along a straight one,
    [x, y] as seen from above (y toward the section's +x) on the axis of a curved one."""
    units = MemberUnits(request.units)
    along = units.factor("along")
    member = request.member
    axis = member.axis

    def place(z: float) -> Any:
        if not axis.curved:
            return z * along
        x, ahead, _ = axis.plan([z])
        return [float(ahead[0]) * along, float(x[0]) * along]

    def line(start: float, end: float) -> dict[str, Any]:
        x, ahead, _ = axis.plan(np.linspace(start, end, _POINTS))
        return floats(np.stack([ahead, x], axis=1) * along)

    loads = []
    for load in member.loads:
        start, end = _reach(load, member.length)
        acts = {"line": line(start, end)} if end > start else {"at": _pair(place(start))}
        loads.append({"name": load.name, "case": load.case, **acts})
    return {
        "unit": units.unit("along"),
        "length": member.length * along,
        "axis": line(0.0, member.length) if axis.curved else None,
        "supports": [{"at": place(s.at), "name": s.name} for s in member.supports],
        "diaphragms": [place(d.at) for d in member.diaphragms],
        "loads": loads,
    }


def handles_in_plan(job: Job, request: MemberRequest) -> list[dict[str, Any]]:
    """Handles of the member's text, on its axis."""
    along = MemberUnits(request.units).factor("along")
    axis = request.member.axis
    found = plan_handles(parsed(job["text"]), along, axis.length * along)
    for handle in found if axis.curved else ():
        x, ahead, heading = (float(v[0]) for v in axis.plan([handle["place"][0] / along]))
        handle["place"] = [ahead * along, x * along]
        handle["direction"] = [float(np.cos(heading)), float(np.sin(heading))]
    return found


def _pair(place: Any) -> list[float]:
    return place if isinstance(place, list) else [place, 0.0]


def _reach(load: Any, length: float) -> tuple[float, float]:
    """Stations between which a load acts; all along where it says nothing."""
    at = getattr(load, "at", None)
    if at is not None:
        return float(at), float(at)
    return float(getattr(load, "start", 0.0)), float(getattr(load, "end", length))
