"""Stresses as tables: the extremes of every load case, and all components at points."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...geometry.units import Units
from ...solver.section.stress.components import COMPONENTS
from ..data_table import DataTable
from ..text.number import near_zero
from .field_arrays import SectionFields

if TYPE_CHECKING:
    from ...solver.section.stress.extremes import Extreme
    from ...solver.section.stress.load_cases import CaseStress, StressResult

#: Beside the case's largest stress, what is smaller is rounding.
_NOISE = 1e-9


def stress_unit(stress: StressResult) -> str:
    """The section's consistent unit of stress in plain letters, "" where it has no unit."""
    length = stress.result.unit
    return Units(length).label("stress") if length else ""


def extreme_table(stress: StressResult) -> DataTable:
    """Extremes of every case and component, with their places."""
    length, rows = stress.result.unit, []
    for case in stress.cases:
        for e in case.extremes:
            value, (x, y) = settled_extreme(stress, case, e)
            rows.append(
                {
                    "case": case.actions.name,
                    "component": e.component,
                    "extreme": "max" if e.side > 0 else "min",
                    "value": value,
                    "x": x,
                    "y": y,
                    "region": e.region + 1,
                    "relative_change": e.change,
                    "holds_near_corners": e.bounded,
                }
            )
    units = {"value": stress_unit(stress), "x": length, "y": length} if length else {}
    return DataTable.of_rows(rows, units, f"{stress.result.section.name}, stresses")


def settled_extreme(
    stress: StressResult, case: CaseStress, extreme: Extreme
) -> tuple[float, tuple[float, float]]:
    """Value and place of an extreme, rounding noise as 0."""
    size = stress.result.section.size()
    x, y = (near_zero(c, size) for c in extreme.at)
    return near_zero(extreme.value, _largest(case)), (x, y)


def components_at(fields: SectionFields, case: CaseStress) -> dict[str, NDArray[np.float64]]:
    """Every component at the points of the fields, rounding noise as 0."""
    sigma, tau = fields.combined(case.vector)
    noise = _NOISE * _largest(case)
    found = {name: component.of(sigma, tau) for name, component in COMPONENTS.items()}
    return {name: np.where(np.abs(v) < noise, 0.0, v) for name, v in found.items()}


def point_table(
    stress: StressResult, fields: SectionFields, cases: Iterable[CaseStress]
) -> DataTable:
    """A row for each case and point; components with shear are None near sharp corners, where the
    case brings shear: it has no bound there."""
    length, rows = stress.result.unit, []
    for case in cases:
        values = components_at(fields, case)
        refused = fields.near_corner & bool(np.any(case.vector[3:7]))
        for k, (x, y) in enumerate(fields.points.tolist()):
            row: dict[str, Any] = {"case": case.actions.name, "x": x, "y": y}
            row["region"] = int(fields.region[k]) + 1
            for name, value in values.items():
                row[name] = None if refused[k] and COMPONENTS[name].sheared else float(value[k])
            rows.append(row)
    units = dict.fromkeys(COMPONENTS, stress_unit(stress)) | {"x": length, "y": length}
    known = {name: unit for name, unit in units.items() if unit}
    return DataTable.of_rows(rows, known, "stresses at points")


def _largest(case: CaseStress) -> float:
    return max(abs(e.value) for e in case.extremes)
