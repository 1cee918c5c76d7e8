"""What a member's file gave, whole: every load, support, restraint, diaphragm, factor and limit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import fields
from typing import TYPE_CHECKING

from ...solver.member.model.load import LineLoad, PointLoad, SelfWeight
from ...solver.member.review.movement_limits import MovementLimit, TwistLimit
from ...solver.member.review.stress_limit import StressLimit
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import number
from .given_holds import (
    diaphragms_given,
    hinges_given,
    place_words,
    restraints_given,
    supports_given,
)
from .given_imposed import imposed_given, tendons_given
from .given_moving import moving_given, variable_given
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.joint.joint_spec import JointSpec
    from ...solver.member.file.request import MemberRequest
    from ...solver.member.model.load import Load
    from ...solver.member.model.member import Member

_FORCES = ("F_x", "F_y", "F_z")
_LINES = ("q_x", "q_y", "q_z")
_MOMENTS = ("M_x", "M_y", "T")


def given_passages(request: MemberRequest) -> dict[str, Passage]:
    """Tables of all that the file states, by headings; those without rows are left out."""
    units, member = MemberUnits(request.units), request.member
    found: dict[str, Passage] = {
        "Loads": _loads(member, units),
        "Imposed deformations": imposed_given(member, units),
        "Tendons": tendons_given(member, units),
        "Supports": supports_given(member, units),
        "Restraints": restraints_given(member, units),
        "Diaphragms": diaphragms_given(member.diaphragms, units),
        "Hinges as stated": hinges_given(member, units),
        "Masses": _masses(member, units),
        "Moving loads": moving_given(request, units),
        "Combinations": variable_given(request) if request.travels else _combinations(member),
        "Limits asked for": _limits(request, units),
        "Joints as stated": _joints(request),
        "Codes asked for": _codes(request),
        "Analysis": [Sentences([_analysis(request)])],
    }
    return {heading: passage for heading, passage in found.items() if passage}


# -- loads -----------------------------------------------------------------------------------------
def _loads(member: Member, units: MemberUnits) -> Passage:
    rows = [
        [load.title, load.case, _extent(load, units), _size(load, units), _at(load, units)]
        for load in member.loads
    ]
    heads = ["load", "case", "where", "what", "acts at"]
    return [HeadedRows(heads, [""] * len(heads), rows)] if rows else []


def _extent(load: Load, units: MemberUnits) -> str:
    if isinstance(load, PointLoad):
        return f"at {units.text(load.at, 'along')}"
    if isinstance(load, LineLoad):
        return f"{units.value(load.start, 'along')} to {units.text(load.end, 'along')}"
    return "all along"


def _size(load: Load, units: MemberUnits) -> str:
    if isinstance(load, SelfWeight):
        return f"weight of the sections, {number(load.gravity / units.units.gravity, 4)} times"
    if isinstance(load, PointLoad):
        parts = _parts(_FORCES, load.force, "force", units)
        parts += _parts(_MOMENTS, load.moment, "moment", units)
        if load.as_mass:
            parts.append(f"{number(load.as_mass, 4)} of it as mass")
        if load.bimoment:
            parts.append(f"B = {units.text(load.bimoment, 'bimoment')}")
        return ", ".join(parts) or "nothing"
    parts = _parts(_LINES, load.force, "line load", units)
    if load.as_mass:
        parts.append(f"{number(load.as_mass, 4)} of it as mass")
    if load.force_end is not None and load.force_end != load.force:
        parts.append("to " + ", ".join(_parts(_LINES, load.force_end, "line load", units)))
    if load.torque or load.torque_end:
        text = f"t = {units.text(load.torque, 'line moment')}"
        if load.torque_end is not None and load.torque_end != load.torque:
            text += f" to {units.text(load.torque_end, 'line moment')}"
        parts.append(text)
    if load.measured_along == "line":
        parts.append("per length of its own line")
    return ", ".join(parts) or "nothing"


def _parts(
    words: Sequence[str], values: Sequence[float], quantity: str, units: MemberUnits
) -> list[str]:
    return [
        f"{word} = {units.text(value, quantity)}"
        for word, value in zip(words, values, strict=True)
        if value
    ]


def _at(load: Load, units: MemberUnits) -> str:
    if isinstance(load, SelfWeight):
        return "the centre of mass"
    return place_words(load.place, units)


def _masses(member: Member, units: MemberUnits) -> Passage:
    rows = [
        [
            m.title,
            units.text(m.at, "along"),
            f"{number(m.mass, 5)} {units.units.mass}",
            place_words(m.place, units),
        ]
        for m in member.masses
    ]
    heads = ["mass", "at", "of", "its centre"]
    return [HeadedRows(heads, [""] * len(heads), rows)] if rows else []


# -- factors, limits -------------------------------------------------------------------------------
def _combinations(member: Member) -> Passage:
    cases = member.cases
    rows = [
        [c.name, *(number(c.factors[k], 4) if k in c.factors else "-" for k in cases)]
        for c in member.combined
    ]
    return [HeadedRows(["combination", *cases], [""] * (1 + len(cases)), rows)] if rows else []


def _limits(request: MemberRequest, units: MemberUnits) -> Passage:
    rows = []
    for limit in request.limits:
        if isinstance(limit, TwistLimit):
            what, allowed = "twist", f"{number(limit.degrees, 4)} deg"
        elif isinstance(limit, StressLimit):
            what = f"{limit.component} stress"
            allowed = "strength" if limit.allowed is None else units.text(limit.allowed, "stress")
            if limit.factor != 1:
                what += f" times {number(limit.factor, 4)}"
        elif not isinstance(limit, MovementLimit):
            what, allowed = str(getattr(limit, "words", type(limit).__name__)), ""
        else:
            where = limit.point if isinstance(limit.point, str) else place_words(limit.point, units)
            what = f"displacement {limit.direction} of {where.replace('_', ' ')}"
            given = []
            if limit.masonry_unit is not None:
                given.append("as for masonry")
            if limit.span_ratio is not None:
                given.append(f"span/{number(limit.span_ratio, 4)}")
            if limit.absolute is not None:
                given.append(units.text(limit.absolute, "displacement"))
            allowed = ", ".join(given)
        if getattr(limit, "added", False):
            what += ", of what a stage adds"
        stages = getattr(limit, "stages", ())
        row = [what, allowed, _named(limit.combinations, request)]
        rows.append([*row, ", ".join(stages) or "all"] if request.stages else row)
    heads = ["limit", "allowed", "combinations", *(["stages"] if request.stages else [])]
    return [HeadedRows(heads, [""] * len(heads), rows)] if rows else []


def _named(combinations: Sequence[str], request: MemberRequest) -> str:
    """Names of combinations; a whole state of a standard's set by its own name."""
    states: dict[str, list[str]] = {}
    for one in request.variable:
        if one.source:
            states.setdefault(one.name.partition(":")[0], []).append(one.name)
    found: dict[str, None] = {}
    for name in combinations:
        own = states.get(name.partition(":")[0], [])
        whole = len(own) > 1 and name in own and set(own) <= set(combinations)
        found[f"{name.partition(':')[0]} (all {len(own)})" if whole else name] = None
    return ", ".join(found) or "all"


