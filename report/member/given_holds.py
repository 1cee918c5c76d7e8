"""What a member's file gave of supports, restraints and diaphragms, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...solver.member.model.faces import Face, Height
from ...solver.member.model.restraint import Deck, LateralSpring, TwistSpring
from ...solver.member.model.secondary_beam import SecondaryBeam
from ...solver.member.model.support import FREEDOMS
from ..text.blocks import HeadedRows, Passage
from ..text.number import number
from .hinge_passage import hinge_words
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.model.diaphragm import Diaphragm
    from ...solver.member.model.load import Where
    from ...solver.member.model.member import Member, Restraint
    from ...solver.member.model.support import Bearing, Support

_SPRING = {
    "x": "spring", "y": "spring", "z": "spring",
    "bend_x": "rotational spring", "bend_y": "rotational spring", "twist": "rotational spring",
    "warping": "warping spring",
}  # fmt: skip
_WORDS = {"bend_x": "bending about x", "bend_y": "bending about y"}


def supports_given(member: Member, units: MemberUnits) -> Passage:
    """Every support with what it holds."""
    rows = [
        [
            s.title,
            units.text(s.at, "along"),
            "; ".join(_held(s, units)) or "nothing",
            holding_place(s, units),
            "; ".join(_details(s, units)) or "-",
        ]
        for s in member.supports
    ]
    heads = ["support", "at", "holds", "acts at", "besides"]
    return [HeadedRows(heads, [""] * len(heads), rows)] if rows else []


def holding_place(support: Support, units: MemberUnits) -> str:
    """As `held_point` finds it."""
    if support.point is not None:
        return place_words(support.point, units)
    if support.bearings and all(b.y is not None for b in support.bearings):
        return "its bearing" if len(support.bearings) == 1 else "between its bearings"
    return "shear centre"


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
    found = [f"joint {support.joint!r}"] if support.joint else []
    if support.plumb:
        found.append("plumb")
    if support.twist_slip:
        found.append(f"play {units.text(support.twist_slip, 'angle')} either way")
    if support.lever_arm is not None:
        found.append(f"lever arm {number(support.lever_arm, 5)} {units.unit('place')}")
    return found


def restraints_given(member: Member, units: MemberUnits) -> Passage:
    """Springs, decks and secondary beams."""
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
    text += f" of joint {beam.joint!r}" if beam.joint else ""
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


def hinges_given(member: Member, units: MemberUnits) -> Passage:
    """Every hinge with what it frees."""
    rows = [
        [
            h.title,
            units.text(h.at, "along"),
            "; ".join(hinge_words(h, units)),
            "centroid, shear centre" if h.point is None else place_words(h.point, units),
        ]
        for h in member.hinges
    ]
    heads = ["hinge", "at", "what it is", "turns about"]
    return [HeadedRows(heads, [""] * len(heads), rows)] if rows else []


def diaphragms_given(diaphragms: Sequence[Diaphragm], units: MemberUnits) -> Passage:
    """Diaphragms, those alike in one row."""
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


def place_words(place: Where, units: MemberUnits) -> str:
    """A place of the section in words."""
    if isinstance(place, tuple):
        return f"({number(place[0], 5)}, {number(place[1], 5)}) {units.unit('place')}"
    origin = getattr(place, "origin", None)
    if origin is None:
        return str(getattr(place, "words", place))
    text = (origin.words or origin.kind) if isinstance(origin, Face) else str(origin)
    text = text.replace("_", " ")
    dx, dy = place.dx, place.dy
    if dx or dy:
        text += f" and ({number(dx, 5)}, {number(dy, 5)}) {units.unit('place')}"
    return text
