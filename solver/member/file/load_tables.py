"""Loads of a member file.

::

    [[load]]                       # at a station, or at several
    case = "dead"
    at = ["1.5 m", "3 m"]          # or every = "1.5 m", from and to like below
    weight = "14 kN"               # downward; or F_x, F_y, F_z; M_x, M_y, T; B besides
    place = "joist seat"           # a name, or [x, y] in the section's axes
    eccentricity = [80, 0]         # from the place (from the shear centre if that is left out)

    [[load]]                       # along the member: without at and every
    case = "cladding"
    weight = "3.2 kN/m"            # or q_x, q_y, q_z and a torque m_t; [start, end] for linear
    place = [230, 60]
    from = "0.5 m"                 # left out: all along the member, or the span
    span = 2                       # positions count from its start
    measured_along = "own line"    # in a curve: per length of the load's line, not of the axis;
                                   # "plan": on a slope, per length of its horizontal projection
    by_span = true                 # a case for each span, "cladding, span 1", for patterns
    by_half_of = "5 m"             # and for each half of this width: "cladding, span 1, left half"
    as_mass = 0.3                  # share of its weight that vibrates with the member; true: all

    [self_weight]
    case = "dead"
    factor = 1.1                   # for what the outline leaves out: welds, stiffeners, diaphragms
    wedge = true                   # the longer outer fibres of a curve move the weight outward

Signs are those of the section's axes: x to the right, y up. A weight acts plumb: where the member
slopes or has crossfall it has components across and along it. Every load with a force names its
place, since the torque follows from it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ..model.load import LineLoad, Load, Place, PointLoad, SelfWeight
from ..model.pattern import by_half, by_span
from .positions import Along, Points

_FORCES = ("F_x", "F_y", "F_z")
_MOMENTS = ("M_x", "M_y", "T")
_LINES = ("q_x", "q_y", "q_z")
_POINT_KEYS = (*_FORCES, *_MOMENTS, "B")
_LINE_KEYS = (*_LINES, "m_t")

Pair = tuple[float, float]


def loads_of(entry: Entry, along: Along, points: Points) -> list[Load]:
    """The loads that one [[load]] table describes."""
    case, name = entry.text("case", "load"), entry.text("name")
    if not case:
        raise InputError("case must not be empty; name the load case")
    if entry.has("at") or entry.has("every"):
        return list(_points(entry, along, points, case, name))
    return list(_lines(entry, along, points, case, name))


def self_weight(entry: Entry) -> SelfWeight:
    """The member's own weight."""
    case = entry.text("case", "self-weight")
    factor = entry.plain("factor", 1.0)
    wedge = entry.flag("wedge")
    entry.close()
    assert factor is not None
    return SelfWeight(entry.units.gravity * factor, wedge, case)


def _points(entry: Entry, along: Along, points: Points, case: str, name: str) -> list[PointLoad]:
    _refuse(entry, _LINE_KEYS, "belongs to a load along the member; leave at out")
    if entry.has("at") and entry.has("every"):
        raise InputError("give either at or every, not both")
    stations = along.row(entry) if entry.has("every") else along.positions(entry)
    entry.plain("span")
    share = _share(entry)
    x, y, z = (entry.quantity(key, "force") or 0.0 for key in _FORCES)
    weight = along.pitch.weight(_weight(entry, "force", _FORCES))
    x, y, z = (a + b for a, b in zip((x, y, z), weight, strict=True))
    m_x, m_y, torque = (entry.quantity(key, "moment") or 0.0 for key in _MOMENTS)
    bimoment = entry.quantity("B", "bimoment") or 0.0
    place = _place(entry, points, bool(x or y or z))
    entry.close()
    if not any((x, y, z, m_x, m_y, torque, bimoment)):
        raise InputError('it has no force; write weight = "14 kN" (or F_y, M_x, T, ...)')
    label = name or case
    return [
        PointLoad(
            at,
            (x, y, z),
            place,
            (m_x, m_y, torque),
            bimoment,
            case,
            label if len(stations) == 1 else f"{label} at {along.shown(at)}",
            as_mass=share,
        )
        for at in stations
    ]


