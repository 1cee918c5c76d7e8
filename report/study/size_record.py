"""What a sizing found, as one JSON object."""

from __future__ import annotations

import json
import math
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from ...geometry.units import Units

if TYPE_CHECKING:
    from ...solver.study.choice.objective import Objective
    from ...solver.study.choice.sizing import SizeResult
    from ...solver.study.choice.trial import Trial


def size_json(result: SizeResult, units: Units) -> str:
    """The record as indented JSON text: the member's units, twist in degrees; null where there is
    no number."""
    objective = result.sizing.setting.objective
    ending = result.ending
    record = {
        "name": result.sizing.name,
        "length_unit": units.length,
        "force_unit": units.force,
        "sought": objective.superlative,
        "feasible": bool(result.found),
        "found": [_trial(t, objective) for t in result.found],
        "rejected_neighbours": [_trial(t, objective) for t in result.neighbours],
        "closest": None if result.closest is None else _trial(result.closest, objective),
        "search": None
        if ending is None
        else {
            "converged": ending.converged,
            "solutions": ending.solved,
            "solutions_for_slopes": ending.sloped,
        },
        "held_back_by": None
        if result.holding is None
        else {
            "limits": [
                {"limit": words, "better_by_percent_of_a_percent": factor}
                for words, factor in result.holding.limits
            ],
            "ends_of_ranges": [
                {"parameter": name, "end": word} for name, word in result.holding.ends
            ],
            "without_effect": list(result.holding.idle),
            "unbalanced_share_of_slope": _finite(result.holding.unbalanced),
        },
        "rounded": None if result.rounded is None else asdict(result.rounded),
        "counts": result.counts,
        "confirmation": {
            "judged_with_deforming_sections": result.confirmation.judged,
            "rounds": result.confirmation.rounds,
            "refused_by_them_alone": [_trial(t, objective) for t in result.confirmation.refused],
            "judged_classically_alone": result.confirmation.alone,
            "classical_use_beyond_which_it_is_taken": result.sizing.setting.reach or None,
        },
    }
    return json.dumps(record, indent=2, allow_nan=False, ensure_ascii=False)


def _trial(trial: Trial, objective: Objective) -> dict[str, Any]:
    from ...solver.study.choice.outcome_record import record, theory_record

    outcome = trial.outcome
    return {
        "label": trial.label,
        "weight": trial.weight,
        "value": _finite(objective.shown(trial.value)),
        "depth": trial.depth,
        "width": trial.width,
        "used": _finite(trial.used),
        "reasons": [{"words": r.words, "used": _finite(r.ratio)} for r in trial.reasons],
        "member": None
        if outcome is None
        else {
            k: _finite(v) if isinstance(v, float) else v
            for k, v in {**record(outcome), **theory_record(outcome)}.items()
        },
        "limits": [
            {"limit": c.limit, "used": c.ratio, "used_classical": before}
            for c, before in zip(trial.checks, _classical(trial), strict=True)
        ],
    }


def _classical(trial: Trial) -> list[float | None]:
    """The classical use of each limit beside the deforming one."""
    plain = None if trial.outcome is None else trial.outcome.classical
    if plain is None:
        return [None] * len(trial.checks)
    return [check.ratio for check in plain.everything]


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None
