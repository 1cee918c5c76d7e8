"""Limits in a member's report: value, allowance, how much is used, and in words."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from ..data_table import DataTable
from ..text.blocks import HeadedRows, Passage
from ..text.number import number
from .slip import worst_use
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment
    from ...solver.member.review.judgement import LimitRow
    from ...solver.member.staged.assessment import StagedAssessment

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
    if _factored(assessment):
        notes.append(
            "Limits of twist and deflection are taken under factored combinations of strength too, "
            'since they name none: combinations = ["characteristic"] makes them limits of '
            "serviceability."
        )
    if assessment.customary:
        notes.append(
            "The file sets no limit; the customary twist limit is shown. Set your own with "
            "[[limit]] tables."
        )
    return notes


def _factored(assessment: Assessment) -> bool:
    """Whether a limit of movement that names no combinations is governed by a standard's set for
    strength."""
    from ...solver.member.influence.bearing_schedule import states_of

    envelope = assessment.envelope
    if envelope is None or len(states_of(envelope)) == 1:
        return False
    return any(
        item.kind in ("twist", "displacement") and item.row.combination.startswith("strength ")
        for item in assessment.limits
    ) and any(not getattr(limit, "combinations", ()) for limit in assessment.request.limits)


def limit_value(item: LimitRow, value: float, units: MemberUnits) -> str:
    """A value or an allowance with its unit."""
    if item.kind in ("ratio", "critical"):
        return number(value, 3)
    if item.kind == "frequency":
        return f"{number(value, 3)} Hz"
    return units.text(value, _QUANTITY[item.kind], 3)


def limit_table(assessment: Assessment | StagedAssessment) -> DataTable:
    """Every limit as a row, values in the unit beside them; of a staged member with its stage."""
    from ...solver.member.review.assessment import Assessment

    units = MemberUnits(assessment.request.units)
    rows: list[dict[str, Any]] = []
    pairs: list[tuple[str | None, LimitRow]]
    if isinstance(assessment, Assessment):
        pairs = [(None, item) for item in assessment.limits]
    else:
        pairs = [(stage.name, item) for stage, item in assessment.limits]
    for stage, item in pairs:
        row, quantity = item.row, _QUANTITY.get(item.kind)
        factor = units.factor(quantity) if quantity else 1.0
        unit = units.plain(quantity) if quantity else "Hz" * (item.kind == "frequency")
        found: dict[str, Any] = {} if stage is None else {"stage": stage}
        rows.append(
            found
            | {
                "limit": row.limit,
                "value": abs(row.value) * factor,
                "allowed": row.allowed * factor,
                "unit": unit,
                "used": row.ratio,
                "passed": row.passed,
                "at": None if math.isnan(row.station) else row.station * units.factor("along"),
                "combination": row.combination,
                "source": row.source,
            }
        )
    title = f"{assessment.request.member.name}, limits"
    return DataTable.of_rows(rows, {"at": units.plain("along")}, title)


def remedy_table(assessment: Assessment) -> DataTable:
    """Every remedy as a row; the first one is the member as it stands."""
    units = MemberUnits(assessment.request.units)
    angle, stress = units.factor("angle"), units.factor("stress")
    rows = [
        {
            "remedy": c.title,
            "twist": None if c.twist is None else c.twist * angle,
            "relative twist": c.twist_ratio,
            "stress": None if c.stress is None else c.stress * stress,
            "relative stress": c.stress_ratio,
            "failure": c.failure or None,
        }
        for c in assessment.cures
    ]
    found = {"twist": units.plain("angle"), "stress": units.plain("stress")}
    return DataTable.of_rows(rows, found, f"{assessment.request.member.name}, remedies")
