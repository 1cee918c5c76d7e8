"""A section's stresses as one JSON object, in the section's consistent units."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from ...geometry.units import Units
from ...solver.section.stress.actions import SYMBOLS

if TYPE_CHECKING:
    from ...solver.section.stress.cut import CutFlow
    from ...solver.section.stress.extremes import Extreme
    from ...solver.section.stress.load_cases import CaseStress, StressResult


def stress_json(stress: StressResult) -> str:
    """The record as indented JSON text."""
    return json.dumps(stress_record(stress), indent=2, allow_nan=False, ensure_ascii=False)


def stress_record(stress: StressResult) -> dict[str, Any]:
    """The record as a dictionary; stresses in `stress_unit`, lengths in `length_unit`."""
    unit = stress.result.unit
    flexibility = stress.units.shear_flexibility()
    return {
        "format": "soapfilm stresses 1",
        "name": stress.result.section.name,
        "length_unit": unit,
        "stress_unit": Units(unit).label("stress") if unit else "",
        "shear_areas": {
            "x": float(1 / flexibility[0, 0]),
            "y": float(1 / flexibility[1, 1]),
            "coupling_flexibility": float(flexibility[0, 1]),
        },
        "shear_centre": [float(c) for c in stress.result.shear_centre],
        "shear_centre_by_flexure": [float(c) for c in stress.units.flexural_shear_centre()],
        "poisson_ratio": stress.units.flexure.poisson_scale,
        "cases": [
            {
                "name": case.actions.name,
                "actions": {
                    symbol: float(value) for symbol, value in zip(SYMBOLS, case.vector, strict=True)
                },
                "extremes": [_extreme(e) for e in case.extremes],
                "joints": [_flow(joint, case) for joint in stress.joints],
                "utilisation": case.utilisation,
            }
            for case in stress.cases
        ],
        "envelope": [{**_extreme(e), "case": name} for e, name in stress.envelope],
        "joints": [_joint(joint) for joint in stress.joints],
        "flow_unit": Units(unit).label("line load") if unit else "",
        "force_unit": Units(unit).label("force") if unit else "",
        "factor": stress.factor,
        "left_out": stress.refusal or None,
        "equilibrium_residual": stress.equilibrium_residual,
        "notes": list(stress.result.section.notes),
    }


def _extreme(extreme: Extreme) -> dict[str, Any]:
    return {
        "component": extreme.component,
        "side": "maximum" if extreme.side > 0 else "minimum",
        "value": extreme.value,
        "at": list(extreme.at),
        "region": extreme.region + 1,
        "relative_change": extreme.change,
        "holds_near_sharp_corners": extreme.bounded,
    }


def _joint(joint: CutFlow) -> dict[str, Any]:
    """A joint and the flow of each unit action through it, per action's unit."""
    line = joint.line
    flows = zip(SYMBOLS, joint.unit_flow, strict=True)
    return {
        "name": line.name,
        "kind": line.kind,
        "between": list(line.between),
        "throat": joint.length,
        "weld_length": line.weld_length,
        "pitch": line.pitch,
        "parts_the_section": joint.part is not None,
        "unit_flows": {symbol: float(flow) for symbol, flow in flows},
    }


def _flow(joint: CutFlow, case: CaseStress) -> dict[str, Any]:
    """Force per length of member, and per weld where there are single ones (flow times pitch)."""
    line = joint.line
    return {
        "name": line.name,
        "flow": joint.flow(case.vector),
        "uncertainty": joint.uncertainty(case.vector),
        "force_per_weld": joint.force_per_weld(case.vector) if line.intermittent else None,
    }
