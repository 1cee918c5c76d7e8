"""A member's answers as one JSON object, in its own consistent units, angles in radians."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any

from ...solver.member.beam.solution import ACTIONS
from ...solver.member.review.leading_notes import leading_notes
from ...solver.member.review.off_material import off_material
from ...solver.member.review.plausibility import doubts
from ..influence.bearing_schedule import schedule_records
from ..influence.envelope import arrangement_records, envelope_record
from ..text import caution
from ..text.json_values import json_values
from .carried_flow import flow_record
from .code_rules import code_record
from .combination_numbers import all_numbers
from .connected_beams import secondary_records
from .deforming import deforming_record
from .extremes import governing_twist, largest, play_share, point_movements
from .hinge_passage import hinge_records
from .joint_passage import found_joints, joint_records
from .plumb import plumb_record
from .reaction_record import reaction_records
from .shear_lag import shear_lag_record
from .slip import clearance_record, worst_use
from .stability import stability_record
from .stress_record import stress_record, stress_stations
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.beam.support_reaction import SupportReaction
    from ...solver.member.review.assessment import Assessment
    from ...solver.member.review.movement_limits import Utilisation

#: Columns of the stations, in the order of the record and of the CSV file.
COLUMNS = ("u", "v", "w", "phi", "tau", "theta_x", "theta_y", *ACTIONS, "T")
_QUANTITIES = ("length", "force", "moment", "bimoment", "stress", "mass per length")


def member_json(assessment: Assessment) -> str:
    """The record as indented JSON text; what has no number is null, never NaN."""
    return json.dumps(
        json_values(member_record(assessment)), indent=1, allow_nan=False, ensure_ascii=False
    )


def member_record(assessment: Assessment) -> dict[str, Any]:
    """The record as a dictionary.

    Names follow the table: M_x is the moment vector (a sagging beam has M_x < 0), T the whole
    torque, T_t and T_w its parts, phi the twist and tau its rate.
    """
    request, solution = assessment.request, assessment.solution
    member, units = solution.mesh.member, request.units
    shown = MemberUnits(units)
    return {
        "format": "soapfilm member 1",
        "name": member.name,
        "units": {q: units.label(q) for q in _QUANTITIES} | {"angle": "rad"},
        "length": member.length,
        "closed": member.axis.closed,
        "plan": [
            {"length": p.length, "radius": _radius(p.curvature)}
            if p.ends[0] == p.ends[1]
            else {
                "length": p.length,
                "radius_start": _radius(p.ends[0]),
                "radius_end": _radius(p.ends[1]),
            }
            for p in member.axis.pieces
        ],
        "kinks": [{"at": k.at, "angle": k.angle, "warping": k.warping} for k in member.axis.kinks],
        "plumb": plumb_record(assessment),
        "spans": [list(span) for span in member.spans],
        "order": solution.order,
        "sections": {name: _section(assessment, name) for name in request.sections},
        "segments": [
            {
                "from": s.start,
                "to": s.end,
                "section": s.section.name,
                "taper_to": s.section_end.name if s.section_end else None,
            }
            for s in member.segments
        ],
        "loads": [
            {"load": t.title, "case": t.case, "arm": list(t.arm), "torque": t.torque}
            for t in assessment.torques
        ],
        "combinations": [_combination(assessment, c) for c in range(len(solution.names))],
        "reactions": reaction_records(assessment),
        "hinges": hinge_records(assessment),
        "welds_and_cells": flow_record(assessment),
        "clearances": clearance_record(assessment),
        "secondary_beams": secondary_records(assessment),
        "joints": joint_records(found_joints(assessment)),
        "governing_twist": solution.names[governing_twist(assessment)],
        "points": [
            {
                "point": m.point,
                "direction": m.direction,
                "displacement": m.moved.value,
                "classical": m.classical,
                "deflection": m.deflection,
                "slip_twist": m.play,
                "at": m.moved.station,
                "combination": m.combination,
            }
            for m in point_movements(assessment)
        ],
        "stress": stress_record(assessment),
        "limits": [
            _limit(item.kind, item.row) | {"worst_slip_uses": worst_use(assessment, item)}
            for item in assessment.limits
        ],
        "limits_are_customary": assessment.customary,
        "codes": code_record(assessment),
        "deforming": deforming_record(assessment),
        "buckling": stability_record(assessment),
        "shear_lag": shear_lag_record(assessment),
        "classical_alone_because": assessment.alone or None,
        "envelope": envelope_record(assessment.envelope, shown),
        "arrangements": arrangement_records(assessment.arrangements, shown),
        "bearing_schedule": schedule_records(assessment.envelope, shown),
        "restraints": [
            {"restraint": r.title, "freedom": r.freedom, "twist_without_over_with": r.growth}
            for r in assessment.restraints
        ],
        "remedies": [
            {
                "remedy": c.title,
                "twist": c.twist,
                "twist_ratio": c.twist_ratio,
                "stress": c.stress,
                "stress_ratio": c.stress_ratio,
                "failure": c.failure or None,
                "theory": "classical" if assessment.deformed is None else "deforming",
            }
            for c in assessment.cures
        ],
        "stations": _stations(assessment),
        "stress_along_by_sections_that_deform": stress_stations(assessment),
        "out_of_balance": float(solution.residual.max()),
        "notes": [*leading_notes(assessment), *doubts(assessment.request), *_off(assessment)],
        "caution": caution.MEMBER,
    }


def _radius(curvature: float) -> float | None:
    return 1 / curvature if curvature else None


def _off(assessment: Assessment) -> tuple[str, ...]:
    """Of sections that deform: their common mesh, and loads off the material, which only they tell
    apart."""
    if assessment.deformed is None:
        return ()
    solution = assessment.deformed.solution
    return (*solution.course.notes, *off_material(solution, assessment.request.units.length))


def _combination(assessment: Assessment, c: int) -> dict[str, Any]:
    solution = assessment.solution
    return {
        "number": all_numbers(assessment)[solution.names[c]],
        "name": solution.names[c],
        "factors": dict(solution.mesh.member.combined[c].factors),
        "largest": {word: _extreme(assessment, word, c) for word in COLUMNS},
        "slip_share_of_twist": play_share(assessment, c),
        "torque_by_warping": assessment.shares[c].warping,
        "critical_load_factor": _factor(assessment, c),
        "reactions": [_reaction(r) for r in _held(assessment, c)],
    }


def _held(assessment: Assessment, c: int) -> tuple[SupportReaction, ...]:
    """By the classical theory, secondary beams with their end shears."""
    return assessment.reactions[-1].supports[c]


def _limit(kind: str, row: Utilisation) -> dict[str, Any]:
    return {
        "limit": row.limit,
        "kind": kind,
        "value": row.value,
        "allowed": row.allowed,
        "used": row.ratio,
        "passed": row.passed,
        "at": None if math.isnan(row.station) else row.station,
        "combination": row.combination,
        "source": row.source,
        "provenance": row.provenance,
    }


def _stations(assessment: Assessment) -> dict[str, Any]:
    """Classical results along the member, one table a combination."""
    table, stress = assessment.table, assessment.stress
    record: dict[str, Any] = {"z": table.z.tolist()}
    for c, name in enumerate(assessment.solution.names):
        record[name] = {word: getattr(table, word)[:, c].tolist() for word in COLUMNS}
        if stress is not None:
            record[name]["von Mises"] = stress.mises[:, c].tolist()
    return record


def _section(assessment: Assessment, name: str) -> dict[str, Any]:
    constants = assessment.request.sections[name].constants
    words = (
        "elastic_modulus shear_modulus area second_moment_x second_moment_y product_moment "
        "torsion_constant warping_constant centroid shear_centre shear_area_x shear_area_y "
        "monosymmetry_x monosymmetry_y mass_per_length mean_lever_arm characteristic_length"
    )
    return {word: getattr(constants, word) for word in words.split()}


def _extreme(assessment: Assessment, word: str, combination: int) -> dict[str, float]:
    found = largest(assessment, word, combination)
    return {"value": found.value, "at": found.station}


def _factor(assessment: Assessment, combination: int) -> float | None:
    critical = assessment.solution.critical
    return critical[combination].factor if critical else None


def _reaction(reaction: SupportReaction) -> dict[str, Any]:
    return {
        "support": reaction.title,
        "at": reaction.at,
        "force": list(reaction.force),
        "moment": list(reaction.moment),
        "point": list(reaction.point),
        "torque_about_shear_centre": reaction.torque,
        "bimoment": reaction.bimoment,
        "couple": reaction.couple,
        "bearings": [{"x": b.x, "force": b.force, "lifted": b.lifted} for b in reaction.bearings],
        "slip": reaction.play or None,
    }
