"""A section's buckling as one JSON object and its curve as CSV, in the section's consistent
units."""

from __future__ import annotations

import csv
import io
import json
import math
from typing import TYPE_CHECKING, Any

from ...geometry.units import Units
from ...solver.section.stress.actions import SYMBOLS
from ..files import write_text
from ..text.json_values import json_values
from .effective import effective_notes, effective_record
from .words import buckling_notes

if TYPE_CHECKING:
    from ...solver.section.buckling.effective import EffectiveSection
    from ...solver.section.buckling.result import BucklingMode, SectionBuckling


def buckling_json(buckling: SectionBuckling, effective: EffectiveSection | None = None) -> str:
    """The record as indented JSON text."""
    record = buckling_record(buckling)
    if effective is not None:
        record["effective_section"] = effective_record(effective)
        record["notes"] = [*effective_notes(buckling, effective), *record["notes"]]
    return json.dumps(record, indent=2, allow_nan=False, ensure_ascii=False)


def buckling_record(buckling: SectionBuckling) -> dict[str, Any]:
    """The record as a dictionary; the curve runs from the longest half-wavelength to the
    shortest."""
    units = Units(buckling.section.unit)
    return {
        "name": buckling.section.name,
        "length_unit": buckling.section.unit,
        "stress_unit": units.label("stress"),
        "force_unit": units.label("force"),
        "actions": {
            symbol: float(value)
            for symbol, value in zip(SYMBOLS, buckling.vector, strict=True)
            if value
        },
        "largest_compressive_stress": buckling.compression,
        "oblique_waves": buckling.oblique,
        "minima": [_mode(buckling, mode) for mode in buckling.minima],
        "at_longest_half_wavelength": [_mode(buckling, mode) for mode in buckling.longest],
        "curve": {
            "half_wavelength": [float(x) for x in buckling.half_wavelengths],
            "load_factor": [[json_values(x) for x in row] for row in buckling.factors],
            "lowest_mode": list(buckling.lowest),
            "relative_error": buckling.tolerance,
        },
        "notes": buckling_notes(buckling),
    }


def _mode(buckling: SectionBuckling, mode: BucklingMode) -> dict[str, Any]:
    moves = mode.movement
    return {
        "kind": moves.kind,
        "what_buckles": moves.words,
        "half_wavelength": mode.half_wavelength,
        "load_factor": mode.factor,
        "critical_stress": buckling.stress(mode) if buckling.compression else None,
        "critical_actions": {
            symbol: float(value) * mode.factor
            for symbol, value in zip(SYMBOLS, buckling.vector, strict=True)
            if value
        },
        "lower_modes_at_this_half_wavelength": mode.below,
        "relative_change": mode.change,
        "rigid_part": moves.rigid,
        "rotation_part_of_rigid_motion": moves.rotation,
        "motion_of_fold_lines": moves.folds,
        "largest_at": list(moves.at),
    }


def buckling_csv(buckling: SectionBuckling) -> str:
    """The curve: half-wavelength, what buckles first, and the lowest factors."""
    units = Units(buckling.section.unit)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    count = buckling.factors.shape[1]
    head = [f"half-wavelength ({buckling.section.unit})", "lowest mode"]
    if buckling.compression:
        head.append(f"critical stress ({units.label('stress')})")
    writer.writerow([*head, *(f"load factor {n + 1}" for n in range(count))])
    for length, kind, factors in zip(
        buckling.half_wavelengths, buckling.lowest, buckling.factors, strict=True
    ):
        row = [f"{length:.9g}", kind]
        if buckling.compression:
            row.append(f"{factors[0] * buckling.compression:.9g}")
        writer.writerow([*row, *("" if math.isnan(x) else f"{x:.9g}" for x in factors)])
    return out.getvalue()


def write_buckling_csv(buckling: SectionBuckling, path: str) -> None:
    """Write the curve, whole or not at all."""
    write_text(path, buckling_csv(buckling))
