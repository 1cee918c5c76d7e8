"""Compared sections as one JSON object."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ...geometry.units import Units
    from ...solver.study.choice.comparison import Comparison
    from ...solver.study.choice.member_outcome import MemberOutcome


def compare_json(
    comparison: Comparison,
    sources: Sequence[str],
    members: Sequence[MemberOutcome | str] = (),
    units: Units | None = None,
) -> str:
    """The record as indented JSON text; what has no number is null.

    Lengths are in `length_unit` (of the sections) and `member_units` (of the member), stresses in
    the unit that goes with them, twist in degrees.
    """
    rows = []
    for k, (p, ratios) in enumerate(zip(comparison.properties, comparison.ratios, strict=True)):
        row: dict[str, Any] = {
            "source": sources[k],
            "scale": comparison.factors[k],
            "properties": p.record(),
            "ratios": asdict(ratios),
        }
        if members:
            row["member"] = _member(members[k])
        rows.append(row)
    record = {
        "length_unit": comparison.unit,
        "equal": comparison.equal or None,
        "by_material": comparison.by_material,
        "by_strength": comparison.by_strength,
        "member_units": None if units is None else {"length": units.length, "force": units.force},
        "sections": rows,
    }
    return json.dumps(record, indent=2, allow_nan=False, ensure_ascii=False)


def _member(found: MemberOutcome | str) -> dict[str, Any]:
    if isinstance(found, str):
        return {"error": found}
    from ...solver.study.choice.outcome_record import (
        record,
        support_extremes,
        theory_record,
    )

    checks = [
        {"limit": c.limit, "used": c.ratio, "station": c.station, "combination": c.combination}
        for c in found.checks
    ]
    held = support_extremes(found)
    both = {**record(found), **theory_record(found)}
    return {"error": None, **both, "bounded": found.bounded, "limits": checks, "supports": held}
