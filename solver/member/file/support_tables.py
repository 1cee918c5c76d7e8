"""Supports of a member file.

::

    [[support]]
    at = "start"                   # a position, or a list of them
    kind = "fork"                  # or "warping held", "fixed", "bearing pair"; default: all free
    name = "pier 1"
    x = "held"                     # any freedom: x, y, z, bend_x, bend_y, twist, warping:
    twist = "900 kN*m/rad"         # "free", "held" or a stiffness
    point = [0, -290]              # held point, or "bottom"; default: between bearings, at their
                                   # level where it is given; else the shear centre
    lever_arm = "400 mm"           # of the connection's flanges or bolt rows
    clearance = "1 mm"             # of bolt holes: a slip in twist over clearance_arm
    clearance_arm = "200 mm"       # or as an angle: twist_slip = "0.3 deg"
    joint = "girder end"           # at an end: what it holds, see `named_joints`
    plumb = true                   # on a slope: x, y, z and bearings level across, vertical and
                                   # level along; default: along the member's own axes

    [[support]]
    at = "end"
    kind = "bearing pair"
    spacing = "3 m"                # also centre (0), level (the point's), stiffness (rigid),
    holds_down = true              # default: may uplift

    [[support]]
    at = "middle"
    bearings = [{ x = -800 }, { x = 700, y = -900, stiffness = "200 kN/mm", holds_down = true }]
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry, naming
from ..model.faces import Height
from ..model.restraint import play_angle
from ..model.support import (
    FREEDOMS,
    Bearing,
    Hold,
    Support,
    bearing_pair,
    fixed,
    fork,
    warping_held,
)
from .named_joints import NamedJoints, check_end
from .positions import Along, Points, level_of

if TYPE_CHECKING:
    from ...joint.detail import JointDetail

_MAKERS: dict[str, Callable[..., Support]] = {
    "fork": fork,
    "warping held": warping_held,
    "fixed": fixed,
    "": Support,
}
KINDS = ("fork", "warping held", "fixed", "bearing pair")
_PAIR = ("spacing", "centre", "level", "stiffness", "holds_down")
_QUANTITY = {"x": "spring", "y": "spring", "z": "spring", "warping": "warping spring"}


def supports_of(entry: Entry, along: Along, points: Points, joints: NamedJoints) -> list[Support]:
    """The supports that one [[support]] table describes."""
    stations = along.positions(entry)
    entry.plain("span")
    if entry.text("kind") == "bearing":
        raise InputError("a single bearing has no kind: list it as bearings = [{ x = 0 }]")
    kind = entry.choice("kind", KINDS, "")
    joint = joints.named(entry)
    if joint is not None:
        for z in stations:
            check_end(z, along.length, along.shown(z))
    stated: dict[str, Any] = {
        freedom: value for freedom in FREEDOMS if (value := _hold(entry, freedom)) is not None
    }
    stated["twist_slip"] = play(entry, "twist_slip")
    changes = _by_joint(joint, joints, stated)
    if entry.has("lever_arm"):
        changes["lever_arm"] = positive_length(entry, "lever_arm")
    if kind == "bearing pair":
        entry.need("spacing", '"3 m"')
        pair: dict[str, Any] = {
            key: figure for key in _PAIR if (figure := _bearing_figure(entry, key)) is not None
        }
        make: Callable[..., Support] = bearing_pair
        changes |= pair
    else:
        make = _MAKERS[kind]
        _check_no_pair(entry)
        bearings = _bearings(entry)
        if bearings:
            changes |= {"bearings": bearings, "x": changes.get("x", "held")}
            if "y" not in changes:
                changes["y"] = "free"
    name = entry.text("name")
    if entry.flag("plumb"):
        changes["plumb"] = True
    if entry.has("point"):
        changes["point"] = points.where(entry, "point")
    entry.close()
    made = []
    for n, z in enumerate(stations, 1):
        title = f"{name} {n}" if name and len(stations) > 1 else name
        made.append(make(z, name=title or f"support at {along.shown(z)}", **changes))
    return made


def _check_no_pair(entry: Entry) -> None:
    """Refuse what only a pair of bearings has."""
    key = next((key for key in _PAIR if entry.has(key)), None)
    if key is not None:
        own = "y" if key == "level" else key
        each = "" if key in ("spacing", "centre") else f", or give each of `bearings` its own {own}"
        raise InputError(f'{key} belongs to kind = "bearing pair": write that kind too{each}')


def _by_joint(
    joint: JointDetail | None, joints: NamedJoints, stated: dict[str, Any]
) -> dict[str, Any]:
    """What a joint holds, and over it what the support states itself."""
    if joint is None:
        return stated
    held = joints.holds(joint)
    if "twist" not in stated and stated["twist_slip"] == 0:
        stated["twist_slip"] = held["twist_slip"]
    return held | stated | {"joint": joint.name}


def _hold(entry: Entry, freedom: str) -> Hold | None:
    """A freedom as the file states it, None when it does not."""
    if not entry.has(freedom):
        return None
    value = entry.table[freedom]
    if value in ("free", "held"):
        return str(value)  # type: ignore[return-value]
    if isinstance(value, bool) or (isinstance(value, str) and not any(map(str.isdigit, value))):
        raise InputError(f'{freedom} is "free", "held" or a stiffness, got {str(value)[:60]!r}')
    return stiffness(entry, freedom, _QUANTITY.get(freedom, "rotational spring"))


def stiffness(entry: Entry, key: str, quantity: str) -> float:
    """A stiffness; never negative."""
    value = entry.quantity(key, quantity)
    if value is None or value < 0:
        raise InputError(f"{key}: a stiffness must not be negative, got {entry.table[key]!r}")
    return value


def positive_length(entry: Entry, key: str) -> float:
    """A length above zero."""
    value = entry.length(key)
    if value is None or not value > 0:
        raise InputError(f"{key} must be positive, got {entry.table[key]!r}")
    return value


def play(entry: Entry, key: str) -> float:
    """Slip as an angle: given as one, or as `clearance` over `clearance_arm`."""
    if entry.has("clearance") or entry.has("clearance_arm"):
        if entry.has(key):
            raise InputError(f"give either {key} or clearance and clearance_arm, not both")
        entry.need("clearance", '"1 mm"')
        entry.need("clearance_arm", '"200 mm"')
        clearance = entry.length("clearance")
        assert clearance is not None
        return play_angle(clearance, positive_length(entry, "clearance_arm"))
    angle = entry.angle(key, 0.0)
    if angle is None or angle < 0:
        raise InputError(f"{key} must be an angle of zero or more, got {entry.table[key]!r}")
    return angle


def _bearing_figure(entry: Entry, key: str) -> float | bool | Height | None:
    if key == "holds_down":
        return entry.flag(key)
    if not entry.has(key):
        return None
    if key == "stiffness":
        return stiffness(entry, key, "spring")
    if key == "level":
        return level_of(entry)
    return positive_length(entry, key) if key == "spacing" else entry.length(key)


def _bearings(entry: Entry) -> tuple[Bearing, ...]:
    """Bearings listed one by one."""
    if not entry.has("bearings"):
        return ()
    rows = entry.table["bearings"]
    if not isinstance(rows, list) or not rows or not all(isinstance(r, dict) for r in rows):
        raise InputError("bearings is a list like [{ x = -800 }, { x = 800 }]")
    found = []
    for n, row in enumerate(rows, 1):
        one = Entry("bearing", n, row, entry.units)
        with naming(one.label):
            one.need("x", "-800")
            x, y = one.length("x"), level_of(one, "y")
            spring = stiffness(one, "stiffness", "spring") if one.has("stiffness") else None
            down = one.flag("holds_down")
            one.close()
            assert x is not None
            found.append(Bearing(x, y, spring, down))
    return tuple(found)
