"""A joint's answers as JSON and CSV, in mm, N, MPa and radians, whatever its file's units."""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ..data_table import DataTable
from ..files import write_text
from ..text import caution
from ..text.json_values import json_values

if TYPE_CHECKING:
    from ...solver.joint.detail import JointDetail
    from ...solver.joint.given_turn import TurnEffect
    from ...solver.joint.sharing import BoltShare, JointShare, WeldShare

_COLUMNS = (
    "at", "joint", "case", "part", "number", "x", "y", "z", "shear, elastic",
    "shear, instantaneous centre", "tension", "weld stress",
)  # fmt: skip
_COLUMN_UNITS = dict.fromkeys("xyz", "mm") | {
    "shear, elastic": "N",
    "shear, instantaneous centre": "N",
    "tension": "N",
    "weld stress": "MPa",
}
_UNITS = {"length": "mm", "force": "N", "moment": "N*mm", "stress": "MPa", "angle": "rad"}


def joints_json(
    details: Sequence[JointDetail],
    shares: Sequence[JointShare],
    effects: Sequence[tuple[float, Sequence[TurnEffect]]],
) -> str:
    """One JSON object; what has no number is null."""
    record = json_values(joints_record(details, shares, effects))
    return json.dumps(record, indent=1, allow_nan=False, ensure_ascii=False)


def joints_record(
    details: Sequence[JointDetail],
    shares: Sequence[JointShare],
    effects: Sequence[tuple[float, Sequence[TurnEffect]]] = (),
) -> dict[str, Any]:
    """The record as a dictionary."""
    joints = []
    for k, detail in enumerate(details):
        record = detail_record(detail)
        record["cases"] = [share_record(s) for s in shares if s.detail is detail]
        if effects:
            turn, rows = effects[k]
            record["given_turn"] = {"turn": turn, "details": [effect_record(r) for r in rows]}
        joints.append(record)
    head = {"format": "soapfilm joints 1", "units": _UNITS}
    return {**head, "joints": joints, "caution": caution.JOINT}


def detail_record(detail: JointDetail) -> dict[str, Any]:
    """Springs and slip; null stiffness is rigid."""
    return {
        "name": detail.name,
        "kind": detail.kind,
        "rotational_stiffness": detail.rotational_stiffness,
        "torsional_stiffness": detail.torsional_stiffness,
        "rotation_slip": detail.rotation_slip,
        "torsion_slip": detail.torsion_slip,
        "hinge": detail.hinge,
        "components": [
            {
                "component": c.name,
                "turn": c.turn,
                "stiffness": c.stiffness,
                "form": c.form,
                "source": c.source,
            }
            for c in detail.components
        ],
        "notes": list(detail.notes),
    }


def share_record(found: JointShare) -> dict[str, Any]:
    """Bolts, welds and plates under one set of actions."""
    return {
        "name": found.actions.name,
        "force": list(found.actions.force),
        "moment": list(found.actions.moment),
        "bolts": [_bolts(b) for b in found.bolts],
        "welds": [_welds(w) for w in found.welds],
        "plates": [
            {
                "section": s.cut.name,
                "shear": s.shear,
                "moment": s.moment,
                "torque": s.torque,
                "normal_stress": s.normal,
                "mean_shear_stress": s.mean_shear,
                "torsion_stress": s.torsion,
            }
            for s in found.cuts
        ],
    }


def effect_record(row: TurnEffect) -> dict[str, Any]:
    """One detail at a given turn."""
    return {
        "detail": row.words,
        "stiffness": row.stiffness,
        "slip": row.slip,
        "couple": row.moment,
        "bolt_force": row.bolt,
        "weld_stress": row.weld,
        "beyond": row.beyond or None,
    }


def _bolts(group: BoltShare) -> dict[str, Any]:
    return {
        "bolts": group.place.name,
        "plane": group.place.plane,
        "size": group.place.bolt.size,
        "grade": group.place.bolt.grade,
        "points": group.place.points.tolist(),
        "elastic": group.elastic.tolist(),
        "instantaneous_centre": None if group.centred is None else group.centred.tolist(),
        "centre": None if group.centre is None else [float(c) for c in group.centre],
        "tension": group.tension.tolist(),
        "contact_pressure": group.pressure.tolist(),
        "governing": group.governing + 1,
        "largest": group.largest,
    }


def _welds(group: WeldShare) -> dict[str, Any]:
    return {
        "welds": group.place.name,
        "names": list(group.place.names),
        "throat": group.place.throat,
        "points": group.points.tolist(),
        "stress": group.stress.tolist(),
        "peak_by_instantaneous_centre": group.centred,
        "largest": group.largest,
    }


def write_joint_csv(placed: Sequence[tuple[str, JointShare]], path: str | os.PathLike[str]) -> None:
    """One line a bolt, and one for each end and the peak of a weld; whole or not at all.

    `placed` has the place in a member where each joint stands, "" for a joint alone.
    """
    write_text(path, share_table(placed).csv())


def share_table(placed: Sequence[tuple[str, JointShare]]) -> DataTable:
    """The same rows as a table."""
    rows: list[list[Any]] = []
    for place, found in placed:
        head = [place, found.detail.name, found.actions.name]
        for group in found.bolts:
            centred = group.centred_shear
            for n, point in enumerate(group.place.points.tolist()):
                more = None if centred is None else float(centred[n])
                forces = [float(group.shear[n]), more, float(group.tension[n])]
                rows.append([*head, group.place.name, n + 1, *point, *forces, None])
        for weld in found.welds:
            for k, name in enumerate(weld.place.names):
                places = dict.fromkeys((0, int(weld.stress[k].argmax()), weld.stress.shape[1] - 1))
                for n in places:
                    point = [float(c) for c in weld.points[k, n]]
                    stress = float(weld.stress[k, n])
                    rows.append([*head, name, None, *point, None, None, None, stress])
    columns = {name: [row[k] for row in rows] for k, name in enumerate(_COLUMNS)}
    return DataTable(columns, _COLUMN_UNITS, "bolts and welds")
