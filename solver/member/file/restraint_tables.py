"""Restraints along the span in a member file.

::

    [[secondary_beam]]             # framed in with moment connections: restrains the twist
    at = ["3 m", "6 m"]
    E = "210 GPa"
    I = "5790 cm^4"
    length = "4.5 m"
    far_end = "pinned"             # or "fixed", "same way", "opposite": how its far end turns
    connection = "3000 kN*m/rad"   # optional, in series
    clearance = "1 mm"             # optional, over clearance_arm; or slip = "0.3 deg"
    clearance_arm = "160 mm"

    [[spring]]
    at = "middle"
    twist = "900 kN*m/rad"         # and/or lateral: x = "5 kN/mm" at the height level = 290

    [[deck]]                       # continuous restraint, between from and to
    twist = "60 kN*m/rad/m"        # per length; and/or x = "2 kN/mm/m" at a level
"""

from __future__ import annotations

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ..model.restraint import (
    Deck,
    FarEnd,
    LateralSpring,
    Restraint,
    TwistSpring,
    secondary_beam_stiffness,
)
from .positions import Along
from .support_tables import play, positive_length, stiffness

_FAR_ENDS = ("pinned", "fixed", "same way", "opposite")


def secondaries(entry: Entry, along: Along) -> list[Restraint]:
    """One torsional spring for each place where the secondary beam frames in."""
    stations = along.positions(entry)
    entry.plain("span")
    spring = secondary_stiffness(entry)
    angle = play(entry, "slip")
    name = entry.text("name", "secondary beam")
    entry.close()
    return [
        TwistSpring(z, spring, angle, title)
        for z, title in zip(stations, _titles(name, stations, along), strict=True)
    ]


def secondary_stiffness(entry: Entry) -> float:
    """Stiffness from keys E, I, length, far_end and connection."""
    for key, example in (("E", '"210 GPa"'), ("I", '"5790 cm^4"'), ("length", '"4.5 m"')):
        entry.need(key, example)
    entry.need("far_end", '"pinned"')
    far_end: FarEnd = entry.choice("far_end", _FAR_ENDS, "pinned")  # type: ignore[assignment]
    modulus = entry.quantity("E", "stress")
    inertia = entry.quantity("I", "second moment")
    length = positive_length(entry, "length")
    connection = None
    if entry.has("connection"):
        connection = stiffness(entry, "connection", "rotational spring")
    assert modulus is not None
    assert inertia is not None
    return secondary_beam_stiffness(modulus, inertia, length, far_end, connection)


def springs(entry: Entry, along: Along) -> list[Restraint]:
    """Springs at stations: torsional, lateral, or both."""
    stations = along.positions(entry)
    entry.plain("span")
    twist = stiffness(entry, "twist", "rotational spring") if entry.has("twist") else None
    across = stiffness(entry, "x", "spring") if entry.has("x") else None
    angle, level = play(entry, "slip"), entry.length("level")
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


def decks(entry: Entry, along: Along) -> list[Restraint]:
    """A continuous restraint."""
    start, end = along.reach(entry)
    twist = across = 0.0
    if entry.has("twist"):
        twist = stiffness(entry, "twist", "rotational spring per length")
    if entry.has("x"):
        across = stiffness(entry, "x", "spring per length")
    level = entry.length("level")
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