def _lines(
    entry: Entry, along: Along, points: Points, case: str, name: str
) -> tuple[LineLoad, ...]:
    _refuse(entry, _POINT_KEYS, "belongs to a load at a station; say at or every")
    start, end = along.reach(entry)
    x, y, z = (_pair(entry, key, "line load") for key in _LINES)
    first, last = (along.pitch.weight(size) for size in _weights(entry))
    x, y, z = (
        (pair[0] + a, pair[1] + b) for pair, a, b in zip((x, y, z), first, last, strict=True)
    )
    torque = _pair(entry, "m_t", "line moment")
    measure = entry.choice("measured_along", ("axis", "own line", "plan"), "axis")
    if measure == "plan":
        run = math.cos(along.pitch.slope)
        x, y, z, torque = ((a * run, b * run) for a, b in (x, y, z, torque))
    split, width = entry.flag("by_span"), entry.length("by_half_of")
    if width is not None and not width > 0:
        raise InputError(f"by_half_of is a width, got {entry.table['by_half_of']!r}")
    place = _place(entry, points, any((*x, *y, *z)))
    share = _share(entry)
    entry.close()
    if not any((*x, *y, *z, *torque)):
        raise InputError('it has no force; write weight = "3.2 kN/m" (or q_y, m_t, ...)')
    load = LineLoad(
        start,
        end,
        (x[0], y[0], z[0]),
        (x[1], y[1], z[1]),
        place,
        torque[0],
        torque[1],
        "line" if measure == "own line" else "axis",
        case,
        name or case,
        as_mass=share,
    )
    parts = by_span(load, along.spans) if split else (load,)
    return parts if width is None else tuple(h for part in parts for h in by_half(part, width))


def _place(entry: Entry, points: Points, needed: bool) -> Any:
    if needed or entry.has("place") or entry.has("eccentricity"):
        return points.load_place(entry)
    return Place()


def _share(entry: Entry) -> float:
    """Key `as_mass`: a share of the weight, or true for all of it."""
    if isinstance(entry.table.get("as_mass"), bool):
        return 1.0 if entry.flag("as_mass") else 0.0
    return entry.plain("as_mass", 0.0) or 0.0


def _weight(entry: Entry, quantity: str, others: tuple[str, ...]) -> float:
    """The downward force of key `weight`."""
    if not entry.has("weight"):
        return 0.0
    if entry.has(others[1]):
        raise InputError(f"give either weight (downward) or {others[1]} (upward), not both")
    weight = entry.quantity("weight", quantity)
    assert weight is not None
    return _downward(weight, entry)


def _weights(entry: Entry) -> Pair:
    if not entry.has("weight"):
        return (0.0, 0.0)
    if entry.has("q_y"):
        raise InputError("give either weight (downward) or q_y (upward), not both")
    first, last = _pair(entry, "weight", "line load")
    return (_downward(first, entry), _downward(last, entry))


def _downward(weight: float, entry: Entry) -> float:
    if weight < 0:
        raise InputError(
            f"weight acts downward and is not negative, got {entry.table['weight']!r}; "
            "write an upward force as F_y or q_y"
        )
    return weight


def _pair(entry: Entry, key: str, quantity: str) -> Pair:
    """A value along the member: one, or [start, end]."""
    if not entry.has(key):
        return (0.0, 0.0)
    value = entry.table[key]
    read: Callable[[Any], float] = lambda v: entry.units.read(v, quantity, what=key)  # noqa: E731
    if not isinstance(value, list):
        return (read(value), read(value))
    if len(value) != 2:
        raise InputError(f"{key} is one value, or [at the start, at the end], got {value!r}")
    return (read(value[0]), read(value[1]))


def _refuse(entry: Entry, keys: tuple[str, ...], why: str) -> None:
    for key in keys:
        if key in entry.table:
            raise InputError(f"{key} {why}")
