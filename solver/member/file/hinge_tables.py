"""Hinges of a member file.

::

    [[hinge]]
    at = ["4 m", "11 m"]           # between the member's ends; a position or a list of them
    kind = "pin"                   # passes all but bend_x; or "half-joint": all but bend_x, bend_y
                                   # and z; default: all passes on but what is stated below
    bend_x = "free"                # any freedom: x, y, z, bend_x, bend_y, twist:
    twist = "2 MN*m/rad"           # "continuous", "free" or a stiffness
    warping = "held"               # by an end plate on either side; "continuous"; default: "free"
    point = "bottom"               # the pieces turn about it; default: they bend about the
                                   # centroid and twist about the shear centre
    seats = [[-0.9, -1.2], [0.9, -1.2]]   # two bearings whose forces are told
    name = "drop-in span"

Supports and loads at its station act on the piece before it, and may not take hold of what it
parts.
"""

from __future__ import annotations

from typing import Any

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ..model.hinge import PASSED, Hinge, Passing
from .positions import Along, Points
from .support_tables import stiffness

_KINDS: dict[str, dict[str, Passing]] = {
    "": {},
    "pin": {"bend_x": "free"},
    "half-joint": {"bend_x": "free", "bend_y": "free", "z": "free"},
}
_SPRING = {"x": "spring", "y": "spring", "z": "spring"}
WARPING = ("free", "held", "continuous")


def hinges_of(entry: Entry, along: Along, points: Points) -> list[Hinge]:
    """The hinges of one table."""
    stations = along.positions(entry)
    entry.plain("span")
    stated: dict[str, Any] = dict(_KINDS[entry.choice("kind", tuple(k for k in _KINDS if k), "")])
    for freedom in PASSED:
        if entry.has(freedom):
            stated[freedom] = _passing(entry, freedom)
    stated["warping"] = entry.choice("warping", WARPING, "free")
    if entry.has("point"):
        stated["point"] = points.where(entry, "point")
    if entry.has("seats"):
        stated["seats"] = tuple(entry.vertices(entry.table["seats"], "seats")[0])
    name = entry.text("name")
    entry.close()
    made = []
    for n, z in enumerate(stations, 1):
        title = f"{name} {n}" if name and len(stations) > 1 else name
        made.append(Hinge(z, name=title or f"hinge at {along.shown(z)}", **stated))
    return made


def _passing(entry: Entry, freedom: str) -> Passing:
    value = entry.table[freedom]
    if value in ("continuous", "free"):
        return str(value)  # type: ignore[return-value]
    if isinstance(value, bool) or (isinstance(value, str) and not any(map(str.isdigit, value))):
        raise InputError(
            f'{freedom} is "continuous", "free" or a stiffness, got {str(value)[:60]!r}'
        )
    return stiffness(entry, freedom, _SPRING.get(freedom, "rotational spring"))
