"""Moving loads in the table and in JSON: the worst place of each, and what acts then."""

from __future__ import annotations

from typing import Any

from ...solver.member.influence.moving_load import MovingExtreme
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero, number
from .result import InfluenceResult
from .standing import place_words


def moving_passage(result: InfluenceResult) -> Passage:
    """Maximum and minimum of every result under each moving load."""
    rows = []
    length = result.influence.member.length
    scale: dict[tuple[int, int], float] = {}
    for one in result.moving:
        key = (one.load, one.result)
        scale[key] = max(scale.get(key, 0.0), abs(one.value))
    for one in result.moving:
        c = one.result
        value = near_zero(one.value, scale[one.load, c]) * result.factor(c) / result.load
        rows.append(
            (
                _name(result, one),
                result.influence.asked[c].title,
                "max" if one.maximum else "min",
                number(value, 4),
                result.unit(c),
                place_words(one, result.units, length) if value else "away",
            )
        )
    along = result.units.unit("along")
    grid = HeadedRows(
        ("load", "result", "", "value", "unit", f"stands at ({along})"), ("",) * 6, rows, 3
    )
    words = (
        "Each load by itself, at its true worst place between stations too. Axles are named from "
        "the first on, with the direction of travel and the vehicle's line; a crowd by the parts "
        "that it covers, strip by strip. Values of all results at each of these places are in the "
        "JSON (together)."
    )
    return [grid, Sentences([words])]


def moving_record(result: InfluenceResult) -> list[dict[str, Any]]:
    """One row an extreme, all results beside it."""
    along = result.units.factor("along")
    rows = []
    for one in result.moving:
        shown = [float(v) * result.factor(c) / result.load for c, v in enumerate(one.together)]
        row: dict[str, Any] = {
            "load": _name(result, one),
            "result": result.influence.asked[one.result].title,
            "kind": "maximum" if one.maximum else "minimum",
            "value": shown[one.result],
            "unit": result.unit(one.result),
            "together": {
                asked.title: value
                for asked, value in zip(result.influence.asked, shown, strict=True)
            },
        }
        if one.load < len(result.vehicles):
            row["axles_at"] = [z * along for z in one.axles]
            row["line"] = one.line + 1
            row["direction"] = "forward" if one.forward else "backward"
        else:
            row["covers"] = [
                {"strip": k + 1, "from": a * along, "to": b * along} for k, a, b in one.parts
            ]
        rows.append(row)
    return rows


def _name(result: InfluenceResult, one: MovingExtreme) -> str:
    names = [load.name for load in result.vehicles] + [load.name for load in result.crowds]
    return names[one.load]
