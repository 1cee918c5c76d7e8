"""What a sizing found, as one JSON object."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

from ...geometry.units import Units

if TYPE_CHECKING:
    from ...solver.study.choice.sizing import SizeResult
    from ...solver.study.choice.trial import Trial


def size_json(result: SizeResult, units: Units) -> str:
    """The record as indented JSON text: the member's units, twist in degrees; null where there is
    no number."""
    record = {
        "name": result.sizing.name,
        "length_unit": units.length,
        "force_unit": units.force,
        "feasible": bool(result.found),
        "found": [_trial(t) for t in result.found],
        "rejected_neighbours": [_trial(t) for t in result.neighbours],
        "closest": None if result.closest is None else _trial(result.closest),
        "counts": result.counts,
    }
    return json.dumps(record, indent=2, allow_nan=False, ensure_ascii=False)


def _trial(trial: Trial) -> dict[str, Any]:
    from ...solver.study.choice.substitution import record

    outcome = trial.outcome
    return {
        "label": trial.label,
        "weight": trial.weight,
        "depth": trial.depth,
        "width": trial.width,
        "used": _finite(trial.used),
        "reasons": [{"words": r.words, "used": _finite(r.ratio)} for r in trial.reasons],
        "member": None if outcome is None else record(outcome),
        "limits": [{"limit": c.limit, "used": c.ratio} for c in outcome.checks] if outcome else [],
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None
