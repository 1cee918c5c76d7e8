"""A staged member's answers as one JSON object, in its own consistent units, angles in radians."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import numpy as np

from ...solver.member.review.reactions import COMPONENTS, components
from ..data_table import DataTable, quiet
from ..member.joint_passage import joint_records
from ..member.units import MemberUnits
from ..text import caution
from ..text.json_values import json_values
from .decks import deck_records
from .every_bolt import found_stage_joints
from .passages import not_judged

if TYPE_CHECKING:
    from ...solver.member.staged.assessment import StagedAssessment, StageResult

_QUANTITIES = ("length", "force", "moment", "bimoment", "stress")


def staged_json(staged: StagedAssessment) -> str:
    """The record as indented text; what has no number is null."""
    record = json_values(staged_record(staged))
    return json.dumps(record, indent=1, allow_nan=False, ensure_ascii=False)


def staged_record(staged: StagedAssessment) -> dict[str, Any]:
    """The record as a dictionary."""
    units = staged.request.units
    return {
        "format": "soapfilm staged member 1",
        "name": staged.request.member.name,
        "units": {q: units.label(q) for q in _QUANTITIES} | {"angle": "rad"},
        "theory": staged.history.theory,
        "classical_alone_because": staged.alone or None,
        "combinations": list(staged.names),
        "stages": [_stage(staged, s, n) for n, s in enumerate(staged.stages)],
        "joints": joint_records(found_stage_joints(staged)),
        "not_judged": not_judged(staged.request),
        "caution": caution.MEMBER,
    }


def _stage(staged: StagedAssessment, result: StageResult, number: int) -> dict[str, Any]:
    names = staged.names
    return {
        "stage": result.stage.name,
        "cases": list(result.stage.cases),
        "without": list(result.stage.without),
        "taken_away": list(result.released),
        "sections": [s.section.name for s in result.member.segments],
        "z": result.z.tolist(),
        "twist_added": _columns(names, result.added),
        "twist": _columns(names, result.twist),
        "points": {
            point: {word: _columns(names, moved[k]) for k, word in enumerate(("x", "y"))}
            for point, moved in result.moved.items()
        },
        "stress": None
        if result.stress is None
        else {
            name: {
                "von Mises": float(result.stress.mises[:, c].max()),
                "at": float(result.stress.z[result.stress.mises[:, c].argmax()]),
                "tension": float(result.stress.tension[:, c].max()),
                "compression": float(result.stress.compression[:, c].min()),
                "shear": float(result.stress.shear[:, c].max()),
            }
            for c, name in enumerate(names)
        },
        "no_stress_because": result.no_stress or None,
        "reactions": {
            name: {
                r.title: dict(zip(COMPONENTS, components(r), strict=True)) | {"couple": r.couple}
                for r in result.reactions[c]
            }
            for c, name in enumerate(names)
        },
        "decks": deck_records(staged, number),
        "limits": [
            {
                "limit": item.row.limit,
                "value": item.row.value,
                "allowed": item.row.allowed,
                "used": item.row.ratio,
                "passed": item.row.passed,
                "at": item.row.station,
                "combination": item.row.combination,
            }
            for item in result.limits
        ],
    }


def _columns(names: tuple[str, ...], values: np.ndarray[Any, Any]) -> dict[str, list[float]]:
    return {name: values[:, c].tolist() for c, name in enumerate(names)}


def stage_station_table(staged: StagedAssessment) -> DataTable:
    """Twist and displacements of the shear centre after every stage, all stages so far together."""
    units, rows = MemberUnits(staged.request.units), []
    along, angle, move = (units.factor(q) for q in ("along", "angle", "displacement"))
    for stage in staged.stages:
        u, v = stage.moved["shear_centre"]
        for c, name in enumerate(staged.names):
            for k, z in enumerate(stage.z.tolist()):
                rows.append(
                    {
                        "stage": stage.stage.name,
                        "combination": name,
                        "z": z * along,
                        "u": float(u[k, c]) * move,
                        "v": float(v[k, c]) * move,
                        "twist": float(stage.twist[k, c]) * angle,
                        "twist added": float(stage.added[k, c]) * angle,
                    }
                )
    known = {"z": "along", "u": "displacement", "v": "displacement", "twist": "angle"}
    plain = {name: units.plain(quantity) for name, quantity in known.items()}
    plain["twist added"] = plain["twist"]
    alike = (("u", "v"), ("twist", "twist added"))
    return _quieted(rows, plain, f"{staged.request.member.name}, stations", alike)


def stage_reaction_table(staged: StagedAssessment) -> DataTable:
    """What every support holds after every stage, all stages so far together."""
    units, rows = MemberUnits(staged.request.units), []
    quantities = dict(
        zip(COMPONENTS, ("force",) * 3 + ("moment",) * 3 + ("bimoment",), strict=True)
    )
    quantities["couple"] = "force"
    for stage in staged.stages:
        for c, name in enumerate(staged.names):
            for r in stage.reactions[c]:
                held = dict(zip(COMPONENTS, components(r), strict=True)) | {"couple": r.couple}
                found: dict[str, Any] = {
                    "stage": stage.stage.name,
                    "combination": name,
                    "name": r.title,
                    "z": r.at * units.factor("along"),
                }
                for word, value in held.items():
                    scaled = None if value is None else value * units.factor(quantities[word])
                    found[word] = scaled
                rows.append(found)
    plain = {name: units.plain(quantity) for name, quantity in quantities.items()}
    plain["z"] = units.plain("along")
    alike = [[n for n, q in quantities.items() if q == kind] for kind in ("force", "moment")]
    return _quieted(rows, plain, f"{staged.request.member.name}, reactions", alike)


def _quieted(
    rows: list[dict[str, Any]],
    units: dict[str, str],
    title: str,
    alike: Iterable[Iterable[str]],
) -> DataTable:
    """A table whose rounding noise is 0, told from the largest of the columns that are alike."""
    table = DataTable.of_rows(rows, units, title)
    columns = {name: list(values) for name, values in table.columns.items()}
    quiet(columns, *alike)
    return DataTable(columns, table.units, table.title)
