"""Spans of a member file: lengths, and the line they follow in plan.

::

    [[span]]
    length = "30 m"
    radius = "60 m"          # an arc; its centre on the +x side of the section, - on the other

    [[span]]
    plan = [{ straight = "6 m" }, { arc = "9 m", radius = "-40 m" }]

    [[span]]                 # a clothoid: curvature linear along it; a radius left out is straight
    length = "12 m"
    radius_start = "40 m"
    radius_end = "90 m"      # in a plan: { transition = "12 m", radius_end = "40 m" }

    [[kink]]                 # both pieces end in the plane that bisects the angle
    at = "end of span 1"     # a position, or a list of them
    angle = "12 deg"         # positive toward +x, as a positive radius turns
    warping = "held"         # by a plate there; "free"; default: "continuous", flanges run through
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import chain, pairwise
from typing import Any

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry, naming
from ....geometry.units import Units
from ..model.axis import Arc, Axis, Kink, Straight
from ..model.axis_piece import Piece, Transition
from . import member_tables
from .positions import Along

_ENDS = ("radius_start", "radius_end")
#: The least share of a member's length that a piece of its axis may have.
_LEAST = 1e-9


def axis_of(
    table: Mapping[str, Any], closed: bool, units: Units
) -> tuple[Axis, tuple[tuple[float, float], ...]]:
    """The axis of all spans of a file's tables in order, with its kinks, and the (start, end) of
    each span."""
    tables = table.get("span")
    if not isinstance(tables, list) or not tables:
        raise InputError('there is no span; write [[span]] and below it length = "6 m"')
    of_spans: list[list[Piece]] = []
    ends = [0.0]
    for n, row in enumerate(tables, 1):
        entry = Entry("span", n, row, units)
        with naming(entry.label):
            of_spans.append(_pieces(entry))
            ends.append(ends[-1] + sum(piece.length for piece in of_spans[-1]))
    pieces = list(chain.from_iterable(of_spans))
    # The last end is the axis's own sum, so that both agree to the last digit.
    ends[-1] = math.fsum(piece.length for piece in pieces)
    for n, own in enumerate(of_spans, 1):
        if min(piece.length for piece in own) <= _LEAST * ends[-1]:
            raise InputError(
                f"span {n}: its length, or a piece's of its plan, is lost beside the member's "
                f"(less than {_LEAST:g} of it); leave it out or mend it"
            )
    spans = tuple(pairwise(ends))
    along = Along(spans, units)
    kinks = member_tables.every(table, "kink", units, lambda e: _kinks(e, along))
    return Axis(tuple(pieces), closed, tuple(kinks)), spans


def _kinks(entry: Entry, along: Along) -> list[Kink]:
    """The kinks of one table."""
    stations = along.positions(entry)
    entry.plain("span")
    entry.need("angle", '"12 deg"')
    angle = entry.angle("angle")
    warping = entry.choice("warping", ("continuous", "free", "held"), "continuous")
    entry.close()
    assert angle is not None
    return [
        Kink(z, angle, warping, f"kink at {along.shown(z)}")  # type: ignore[arg-type]
        for z in stations
    ]


def _pieces(entry: Entry) -> list[Piece]:
    entry.text("name")
    if entry.has("plan"):
        rows = entry.table["plan"]
        if not isinstance(rows, list) or not rows or not all(isinstance(r, dict) for r in rows):
            raise InputError(
                'plan is a list of { straight = "6 m" }, { arc = "8 m", radius = "40 m" } and '
                '{ transition = "12 m", radius_end = "40 m" }'
            )
        if any(entry.has(key) for key in ("length", "radius", *_ENDS)):
            raise InputError("give either plan, or length and radius of one piece; not both")
        entry.close()
        return [_piece(Entry("piece", k, r, entry.units)) for k, r in enumerate(rows, 1)]
    length = _positive(entry, "length", '"6 m"')
    if any(entry.has(key) for key in _ENDS):
        return [_transition(entry, length)]
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
        if entry.has("transition"):
            return _transition(entry, _positive(entry, "transition", '"12 m"'))
        length = _positive(entry, "straight", '"6 m"')
        entry.close()
        return Straight(length)


def _transition(entry: Entry, length: float) -> Transition:
    """A clothoid between two radii."""
    if entry.has("radius"):
        raise InputError("give either radius, or radius_start and radius_end; not both")
    ends = [entry.length(key) for key in _ENDS]
    entry.close()
    if all(radius is None for radius in ends):
        raise InputError(
            'a transition needs radius_start or radius_end, like radius_end = "40 m"; one that is '
            "left out is straight there"
        )
    for key, radius in zip(_ENDS, ends, strict=True):
        if radius == 0:
            raise InputError(f"{key} must not be 0; leave it out for a straight end")
    first, last = (0.0 if radius is None else 1 / radius for radius in ends)
    return Transition(length, first, last)


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