# -- joints, codes ---------------------------------------------------------------------------------
def _joints(request: MemberRequest) -> Passage:
    rows = [[spec.name, spec.kind, joint_words(spec)] for spec in request.joints]
    heads = ["joint", "kind", "as stated (mm, MPa)"]
    return [HeadedRows(heads, [""] * len(heads), rows)] if rows else []


def joint_words(spec: JointSpec) -> str:
    """Bolts, then every size that is not left at its default."""
    words = [] if spec.bolt is None else [f"{spec.bolt.size} {spec.bolt.grade}"]
    for item in fields(spec):
        value = getattr(spec, item.name)
        if item.name in ("name", "kind", "bolt") or value == item.default:
            continue
        text = number(float(value), 5) if isinstance(value, int | float) else str(value)
        words.append(f"{item.name.replace('_', ' ')} {text}")
    return ", ".join(words)


def _codes(request: MemberRequest) -> Passage:
    rows = []
    for code in request.codes:
        given = [
            f"{item.name.replace('_', ' ')} {getattr(code, item.name)}"
            for item in fields(code)
            if item.name != "combinations" and getattr(code, item.name) is not None
        ]
        rows.append([code.title, ", ".join(given) or "-", ", ".join(code.combinations) or "all"])
    heads = ["code", "with", "combinations"]
    return [HeadedRows(heads, [""] * len(heads), rows)] if rows else []


def _analysis(request: MemberRequest) -> str:
    sections = "keep their shape" if request.keep_shape else "deform"
    member = request.member
    start = tuple(0.0 if math.isclose(c, 0.0, abs_tol=1e-12) else c for c in member.line)
    return (
        f"{request.order.capitalize()} order; sections {sections}; about {request.stations} "
        f"stations; the spans' line follows the point ({number(start[0], 5)}, "
        f"{number(start[1], 5)}) {MemberUnits(request.units).unit('place')} of the section."
    )
