"""Restraints along the span in a member file.

::

    [[secondary_beam]]             # frames in from one side and turns at its end under its load
    at = ["3 m", "6 m"]
    E = "210 GPa"
    I = "5790 cm^4"                # or shape = "IPE300", bent about its x axis
    length = "4.5 m"               # from the connection to its far support
    far_end = "pinned"             # or "fixed", "opposite": how its far end turns
    loads = { dead = "4 kN/m", live = "7 kN/m" }   # its own load per load case, downward:
    place = "joist seat"           # its end shear acts here, besides the end moment
    side = "right"                 # it runs toward +x; left out, the side of the place
    connection = "3000 kN*m/rad"   # in series; or "rigid" (left out), or "pinned"
    clearance = "1 mm"             # optional, over clearance_arm; or slip = "0.3 deg"
    clearance_arm = "160 mm"
    joint = "joist fin"            # instead of connection and clearance: see `named_joints`
    # Without loads, place and side it is a spring of the twist alone (far_end may be "same way"
    # too): what its own end rotation brings is left out, and the output says so.

    [[spring]]
    at = "middle"
    twist = "900 kN*m/rad"         # and/or lateral: x = "5 kN/mm" at the height level = 290

    [[deck]]                       # continuous restraint, between from and to
    twist = "60 kN*m/rad/m"        # per length; and/or x = "2 kN/mm/m" at a level
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ..model.faces import Face
from ..model.load import Place, Where
from ..model.member import Restraint
from ..model.restraint import (
    Deck,
    FarEnd,
    LateralSpring,
    TwistSpring,
    secondary_beam_stiffness,
)
from ..model.secondary_beam import SecondaryBeam
from .named_joints import NamedJoints
from .positions import Along, Points, level_of
from .support_tables import play, positive_length, stiffness

_FAR_ENDS = ("pinned", "fixed", "same way", "opposite")


def secondaries(entry: Entry, along: Along, points: Points, joints: NamedJoints) -> list[Restraint]:
    """One secondary beam, or one torsional spring, for each place where it frames in."""
    stations = along.positions(entry)
    entry.plain("span")
    joint = joints.of_beam(entry)
    figures = _figures(entry)
    angle = play(entry, "slip")
    loads = _loads(entry)
    if loads and not along.pitch.level:
        raise InputError(
            "loads of a secondary beam are not solved where the member slopes or has crossfall; "
            "give its end shear as a [[load]] with weight, and its restraint as a [[spring]]"
        )
    name = entry.text("name", "secondary beam")
    titles = _titles(name, stations, along)
    loaded = bool(loads) or entry.has("side") or entry.has("place") or joint is not None
    place: Where = points.load_place(entry) if entry.has("place") else Place()
    side = entry.choice("side", ("left", "right"), "") or _side(place, points, loaded)
    entry.close()
    if not loaded:
        spring = _stiffness(*figures)
        return [
            TwistSpring(z, spring, angle, title, unloaded=True)
            for z, title in zip(stations, titles, strict=True)
        ]
    modulus, inertia, length, far_end, connection = figures
    right: Literal["left", "right"] = "left" if side == "left" else "right"
    if joint is not None:
        connection, angle = joints.connection(joint)
        place = joints.bolts_of(joint, place, right)
    return [
        SecondaryBeam(
            z,
            modulus,
            inertia,
            length,
            right,
            far_end,
            place,
            connection,
            angle,
            loads,
            title,
            "" if joint is None else joint.name,
        )
        for z, title in zip(stations, titles, strict=True)
    ]


def secondary_stiffness(entry: Entry) -> float:
    """Stiffness from keys E, I, length, far_end and connection."""
    return _stiffness(*_figures(entry))


def secondary_template(entry: Entry) -> SecondaryBeam | None:
    """The beam of a remedy, at no station yet; None where its far end takes no load."""
    modulus, inertia, length, far_end, connection = _figures(entry)
    if far_end == "same way":
        return None
    return SecondaryBeam(0.0, modulus, inertia, length, "right", far_end, connection=connection)


Figures = tuple[float, float, float, FarEnd, float | None]


def _figures(entry: Entry) -> Figures:
    """E, I, length, far end and connection."""
    entry.need("E", '"210 GPa"')
    if entry.has("shape") == entry.has("I"):
        if entry.has("shape"):
            raise InputError("give either I or shape, not both")
        entry.need("I", '"5790 cm^4" (or shape = "IPE300")')
    entry.need("length", '"4.5 m"')
    entry.need("far_end", '"pinned"')
    far_end: FarEnd = entry.choice("far_end", _FAR_ENDS, "pinned")  # type: ignore[assignment]
    modulus = entry.quantity("E", "stress") or 0.0
    inertia = (
        _inertia_of_shape(entry) if entry.has("shape") else entry.quantity("I", "second moment")
    )
    length = positive_length(entry, "length")
    connection = None
    if entry.has("connection"):
        words = {"rigid": None, "pinned": 0.0}
        value = entry.table["connection"]
        if isinstance(value, str) and value in words:
            connection = words[value]
        else:
            connection = stiffness(entry, "connection", "rotational spring")
    return modulus, inertia or 0.0, length, far_end, connection


def _inertia_of_shape(entry: Entry) -> float:
    """I_x of a rolled shape, from its outline."""
    from ....geometry.catalogue import shape
    from ...section.area.properties import area_properties

    section = shape(entry.text("shape"))
    factor = entry.units.factor("length", section.unit)
    return float(area_properties(section).second_moments.x) / factor**4


def _stiffness(
    modulus: float, inertia: float, length: float, far_end: FarEnd, connection: float | None
) -> float:
    if connection == 0:
        raise InputError(
            "connection: a pinned connection restrains nothing; give its stiffness, or loads"
        )
    return secondary_beam_stiffness(modulus, inertia, length, far_end, connection)


def _loads(entry: Entry) -> dict[str, float]:
    """Key `loads`: a load per length for each case."""
    if not entry.has("loads"):
        return {}
    table = entry.table["loads"]
    if not isinstance(table, Mapping) or not table:
        raise InputError('loads is a table of load cases, like loads = { dead = "4 kN/m" }')
    inner = Entry("loads", 0, table, entry.units)
    return {case: inner.quantity(case, "line load") or 0.0 for case in table}


def _side(place: Where, points: Points, loaded: bool) -> str:
    """The side of the place, where that tells it."""
    x = place.dx if isinstance(place, Place) else place[0]
    origin = place.origin if isinstance(place, Place) else ""
    named = points.known.get(origin) if isinstance(origin, str) else origin
    if isinstance(named, Face):
        told = [word for word in ("left", "right") if named.kind.startswith(word)]
        return told[0] if told else _missing_side(x, loaded)
    if named is not None:
        x += named[0]
    return _missing_side(x, loaded)


def _missing_side(x: float, loaded: bool) -> str:
    if loaded and x == 0:
        raise InputError(
            'side is missing; write side = "right" for a beam that runs toward +x, or "left"'
        )
    return "left" if x < 0 else "right"


def springs(entry: Entry, along: Along, points: Points, _: NamedJoints) -> list[Restraint]:
    """Springs at stations: torsional, lateral, or both."""
    stations = along.positions(entry)
    entry.plain("span")
    twist = stiffness(entry, "twist", "rotational spring") if entry.has("twist") else None
    across = stiffness(entry, "x", "spring") if entry.has("x") else None
    angle, level = play(entry, "slip"), level_of(entry)
    name = entry.text("name", "spring")
    entry.close()
    if twist is None and across is None:
        raise InputError('give twist = "900 kN*m/rad", or x = "5 kN/mm", or both')
    found: list[Restraint] = []
    for z, title in zip(stations, _titles(name, stations, along), strict=True):
        if twist is not None:
            word = f"{title} (twist)" if across is not None else title
            found.append(TwistSpring(z, twist, angle, word))
        if across is not None:
            word = f"{title} (lateral)" if twist is not None else title
            found.append(LateralSpring(z, across, level, word))
    return found


def decks(entry: Entry, along: Along, points: Points, _: NamedJoints) -> list[Restraint]:
    """A continuous restraint."""
    start, end = along.reach(entry)
    twist = across = 0.0
    if entry.has("twist"):
        twist = stiffness(entry, "twist", "rotational spring per length")
    if entry.has("x"):
        across = stiffness(entry, "x", "spring per length")
    level = level_of(entry)
    name = entry.text("name")
    entry.close()
    if not (twist or across):
        raise InputError('give twist = "60 kN*m/rad/m", or x = "2 kN/mm/m", or both')
    title = name or f"deck from {along.shown(start)} to {along.shown(end)}"
    return [Deck(start, end, twist, across, level, title)]


def _titles(name: str, stations: tuple[float, ...], along: Along) -> list[str]:
    if len(stations) == 1 and name not in ("secondary beam", "spring"):
        return [name]
    return [f"{name} at {along.shown(z)}" for z in stations]
