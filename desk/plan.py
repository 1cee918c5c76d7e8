"""A member seen from above: its axis, what holds it, what acts on it, and what can be dragged."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..geometry.section_file.text import parsed
from ..report.member.units import MemberUnits
from ..report.page.packing import floats
from ..solver.member.file.request import MemberRequest
from ..solver.member.model.axis import Axis
from ..solver.member.model.member import Member
from .plan_handles import Handle, curve_handles, plan_handles

Array = NDArray[np.float64]

#: Points of an axis that is drawn.
_POINTS = 61


def plan(request: MemberRequest) -> dict[str, Any]:
    """What stands along the member, in the unit that is shown: stations along a straight one,
    [x, y] as seen from above (y toward the section's +x) on the axis of a curved one."""
    units = MemberUnits(request.units)
    along = units.factor("along")
    member = request.member
    axis = member.axis

    def place(z: float) -> Any:
        return spot(axis, z, along) if axis.curved else z * along

    def line(start: float, end: float, aside: float = 0.0) -> dict[str, Any]:
        x, ahead, heading = axis.plan(np.linspace(start, end, _POINTS))
        beside = np.stack([-np.sin(heading), np.cos(heading)], axis=1) * aside
        return floats((np.stack([ahead, x], axis=1) + beside) * along)

    loads = []
    for load in member.loads:
        start, end = _reach(load, member.length)
        aside = _aside(member, load, start)
        acts: dict[str, Any]
        if end > start:
            acts = {"line": line(start, end, aside)}
        else:
            acts = {"at": spot(axis, start, along, aside)}
        loads.append({"name": load.name, "case": load.case, **acts})
    return {
        "unit": units.unit("along"),
        "length": member.length * along,
        "axis": line(0.0, member.length) if axis.curved else None,
        "width": _width(request) * along,
        "supports": [{"at": place(s.at), "name": s.name} for s in member.supports],
        "diaphragms": [place(d.at) for d in member.diaphragms],
        "loads": loads,
    }


def handles_in_plan(text: str, request: MemberRequest) -> list[Handle]:
    """Handles of the member's text, at their places in plan."""
    along = MemberUnits(request.units).factor("along")
    axis, table = request.member.axis, parsed(text)
    found = plan_handles(table, along)
    for handle in found:
        _lay(handle, axis, along)
    return found + list(_radii(table, axis, along))


def spot(axis: Axis, z: float, along: float, aside: float = 0.0) -> list[float]:
    """The place of a station, or `aside` of it toward the section's +x."""
    x, ahead, heading = (float(v[0]) for v in axis.plan([z]))
    return [
        (ahead - np.sin(heading) * aside) * along,
        (x + np.cos(heading) * aside) * along,
    ]


def _lay(handle: Handle, axis: Axis, along: float) -> None:
    """A handle of a straightened plan, [station, aside], goes to its place beside the axis."""
    station, aside = (float(c) for c in handle["place"])
    _, _, heading = (float(v[0]) for v in axis.plan([station / along]))
    across = bool(handle["direction"][1])
    handle["place"] = spot(axis, station / along, along, aside / along)
    turn = [-np.sin(heading), np.cos(heading)] if across else [np.cos(heading), np.sin(heading)]
    handle["direction"] = [float(c) for c in turn]


def _radii(table: Mapping[str, Any], axis: Axis, along: float) -> Iterator[Handle]:
    """Radii by the place that moves with them: the middle of the span or piece that has one."""
    for start, arc, radius, handle in curve_handles(table, along):
        x, ahead, heading = (float(v[0]) for v in axis.plan([start / along]))
        back = np.array([[np.cos(heading), -np.sin(heading)], [np.sin(heading), np.cos(heading)]])

        def middle(r: float, arc: float = arc) -> Array:
            return np.array([r * np.sin(arc / r / 2), r * (1 - np.cos(arc / r / 2))])

        step = 1e-4 * radius
        speed = back @ (middle(radius + step) - middle(radius)) / step
        size = float(np.hypot(*speed))
        if not size > 0:
            continue
        handle["place"] = [float(c) for c in np.array([ahead, x]) * along + back @ middle(radius)]
        handle["direction"] = [float(c) for c in speed / size]
        handle["gain"] /= size
        yield handle


def _aside(member: Member, load: Any, z: float) -> float:
    """How far from the axis toward the section's +x a load stands."""
    place = getattr(load, "place", None)
    if place is None or not hasattr(load, "force"):
        return 0.0
    return member.locate(place, member.section_at(z))[0] - member.line[0]


def _width(request: MemberRequest) -> float:
    """The widest of the sections that have an outline; 0 where none has."""
    known = [s.result.section.bounds() for s in request.sections.values() if s.result is not None]
    return max((float(b[2] - b[0]) for b in known), default=0.0)


def _reach(load: Any, length: float) -> tuple[float, float]:
    """Stations between which a load acts; all along where it says nothing."""
    at = getattr(load, "at", None)
    if at is not None:
        return float(at), float(at)
    return float(getattr(load, "start", 0.0)), float(getattr(load, "end", length))
