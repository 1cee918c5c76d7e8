"""Results and lines in words, as they are typed or written in a file.

``"reaction of pier 1"``, ``"T of pier 1"``, ``"bearing 2 of abutment 1"``, ``"seat 1 of JOINT"``
(of a half-joint), ``"M_x at 12 m"``,
``"twist at middle of span 2"``, ``"displacement of outer edge at middle"``, ``"u_x of [0, 1] at
3"``, ``"stress of [0, -0.9] at middle of span 2"``, ``"stress xz of rim at 3 m"``. Spans are those
between the supports that hold the member up. A line is a point of the section: its name or [x, y].
"""

from __future__ import annotations

import re

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry, naming
from ....geometry.units import Units
from ..file.positions import OWN_POINTS, Along
from ..model.hinge import Hinge
from ..model.load import Place, Where
from ..model.member import Member
from .analysis import TravelLine
from .asked import (
    ACTIONS,
    DISPLACEMENTS,
    REACTIONS,
    ROTATIONS,
    STRESSES,
    AskedResult,
    support_named,
)
from .envelope_results import seats_of

_PAIR = re.compile(r"\[\s*([^,\]]+?)\s*,\s*([^,\]]+?)\s*\]")
_BEARING, _SEAT = re.compile(r"bearing (\d+)"), re.compile(r"seat (\d+)")
_FORM = (
    'write "reaction of SUPPORT", "T of SUPPORT", "bearing 1 of SUPPORT", "seat 1 of JOINT", '
    '"M_x at 12 m" (or '
    f'{", ".join(c for c in ACTIONS if c != "M_x")}), "twist at middle of span 1", '
    '"theta_x at end", "displacement of POINT at 12 m" or "stress of POINT at 12 m"'
)


def asked_in_words(text: str, member: Member, units: Units) -> AskedResult:
    """One result.

    Raises
    ------
    InputError
        Words that are none; an unknown support, bearing or point; a station outside the member.
    """
    words = " ".join(text.split())
    with naming(f"result {words[:60]!r}"):
        if " at " in words and words.partition(" at ")[0] in (*ACTIONS, *ROTATIONS, "twist"):
            component, _, where = words.partition(" at ")
            z = _station(where, member, units)
            if component == "twist":
                return AskedResult("twist", component, words, z)
            if component in ROTATIONS:
                return AskedResult("rotation", component, words, z)
            return AskedResult("action", component, words, z)
        head, _, owner = words.partition(" of ")
        if owner and head in ("reaction", *REACTIONS):
            support = support_named(member, owner)
            component = "R_y" if head == "reaction" else head
            return AskedResult("reaction", component, words, support.at, owner)
        bearing = _BEARING.fullmatch(head)
        if owner and bearing:
            support, number = support_named(member, owner), int(bearing.group(1))
            if not 1 <= number <= len(support.bearings):
                raise InputError(f"{owner!r} has {len(support.bearings)} bearings")
            return AskedResult("bearing", "R_y", words, support.at, owner, number)
        seat = _SEAT.fullmatch(head)
        if owner and seat:
            hinge = _hinge_named(member, owner)
            if not 1 <= int(seat.group(1)) <= len(hinge.seats):
                raise InputError(
                    f"{owner!r} has {len(hinge.seats)} seats; give them as "
                    "seats = [[-0.9, -1.2], [0.9, -1.2]] of the half-joint"
                )
            return seats_of(hinge)[int(seat.group(1)) - 1]
        point, at, where = owner.rpartition(" at ")
        component = {"displacement": "u_y", "stress": "zz"}.get(head, head.removeprefix("stress "))
        if at and component in DISPLACEMENTS:
            z = _station(where, member, units)
            return AskedResult(
                "displacement", component, words, z, place=_place(point, member, units)
            )
        if at and head.startswith("stress") and component in STRESSES:
            z = _station(where, member, units)
            return AskedResult("stress", component, words, z, place=_place(point, member, units))
        raise InputError(f"these are no result; {_FORM}")


def line_in_words(text: str, member: Member, units: Units) -> TravelLine:
    """A line along which loads travel."""
    words = " ".join(text.split())
    with naming(f"line {words[:60]!r}"):
        return TravelLine(words, _place(words, member, units))


def usual_results(member: Member, units: Units) -> tuple[AskedResult, ...]:
    """What is asked for where nothing is said: every vertical reaction and bearing; moment, torque,
    twist in the middle of every span, moment over every inner support."""
    found = []
    for support in member.supports:
        if support.bearings:
            found += [f"bearing {n + 1} of {support.title}" for n in range(len(support.bearings))]
        elif support.y not in ("free", 0):
            found.append(f"reaction of {support.title}")
    asked = [asked_in_words(words, member, units) for words in found]
    for n, (a, b) in enumerate(member.spans, 1):
        middle = member.axis.round((a + b) / 2)
        words = f"middle of span {n}"
        asked += [
            AskedResult("action", "M_x", f"M_x at {words}", middle),
            AskedResult("action", "T", f"T at {words}", middle),
            AskedResult("twist", "twist", f"twist at {words}", middle),
        ]
        if member.axis.closed or n < len(member.spans):
            asked.append(
                AskedResult("action", "M_x", f"M_x at end of span {n}", member.axis.round(b))
            )
    return tuple(asked)


def usual_lines(member: Member) -> tuple[TravelLine, ...]:
    """Named points of the section; the shear centre where none is named."""
    if not member.points:
        return (TravelLine("shear centre", Place("shear_centre")),)
    return tuple(TravelLine(name, Place(name)) for name in member.points)


def _hinge_named(member: Member, name: str) -> Hinge:
    for hinge in member.hinges:
        if hinge.title == name:
            return hinge
    known = ", ".join(repr(h.title) for h in member.hinges) or "none"
    raise InputError(f"there is no hinge {name!r}; hinges are {known}")


def _station(text: str, member: Member, units: Units) -> float:
    along = Along(member.spans or ((0.0, member.length),), units)
    try:
        value: object = float(text)
    except ValueError:
        value = text
    return member.axis.round(along.position(Entry("", 0, {"at": value}, units), "at"))


def _place(text: str, member: Member, units: Units) -> Where:
    pair = _PAIR.fullmatch(text)
    if pair:
        x, y = (units.read(_number(t), "length", bare=units.bare) for t in pair.groups())
        return (x, y)
    name = OWN_POINTS.get(text, text)
    if name not in (*OWN_POINTS.values(), *member.points):
        known = ", ".join([*OWN_POINTS, *member.points])
        raise InputError(f"there is no point {text[:40]!r}; write [x, y] or one of {known}")
    return Place(name)


def _number(text: str) -> object:
    try:
        return float(text)
    except ValueError:
        return text
