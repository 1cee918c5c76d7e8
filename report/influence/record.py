"""Influence lines as JSON and CSV."""

from __future__ import annotations

import csv
import io
import json
import math
import os
from typing import Any

from ...solver.member.influence.analysis import LoadExtreme
from ..files import write_text
from .envelope import envelope_record
from .moving import moving_record
from .result import InfluenceResult
from .table import notes


def influence_record(result: InfluenceResult) -> dict[str, Any]:
    """All that was found, per the load stated, in the units that are named beside each."""
    found, units = result.influence, result.units
    along = units.factor("along")
    return {
        "member": found.member.name,
        "load": result.load * units.factor("force"),
        "load_unit": units.unit("force"),
        "length_unit": units.unit("along"),
        "sections_keep_shape": found.alone or None,
        "order_change": None if math.isnan(found.change) else found.change,
        "lines": [line.title for line in found.lines],
        "stations": [float(z) * along for z in found.z],
        "results": [
            {
                "result": asked.title,
                "unit": result.unit(c),
                "maximum": _extreme(result, c, found.maxima[c]),
                "minimum": _extreme(result, c, found.minima[c]),
                "ordinates": [
                    [float(v) * result.factor(c) for v in line[:, c]] for line in found.ordinates
                ],
            }
            for c, asked in enumerate(found.asked)
        ],
        "moving_loads": moving_record(result),
        "envelope": envelope_record(result.envelope, units),
        "notes": notes(result),
    }


def influence_json(result: InfluenceResult) -> str:
    """The record as text."""
    return json.dumps(influence_record(result), indent=1, ensure_ascii=False)


def influence_csv(result: InfluenceResult) -> str:
    """One row a station of each line, one column a result."""
    found, units = result.influence, result.units
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    heads = [f"{one.title} ({result.unit(c)})" for c, one in enumerate(found.asked)]
    writer.writerow(["line", f"load at ({units.unit('along')})", *heads])
    along = units.factor("along")
    for line, values in zip(found.lines, found.ordinates, strict=True):
        for z, row in zip(found.z, values, strict=True):
            shown = [f"{float(v) * result.factor(c):.9g}" for c, v in enumerate(row)]
            writer.writerow([line.title, f"{float(z) * along:.9g}", *shown])
    return text.getvalue()


def write_influence_csv(result: InfluenceResult, path: str | os.PathLike[str]) -> None:
    """Write the file, whole or not at all."""
    write_text(path, influence_csv(result))


def _extreme(result: InfluenceResult, c: int, one: LoadExtreme) -> dict[str, Any]:
    return {
        "value": one.value * result.factor(c),
        "at": one.at * result.units.factor("along"),
        "line": result.influence.lines[one.line].title,
    }
