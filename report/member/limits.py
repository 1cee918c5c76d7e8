"""Limits in a member's report: value, allowance, how much is used, and in words."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from ..text.blocks import HeadedRows, Passage
from ..text.number import number
from .slip import worst_use
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment
    from ...solver.member.review.judgement import LimitRow

_QUANTITY = {"twist": "angle", "displacement": "displacement", "stress": "stress"}


def limit_grid(assessment: Assessment, units: MemberUnits) -> Passage:
    """One line a limit."""
    rows = []
    for item in assessment.limits:
        row = item.row
        rows.append(
            [
                row.limit,
                limit_value(item, abs(row.value), units),
                limit_value(item, row.allowed, units),
                f"{100 * row.ratio:.0f} %",
                _said(assessment, item),
                "" if math.isnan(row.station) else units.value(row.station, "along"),
                row.combination,
            ]
        )
    return [
        HeadedRows(
            ["limit", "value", "allowed", "used", "", "at", "combination"],
            ["", "", "", "", "", units.unit("along"), ""],
            rows,
        )
    ]


def _said(assessment: Assessment, item: LimitRow) -> str:
    """The verdict; where it holds for centred joints alone, that too."""
    use = worst_use(assessment, item)
    if use is None:
        return verdict(item)
    return f"OK centred, worst slip EXCEEDED ({100 * use:.0f} %)"


def verdict(item: LimitRow) -> str:
    """One word."""
    return "OK" if item.row.passed else "EXCEEDED"


def limit_notes(assessment: Assessment) -> list[str]:
    """Where the limits come from, each source once."""
    sources: dict[str, list[str]] = {}
    for item in assessment.limits:
        if item.row.provenance != "given" or "strength" in item.row.limit:
            known = f" ({item.row.provenance})" if item.row.provenance != "given" else ""
            sources.setdefault(f"{item.row.source}{known}", []).append(item.row.limit)
    notes = [
        f"Source of the limit {' and '.join(dict.fromkeys(titles))!s}: {source}."
        for source, titles in sources.items()
    ]
    if assessment.customary:
        notes.append(
            "The file sets no limit; the customary twist limit is shown. Set your own with "
            "[[limit]] tables."
        )
    return notes


def limit_value(item: LimitRow, value: float, units: MemberUnits) -> str:
    """A value or an allowance with its unit."""
    if item.kind == "ratio":
        return number(value, 3)
    if item.kind == "frequency":
        return f"{number(value, 3)} Hz"
    return units.text(value, _QUANTITY[item.kind], 3)
