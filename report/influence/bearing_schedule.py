"""The bearing schedule as a table, CSV and records."""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ...solver.member.influence.bearing_schedule import (
    COLUMNS,
    ScheduleRow,
    bearing_schedule,
)
from ..files import write_text
from ..member.units import MemberUnits
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import number
from .envelope import set_words
from .standing import standing_record, standing_words

if TYPE_CHECKING:
    from ...solver.member.influence.envelope import Envelope

HEADING = "Bearing schedule"
#: Quantities below this share of the largest force, movement or rotation have no rows of their own
#: in the table.
SHOWN = 0.02

#: Unit and factor of rotations: makers count in thousandths.
_MRAD = ("mrad", 1e3)


def schedule_passage(envelope: Envelope, units: MemberUnits) -> Passage:
    """One row an extreme, everything else of the bearing at the same time beside it."""
    every = bearing_schedule(envelope)
    if not every:
        return []
    scale = _scale(every)
    told = [_group_size(scale, q) * SHOWN for q in range(len(COLUMNS))]
    rows = [row for row in every if scale[row.quantity] > told[row.quantity]]
    kept = _columns(rows)
    several = len({row.state for row in rows}) > 1
    table, before = [], ("", "", "")
    for k, row in enumerate(rows):
        where = (row.state, bearing_title(row), units.value(row.support.at, "along"))
        first = [a if where != before else "" for a in where]
        before = where
        table.append(
            (
                *(first if several else first[1:]),
                f"{COLUMNS[row.quantity][0]} {'max' if k % 2 == 0 else 'min'}",
                *(_shown(row, q, units) for q in kept),
                envelope.combinations[row.extreme.combination].name,
            )
        )
    heads = ("state", "bearing", "at") if several else ("bearing", "at")
    pairs = [_unit(q, units) for q in kept]
    grid = HeadedRows(
        (*heads, "extreme of", *(COLUMNS[q][0] for q in kept), "combination"),
        (*("" for _ in heads[:-1]), units.unit("along"), "", *(unit for unit, _ in pairs), ""),
        table,
    )
    return [grid, Sentences(schedule_words(envelope))]


def schedule_words(envelope: Envelope) -> list[str]:
    """What the columns mean."""
    words = [
        "Vertical forces push the member up. Forces across (toward +x of the section) and along "
        "act on the member, those of a support's bearings together. Movements are those of the "
        "member at the bearing's level under these loads, across and toward the member's end; "
        "rotations are about the axis across (along the member), about the axis along it (across) "
        "and about the vertical (in plan). Everything in a row acts at the same time. CSV and "
        "JSON have extremes of small quantities too, and where what travels stands.",
    ]
    sources = {one.source for one in envelope.combinations if one.source}
    return [*words, *(set_words(source) for source in sorted(sources))]


def schedule_csv(envelope: Envelope, units: MemberUnits) -> str:
    """All rows; what a support does not hold is empty."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    heads = [f"{words} ({_unit(q, units)[0]})" for q, (words, *_) in enumerate(COLUMNS)]
    along = f"at ({units.unit('along')})"
    writer.writerow(
        ["state", "bearing", along, "extreme of", "", *heads, "combination", "stands at"]
    )
    for k, row in enumerate(bearing_schedule(envelope)):
        factors = [_unit(q, units)[1] for q in range(len(COLUMNS))]
        shown = [
            "" if v is None else f"{v * f:.9g}" for v, f in zip(row.values, factors, strict=True)
        ]
        writer.writerow(
            [
                row.state, bearing_title(row), f"{row.support.at * units.factor('along'):.9g}",
                COLUMNS[row.quantity][0], "max" if k % 2 == 0 else "min", *shown,
                envelope.combinations[row.extreme.combination].name,
                standing_words(row.extreme, envelope, units),
            ]
        )  # fmt: skip
    return text.getvalue()


def write_schedule_csv(
    envelope: Envelope, units: MemberUnits, path: str | os.PathLike[str]
) -> None:
    """Write the file, whole or not at all."""
    write_text(path, schedule_csv(envelope, units))


def schedule_records(envelope: Envelope | None, units: MemberUnits) -> list[dict[str, Any]]:
    """One row an extreme."""
    if envelope is None:
        return []
    return [
        {
            "state": row.state,
            "bearing": bearing_title(row),
            "at": row.support.at * units.factor("along"),
            "extreme_of": COLUMNS[row.quantity][0],
            "extreme": "maximum" if k % 2 == 0 else "minimum",
            "combination": envelope.combinations[row.extreme.combination].name,
            "values": {
                words: {"value": None if v is None else v * _unit(q, units)[1],
                        "unit": _unit(q, units)[0]}
                for q, ((words, *_), v) in enumerate(zip(COLUMNS, row.values, strict=True))
            },
            "cases": dict(row.extreme.factors),
            "standing": standing_record(row.extreme, units),
        }
        for k, row in enumerate(bearing_schedule(envelope))
    ]  # fmt: skip


def bearing_title(row: ScheduleRow) -> str:
    """What a bearing is called: "pier 1", "abutment 2, bearing 1"."""
    if row.bearing == 0 or len(row.support.bearings) == 1:
        return row.support.title
    return f"{row.support.title}, bearing {row.bearing}"


def _unit(quantity: int, units: MemberUnits) -> tuple[str, float]:
    if quantity < 3:
        return units.unit("force"), units.factor("force")
    if quantity < 5:
        return units.unit("displacement"), units.factor("displacement")
    return _MRAD


def _group_size(scale: Sequence[float], quantity: int) -> float:
    """Largest of the forces, movements or rotations, whichever the quantity is."""
    start, end = next(g for g in ((0, 3), (3, 5), (5, 8)) if g[0] <= quantity < g[1])
    return max(scale[start:end])


def _columns(rows: Sequence[ScheduleRow]) -> list[int]:
    """Columns in which something stands."""
    return [q for q in range(len(COLUMNS)) if any(row.values[q] for row in rows)]


def _scale(rows: Sequence[ScheduleRow]) -> list[float]:
    return [max(abs(row.values[q] or 0.0) for row in rows) for q in range(len(COLUMNS))]


def _shown(row: ScheduleRow, q: int, units: MemberUnits) -> str:
    value = row.values[q]
    return "-" if value is None else number(value * _unit(q, units)[1], 4)
