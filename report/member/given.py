"""What a member's file gave, whole: every load, support, restraint, diaphragm, factor and limit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...solver.member.model.faces import Height
from ...solver.member.model.load import LineLoad, PointLoad, SelfWeight
from ...solver.member.model.restraint import Deck, LateralSpring, TwistSpring
from ...solver.member.model.secondary_beam import SecondaryBeam
from ...solver.member.model.support import FREEDOMS
from ...solver.member.review.movement_limits import MovementLimit, TwistLimit
from ...solver.member.review.stress_limit import StressLimit
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import number
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.file.request import MemberRequest
    from ...solver.member.model.diaphragm import Diaphragm
    from ...solver.member.model.load import Load, Where
    from ...solver.member.model.member import Member, Restraint
    from ...solver.member.model.support import Bearing, Support

_SPRING = {
    "x": "spring", "y": "spring", "z": "spring",
    "bend_x": "rotational spring", "bend_y": "rotational spring", "twist": "rotational spring",
    "warping": "warping spring",
}  # fmt: skip
_WORDS = {"bend_x": "bending about x", "bend_y": "bending about y"}
_FORCES = ("F_x", "F_y", "F_z")
_LINES = ("q_x", "q_y", "q_z")
_MOMENTS = ("M_x", "M_y", "T")


def given_passages(request: MemberRequest) -> dict[str, Passage]:
    """Tables of all that the file states, by headings; those without rows are left out."""
    units, member = MemberUnits(request.units), request.member
    found: dict[str, Passage] = {
        "Loads": _loads(member, units),
        "Supports": _supports(member, units),
        "Restraints": _restraints(member, units),
        "Diaphragms": _diaphragms(member.diaphragms, units),
        "Masses": _masses(member, units),
        "Combinations": _combinations(member),
        "Limits asked for": _limits(request, units),
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
        return "the centroid"
    return place_words(load.place, units)


def place_words(place: Where, units: MemberUnits) -> str:
    """A place of the section in words."""
    if isinstance(place, tuple):
        return f"({number(place[0], 5)}, {number(place[1], 5)}) {units.unit('place')}"
    origin = getattr(place, "origin", None)
    if origin is None:
        return str(getattr(place, "words", place))
    text = str(origin).replace("_", " ")
    dx, dy = place.dx, place.dy
    if dx or dy:
        text += f" and ({number(dx, 5)}, {number(dy, 5)}) {units.unit('place')}"
    return text


# -- what holds ------------------------------------------------------------------------------------
def _supports(member: Member, units: MemberUnits) -> Passage:
    rows = [
        [
            s.title,
            units.text(s.at, "along"),
            "; ".join(_held(s, units)) or "nothing",
            "shear centre" if s.point is None else place_words(s.point, units),
            "; ".join(_details(s, units)) or "-",
        ]
        for s in member.supports
    ]
    heads = ["support", "at", "holds", "acts at", "joint"]
    return [HeadedRows(heads, [""] * len(heads), rows)] if rows else []


def _held(support: Support, units: MemberUnits) -> list[str]:
    rigid, found = [], []
    for word in FREEDOMS:
        hold = getattr(support, word)
        name = _WORDS.get(word, word)
        if hold == "held":
            rigid.append(name)
        elif isinstance(hold, float | int) and hold > 0:
            found.append(f"{name} by {units.text(hold, _SPRING[word])}")
    if rigid:
        found.insert(0, f"{', '.join(rigid)} rigidly")
    return found + [_bearing(b, units) for b in support.bearings]


def _bearing(bearing: Bearing, units: MemberUnits) -> str:
    text = f"bearing at x = {number(bearing.x, 5)} {units.unit('place')}"
    if bearing.y is not None:
        text += _level(bearing.y, units)
    if bearing.stiffness is not None:
        text += f" of {units.text(bearing.stiffness, 'spring')}"
    return text + (", held down" if bearing.holds_down else ", may lift")


def _details(support: Support, units: MemberUnits) -> list[str]:
    found = []
    if support.twist_slip:
        found.append(f"play {units.text(support.twist_slip, 'angle')} either way")
    if support.lever_arm is not None:
        found.append(f"lever arm {number(support.lever_arm, 5)} {units.unit('place')}")
    return found


def _restraints(member: Member, units: MemberUnits) -> Passage:
    rows = [[r.title, *_restraint(r, units)] for r in member.restraints]
    heads = ["restraint", "where", "what it is"]
    return [HeadedRows(heads, [""] * len(heads), rows)] if rows else []


def _restraint(item: Restraint, units: MemberUnits) -> list[str]:
    if isinstance(item, Deck):
        where = f"{units.value(item.start, 'along')} to {units.text(item.end, 'along')}"
        parts = []
        if item.twist_stiffness:
            parts.append(
                f"twist {units.text(item.twist_stiffness, 'rotational spring per length')}"
            )
        if item.lateral_stiffness:
            parts.append(f"across {units.text(item.lateral_stiffness, 'spring per length')}")
        return [where, "deck: " + ", ".join(parts) + _level(item.level, units)]
    where = units.text(item.at, "along")
    if isinstance(item, TwistSpring):
        text = f"spring of the twist, {units.text(item.stiffness, 'rotational spring')}"
        return [where, text + _slip(item.slip, units)]
    if isinstance(item, LateralSpring):
        text = f"spring across, {units.text(item.stiffness, 'spring')}"
        return [where, text + _level(item.level, units)]
    return [where, _beam(item, units)]


def _beam(beam: SecondaryBeam, units: MemberUnits) -> str:
    length = units.text(beam.length, "along")
    text = f"secondary beam to the {beam.side}, L = {length}, "
    text += f"E I = {units.text(beam.rigidity, 'bending rigidity')}, far end {beam.far_end}, "
    text += f"end shear at {place_words(beam.place, units)}, connection "
    if beam.connection is None:
        text += "rigid"
    elif beam.connection == 0:
        text += "pinned"
    else:
        text += units.text(beam.connection, "rotational spring")
    text += _slip(beam.slip, units)
    loads = ", ".join(f"{case} {units.text(w, 'line load')}" for case, w in beam.loads.items())
    return text + (f"; its own load: {loads}" if loads else "; no load of its own")


def _slip(slip: float, units: MemberUnits) -> str:
    return f", play {units.text(slip, 'angle')} either way" if slip else ""


def _level(level: object, units: MemberUnits) -> str:
    if level is None:
        return ", at the height of the shear centre"
    if isinstance(level, float | int):
        return f", at y = {number(float(level), 5)} {units.unit('place')}"
    if isinstance(level, Height):
        text = f", at {level.reference.replace('_', ' ')}"
        return text + (f" {number(level.up, 5)} {units.unit('place')} up" if level.up else "")
    return f", at {level}"


def _diaphragms(diaphragms: Sequence[Diaphragm], units: MemberUnits) -> Passage:
    alike: dict[str, list[float]] = {}
    for d in diaphragms:
        alike.setdefault(_diaphragm(d, units), []).append(d.at)
    rows = [
        [words, ", ".join(units.value(at, "along") for at in stations) + f" {units.unit('along')}"]
        for words, stations in alike.items()
    ]
    return [HeadedRows(["diaphragm", "at"], ["", ""], rows)] if rows else []


def _diaphragm(d: Diaphragm, units: MemberUnits) -> str:
    unit = units.unit("place")
    if d.plate is not None:
        text = f"plate of {number(d.plate.thickness, 5)} {unit}"
        if d.plate.opening is not None:
            a, b = d.plate.opening
            text += f" with an opening of {number(a, 5)} x {number(b, 5)} {unit}"
        return text
    if d.bars:
        return f"frame of {len(d.bars)} bars"
    return "rigid"


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
        rows.append([what, allowed, ", ".join(limit.combinations) or "all"])
    return [HeadedRows(["limit", "allowed", "combinations"], ["", "", ""], rows)] if rows else []


def _analysis(request: MemberRequest) -> str:
    sections = "keep their shape" if request.keep_shape else "deform"
    member = request.member
    start = tuple(0.0 if math.isclose(c, 0.0, abs_tol=1e-12) else c for c in member.line)
    return (
        f"{request.order.capitalize()} order; sections {sections}; about {request.stations} "
        f"stations; the spans' line follows the point ({number(start[0], 5)}, "
        f"{number(start[1], 5)}) {MemberUnits(request.units).unit('place')} of the section."
    )
