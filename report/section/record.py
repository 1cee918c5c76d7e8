"""A solved section as one JSON object: lengths in the section's own unit, angles in degrees."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from ...geometry.grades import modular_ratio
from ...geometry.units import Units
from ...solver.section.area.rigidity import rigidities
from ...solver.section.stress.joint_flow import JointTorsion, joint_torsion
from ...solver.section.torsion.cells import mid_wall_areas
from ...solver.section.torsion.drawn_curves import curve_effect
from ..text.json_values import json_values
from .curve_words import curve_notes
from .vocabulary import section_values

if TYPE_CHECKING:
    from collections.abc import Iterable

    from ...solver.section import SectionResult


def section_json(result: SectionResult) -> str:
    """The record as indented JSON text; what has no number is null, never NaN."""
    return json.dumps(section_record(result), indent=2, allow_nan=False, ensure_ascii=False)


def section_record(result: SectionResult) -> dict[str, Any]:
    """The record as a dictionary of plain numbers, texts, lists and None.

    Powers of `length_unit` throughout; ``mass_per_length`` in kg or lb per length unit;
    ``plastic_torque`` per unit shear yield stress; stress and flow per unit torque. What vanishes
    but for rounding is 0. ``drawn_curves`` is what arcs in place of drawn curves may change of J,
    to first order: 0 where all borders are exact, None where no bound is known.
    """
    moments, moduli = result.second_moments, result.elastic_moduli
    plastic, torsion = result.plastic_moduli, result.torsion_modulus
    warping, solver = result.warping_properties, result.solver
    numbers = section_values(result)
    record = {
        "format": "soapfilm section 1",
        "name": result.section.name,
        "length_unit": result.unit,
        "composite": result.is_composite,
        "reference_material": result.reference.name if result.is_composite else None,
        "area": result.area,
        "gross_area": result.area_properties.gross_area,
        "perimeter": result.perimeter,
        "mass_per_length": result.mass_per_length,
        "centroid": [numbers["centroid_x"], numbers["centroid_y"]],
        "second_moments": {
            "x": moments.x,
            "y": moments.y,
            "xy": numbers["product_moment"],
            "major": moments.major,
            "minor": moments.minor,
            "angle_deg": numbers["principal_angle"],
        },
        "elastic_moduli": {
            "x_top": moduli.x_top,
            "x_bottom": moduli.x_bottom,
            "y_right": moduli.y_right,
            "y_left": moduli.y_left,
            "major": moduli.major,
            "minor": moduli.minor,
        },
        "radii_of_gyration": dict(
            zip(("x", "y", "major", "minor"), result.radii_of_gyration, strict=True)
        ),
        "plastic_moduli": {
            "x": plastic.x,
            "y": plastic.y,
            "neutral_x": plastic.neutral_x,
            "neutral_y": plastic.neutral_y,
            "reason": plastic.reason,
        },
        "torsion_constant": {
            "value": result.torsion_constant,
            "lower": result.torsion_constant_lower,
            "upper": result.torsion_constant_upper,
            "drawn_curves": curve_effect(result.field, result.section.deviation),
        },
        "deviation_from_drawn_curves": result.section.deviation,
        "torsion_modulus": {
            "value": torsion.value,
            "at": _point(torsion.at),
            "reason": torsion.reason,
            "away_from_corners": torsion.away,
            "away_at": _point(torsion.away_at),
            "relative_change": torsion.change,
            "relative_doubt": torsion.doubt,
        },
        "unbounded_corners": [
            {"at": _point(c.point), "kind": c.kind, "exponent": c.exponent} for c in result.corners
        ],
        "plastic_torque": {
            "value": result.plastic_torque.value,
            "reason": result.plastic_torque.reason,
        },
        "mean_lever_arm": result.mean_lever_arm,
        "mean_lever_arm_relative_change": result.mean_lever_arm_change,
        "warping_constant": numbers["warping_constant"],
        "warping_constant_change": warping.warping_constant_change,
        "shear_centre": [numbers["shear_centre_x"], numbers["shear_centre_y"]],
        "shear_centre_change": warping.shear_centre_change,
        "polar_radius": result.polar_radius,
        "monosymmetry": {axis: numbers[f"monosymmetry_{axis}"] for axis in "xy"},
        "cells": [
            {
                "void_area": cell.void_area,
                "mid_wall_area": mid_wall_area,
                "centre": _point(cell.centre),
                "shear_flow_per_torque": cell.shear_flow_per_torque,
            }
            for cell, mid_wall_area in zip(result.cells, mid_wall_areas(result.field), strict=True)
        ],
        "joints": [_joint(joint) for joint in joint_torsion(result)],
        **_rigidities(result),
        "notes": [*result.section.notes, *curve_notes([result])],
        "solver": {
            "order": solver.order,
            "elements": solver.elements,
            "unknowns": solver.unknowns,
            "seconds": solver.seconds,
            "accuracy": solver.accuracy,
            "width": solver.reached,
            "reached": solver.met,
        },
    }
    return {key: json_values(value) for key, value in record.items()}


def _joint(joint: JointTorsion) -> dict[str, Any]:
    """A weld or another named line: its flow, and the force of each weld where there are gaps."""
    line = joint.line
    return {
        "name": line.name,
        "kind": line.kind,
        "between": list(line.between),
        "throat": joint.throat,
        "shear_flow_per_torque": joint.shear_flow_per_torque,
        "weld_length": line.weld_length,
        "pitch": line.pitch,
        "force_per_weld_per_torque": joint.force_per_weld_per_torque,
    }


def _rigidities(result: SectionResult) -> dict[str, Any]:
    """Rigidities and materials, in consistent units; None where a region names no material."""
    stiff, unit = rigidities(result), result.unit
    if stiff is None:
        return {"rigidities": None, "materials": None}
    materials = dict.fromkeys(r.material for r in result.section.regions)
    return {
        "rigidities": {
            "force_unit": Units(unit).force if unit else "",
            "axial": stiff.axial,
            "bending_x": stiff.bending_x,
            "bending_y": stiff.bending_y,
            "bending_xy": stiff.bending_xy,
            "torsion": stiff.torsion,
            "torsion_lower": stiff.torsion_lower,
            "torsion_upper": stiff.torsion_upper,
            "warping": stiff.warping,
        },
        "materials": [
            {
                "name": material.name,
                "elastic_modulus": material.elastic_modulus,
                "shear_modulus": material.shear,
                "modular_ratio": modular_ratio(result.reference, material),
                "source": material.source,
            }
            for material in materials
        ],
    }


def _point(point: Iterable[float] | None) -> list[float] | None:
    return None if point is None else [float(c) for c in point]
