"""Modes as JSON and CSV."""

from __future__ import annotations

import csv
import io
import json
import os
from typing import Any

from ...solver.member.vibration.motion import MOTIONS
from ...solver.member.vibration.participation import DIRECTIONS
from ...solver.member.vibration.walking import CAUTION, SOURCE
from ..files import write_text
from ..text.json_values import json_values
from .result import ModesResult

#: Columns of the CSV: heading, component of the mean motion.
_TRACK = (("u_x", 0), ("u_y", 1), ("u_z", 2), ("rotation about z", 5))


def modes_record(result: ModesResult) -> dict[str, Any]:
    """All that was found, in Hz, the mass unit and the member's length unit."""
    vibration = result.vibration
    part, shapes = vibration.participation, result.outlines.shapes
    screen = {row.mode: row for row in result.screen}
    modes = []
    for k, (f, name) in enumerate(zip(vibration.frequencies, vibration.names, strict=True)):
        row = screen.get(k)
        modes.append(
            {
                "mode": k + 1,
                "name": name,
                "frequency_hz": float(f),
                "kinetic_energy": _named(MOTIONS, vibration.motion.shares[k]),
                "effective_mass": _named(DIRECTIONS, part.effective[k]),
                "modal_mass": float(shapes.generalised_mass[k]),
                "largest_at": float(shapes.largest_at[k]),
                "nodes": [float(z) for z in result.nodes[k]],
                "walking": None if row is None else row.words,
                "resonance_risk": None if row is None else row.risk,
            }
        )
    return {
        "member": vibration.member.name,
        "units": {"length": vibration.units.length, "mass": vibration.units.mass},
        "theory": "sections keep their shape" if vibration.course is None else "sections deform",
        "why": vibration.alone,
        "mass": part.mass,
        "modes": modes,
        "effective_mass_sum": _named(DIRECTIONS, part.effective.sum(axis=0)),
        "frequencies_with_kept_shape_hz": [float(f) for f in vibration.kept_shape],
        "order_change": json_values(vibration.order_change),
        "slow_mode_change": json_values(vibration.mode_change),
        "loads_without_mass": list(vibration.left_out),
        "walking": {"source": SOURCE, "caution": CAUTION},
        "notes": list(vibration.notes),
    }


def modes_json(result: ModesResult) -> str:
    """The record as text."""
    return json.dumps(modes_record(result), indent=2, ensure_ascii=False, allow_nan=False)


def modes_csv(result: ModesResult) -> str:
    """One line for each mode and station: the mean motion of the section."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    units = result.units
    writer.writerow(
        ["mode", "name", "frequency (Hz)", f"z ({units.unit('along')})"]
        + [word + (" (1/length)" if k == 5 else "") for word, k in _TRACK]
    )
    vibration, along = result.vibration, units.factor("along")
    for k, (f, name) in enumerate(zip(vibration.frequencies, vibration.names, strict=True)):
        for row, z in enumerate(result.z):
            values = [f"{result.track[row, c, k]:.6g}" for _, c in _TRACK]
            writer.writerow([k + 1, name, f"{f:.7g}", f"{z * along:.9g}", *values])
    return out.getvalue()


def write_modes_csv(result: ModesResult, path: str | os.PathLike[str]) -> None:
    """Write the file, whole or not at all."""
    write_text(path, modes_csv(result))


def _named(names: tuple[str, ...], values: Any) -> dict[str, float]:
    return {n: float(v) for n, v in zip(names, values, strict=True)}
