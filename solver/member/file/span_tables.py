"""Spans of a member file: lengths, and the line they follow in plan.

::

    [[span]]
    length = "30 m"
    radius = "60 m"          # an arc; its centre on the +x side of the section, - on the other

    [[span]]
    plan = [{ straight = "6 m" }, { arc = "9 m", radius = "-40 m" }]
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry, naming
from ....geometry.units import Units
from ..model.axis import Arc, Axis, Straight

Piece = Straight | Arc


def axis_of(tables: object, closed: bool, units: Units) -> tuple[Axis, tuple[Any, ...]]:
    """The axis of all spans in order, and the (start, end) of each."""
    if not isinstance(tables, list) or not tables:
        raise InputError('there is no span; write [[span]] and below it length = "6 m"')
    pieces: list[Piece] = []
    ends = [0.0]
    for n, table in enumerate(tables, 1):
        entry = Entry("span", n, table, units)
        with naming(entry.label):
            own = _pieces(entry)
            pieces += own
            ends.append(ends[-1] + sum(piece.length for piece in own))
    axis = Axis(tuple(pieces), closed)
    # The last end is the axis's own sum, so that both agree to the last digit.
    ends[-1] = axis.length
    return axis, tuple(pairwise(ends))


def _pieces(entry: Entry) -> list[Piece]:
    entry.text("name")
    if entry.has("plan"):
        rows = entry.table["plan"]
        if not isinstance(rows, list) or not rows or not all(isinstance(r, dict) for r in rows):
            raise InputError(
                'plan is a list of { straight = "6 m" } and { arc = "8 m", radius = "40 m" }'
            )
        if entry.has("length") or entry.has("radius"):
            raise InputError("give either plan, or length and radius of one piece; not both")
        entry.close()
        return [_piece(Entry("piece", k, r, entry.units)) for k, r in enumerate(rows, 1)]
    length = _positive(entry, "length", '"6 m"')
    radius = entry.length("radius")
    entry.close()
    return [Straight(length) if radius is None else _arc(length, radius)]


def _piece(entry: Entry) -> Piece:
    with naming(f"plan: {entry.label}"):
        if entry.has("arc"):
            length = _positive(entry, "arc", '"8 m"')
            entry.need("radius", '"40 m"')
            radius = entry.length("radius")
            entry.close()
            assert radius is not None
            return _arc(length, radius)
        length = _positive(entry, "straight", '"6 m"')
        entry.close()
        return Straight(length)


def _positive(entry: Entry, key: str, example: str) -> float:
    value = entry.need(key, example)
    length = entry.length(key)
    if length is None or not length > 0:
        raise InputError(f"{key} must be positive, got {value!r}")
    return length


def _arc(length: float, radius: float) -> Arc:
    if radius == 0:
        raise InputError("radius must not be 0; leave it out for a straight span")
    return Arc(length, radius)
