"""Modes of vibration and of buckling in motion, in the form of a member's deformed sections: the
modes stand where the combinations do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from ..geometry.errors import InputError
from ..report.member.units import MemberUnits
from ..report.page.live_shape import STATIONS, Piece, pieces_of, shape_of_pieces
from ..report.text.number import number
from ..report.vibration.result import ModesResult
from ..report.vibration.table import hertz

if TYPE_CHECKING:
    from ..solver.member.review.assessment import Assessment


def swinging(result: ModesResult) -> dict[str, Any]:
    """Natural modes, and in words how fast each of them is."""
    vibration, outlines = result.vibration, result.outlines
    member, course = vibration.member, vibration.course
    pieces: list[Piece]
    if course is not None:
        pieces = pieces_of(course)
    else:
        pieces = []
        for segment in member.segments:
            edges, rows = outlines.rows((segment.start + segment.end) / 2)
            pieces.append((segment.start, segment.end, edges, rows[:, :, :2]))
    z = np.linspace(0.0, member.length, STATIONS)
    a = np.stack([outlines.functions(float(s)) for s in z]) * outlines.shapes.scale
    words = [
        f"mode {k}: {hertz(float(f))} Hz, {name}"
        for k, (f, name) in enumerate(zip(vibration.frequencies, vibration.names, strict=True), 1)
    ]
    return {
        "what": "vibration",
        "words": words,
        "stations": [float(at) * result.units.factor("along") for at in outlines.shapes.largest_at],
        "shape": shape_of_pieces(pieces, z, a, result.units, carried=True),
    }


def buckling(assessment: Assessment) -> dict[str, Any]:
    """The lowest mode of every combination that buckles.

    Raises
    ------
    InputError
        Where there is none to be shown, in words.
    """
    found = assessment.stability
    if found is None:
        raise InputError(
            "buckling modes are those of sections that deform; choose that theory for this member"
            + (f" ({assessment.alone})" if assessment.alone else "")
        )
    if isinstance(found, str):
        raise InputError(f"there is no buckling mode to show: {found}")
    if found.beyond is not None:
        raise InputError(
            f"no mode to show: the member buckles beyond {number(found.beyond, 3)} times its loads"
        )
    state = found.buckling.state
    shown = [
        (row, factors.modes[0])
        for row, factors in zip(found.rows, found.buckling.factors, strict=True)
        if row.movement is not None
    ]
    if state is None or not shown:
        raise InputError("the member does not buckle under these loads")
    units = MemberUnits(assessment.request.units)
    course, length = state.frame.course, state.frame.member.length
    z = np.linspace(0.0, length, STATIONS)
    columns = [mode.field.at(z)[1][..., 0] for _, mode in shown]
    a = np.stack([column / np.abs(column).max() for column in columns], axis=2)
    words, stations = [], []
    for row, _ in shown:
        assert row.movement is not None
        words.append(f"{row.name}: {row.movement.movement.words} at {number(row.factor, 4)} times")
        stations.append(row.movement.at * units.factor("along"))
    return {
        "what": "buckling",
        "words": words,
        "stations": stations,
        "shape": shape_of_pieces(pieces_of(course), z, a, units, carried=True),
    }
