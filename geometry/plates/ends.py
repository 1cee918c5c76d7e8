"""How the ends of plates meet other plates: butted against a face, lapped or mitred at a corner.

Only shapes are decided here; nothing is joined by it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from ..errors import GeometryError
from .carrier import Edge
from .offset import left_of, mitred
from .path import place
from .plate import Plate
from .strip import Strip, lengthened

Array = NDArray[np.float64]

#: Ends closer than this share of the section's size meet in one point: coordinates are typed with a
#: few digits.
MEETING = 1e-6
#: Sine of the angle below which a plate runs along another instead of ending on it.
ALONGSIDE = 0.05


@dataclass(frozen=True, slots=True)
class _End:
    plate: int
    last: bool


def fitted_strips(plates: Sequence[Plate]) -> tuple[list[Strip], list[str]]:
    """Strips of all plates with their ends shaped to each other, and notes on what was done.

    An end that lies in or on another plate away from that plate's own ends is butted against its
    face. Two ends in one point make a corner, lapped or mitred as the later plate asks.

    Raises
    ------
    GeometryError
        When three ends meet in one point, or an end cannot be shaped.
    """
    strips = [plate.strip() for plate in plates]
    raw = tuple(strips)
    everything = np.vstack([strip.line.points for strip in raw])
    tolerance = MEETING * float(np.hypot(*np.ptp(everything, axis=0)))
    notes: list[str] = []
    corner_ends: list[_End] = []
    for i, strip in enumerate(raw):
        for end in () if strip.ring else (_End(i, False), _End(i, True)):
            host = _host(raw, end, tolerance)
            if host is None:
                corner_ends.append(end)
                continue
            j, from_left = host
            _shape(plates, strips, end, partial(_butted, host=raw[j], from_left=from_left))
            notes.append(f"plate {plates[i].name!r} ends on the face of {plates[j].name!r}")
    for group in _groups(raw, corner_ends, tolerance):
        if len(group) == 2:
            notes.extend(_corner(plates, raw, strips, *group))
        elif len(group) > 2:
            point = _end_point(raw, group[0])
            names = ", ".join(repr(plates[e.plate].name) for e in group)
            raise GeometryError(
                f"plates {names} all end at {place(point)}; let one run through the point, or end "
                "each on the "
                "face of another"
            )
    return strips, notes


def _oriented(strips: Sequence[Strip], end: _End) -> Strip:
    return strips[end.plate] if end.last else strips[end.plate].reversed()


def _end_point(strips: Sequence[Strip], end: _End) -> Array:
    point: Array = strips[end.plate].line.points[-1 if end.last else 0]
    return point


def _shape(
    plates: Sequence[Plate], strips: list[Strip], end: _End, change: Callable[[Strip], Strip]
) -> None:
    """Apply a change to one end of a strip, whichever end that is."""
    try:
        shaped = change(_oriented(strips, end))
    except GeometryError as error:
        raise GeometryError(f"plate {plates[end.plate].name!r}: {error}") from error
    strips[end.plate] = shaped if end.last else shaped.reversed()


def _butted(strip: Strip, host: Strip, from_left: bool) -> Strip:
    face = host.left if from_left else host.right
    reach = 0.0 if host.ring else strip.thickness_at_end()
    wide = lengthened(face, reach, reach) if reach else face
    return strip.cut_by(wide, strip.line.points[-1])


def _host(strips: Sequence[Strip], end: _End, tolerance: float) -> tuple[int, bool] | None:
    """The plate an end lies in or on, away from its ends, and whether it comes from the left."""
    point = _end_point(strips, end)
    outward = _oriented(strips, end).end_direction()
    for j, host in enumerate(strips):
        if j == end.plate:
            continue
        foot, normal = _foot(host, point)
        if (
            not host.ring
            and min(np.hypot(*(foot - host.line.points[k])) for k in (0, -1)) <= tolerance
        ):
            continue
        if not host.holds(point, foot, normal, tolerance):
            continue
        side = float(-outward @ normal)
        if abs(side) < ALONGSIDE:
            continue
        return j, side > 0
    return None


def _foot(strip: Strip, point: Array) -> tuple[Array, Array]:
    """Nearest point on a strip's line, and the left normal there."""
    feet = [Edge.of(strip.line, k).nearest(point) for k in range(len(strip.line))]
    foot, direction = min(feet, key=lambda f: float(np.hypot(*(f[0] - point))))
    return foot, left_of(direction)


def _groups(strips: Sequence[Strip], ends: Sequence[_End], tolerance: float) -> list[list[_End]]:
    """Ends that lie in one point."""
    groups: list[list[_End]] = []
    for end in ends:
        point = _end_point(strips, end)
        for group in groups:
            if np.hypot(*(point - _end_point(strips, group[0]))) <= tolerance:
                group.append(end)
                break
        else:
            groups.append([end])
    return groups


def _corner(
    plates: Sequence[Plate], raw: Sequence[Strip], strips: list[Strip], first: _End, second: _End
) -> list[str]:
    """Shape two ends that meet in a point; `first` belongs to the plate listed first."""
    a, b = _oriented(raw, first), _oriented(raw, second)
    point = a.line.points[-1]
    da, db = a.end_direction(), b.end_direction()
    names = f"{plates[first.plate].name!r} and {plates[second.plate].name!r}"
    if abs(da[0] * db[1] - da[1] * db[0]) < ALONGSIDE:
        if da @ db > 0:
            raise GeometryError(
                f"plates {names} lie on each other where they end at {place(point)}; move one"
            )
        return []  # one goes on from the other: their square ends touch
    if plates[second.plate].corner == "mitre":
        go_on = b.reversed()
        pairs = []
        for face_a, face_b in ((a.left, go_on.left), (a.right, go_on.right)):
            pairs.append(mitred(Edge.of(face_a, -1), Edge.of(face_b, 0), point))
        (left_a, left_b), (right_a, right_b) = pairs
        _shape(plates, strips, first, lambda s: s.ended_at(left_a, right_a))
        _shape(
            plates, strips, second, lambda s: s.ended_at(right_b.backwards(), left_b.backwards())
        )
        return [f"plates {names} are mitred at {place(point)}"]
    reach = 4 * (a.thickness_at_end() + b.thickness_at_end())
    outer = max((b.left, b.right), key=lambda face: float((face.points[-1] - point) @ da))
    inner = a.left if -db @ left_of(da) > 0 else a.right
    _shape(plates, strips, first, lambda s: s.cut_by(lengthened(outer, 0.0, reach), point))
    _shape(plates, strips, second, lambda s: s.cut_by(lengthened(inner, 0.0, reach), point))
    return [
        f"plate {plates[first.plate].name!r} runs over the end of {plates[second.plate].name!r} at "
        f"{place(point)}"
    ]
