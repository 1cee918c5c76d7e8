"""Stress fields as files: VTU and XDMF for viewers of finite-element results, CSV along the
contours."""

from __future__ import annotations

import csv
import io
import os
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...geometry.units import Units
from ...solver.section.elements.basis import EDGES
from ...solver.section.elements.integrals import stations_at
from ...solver.section.stress.actions import SYMBOLS
from ...solver.section.stress.case_file import QUANTITY
from ...solver.section.stress.components import COMPONENTS
from ...solver.section.torsion.peak import left_out
from ..files import write_text
from ..mesh_file import mesh_suffix, write_mesh
from .field_arrays import THROUGH_WALL, SectionFields, sampled_fields

if TYPE_CHECKING:
    from ...solver.section.stress.load_cases import StressResult
    from ...solver.section.stress.unit_stress import UnitStress

Array = NDArray[np.float64]

#: Points on each mesh edge in CSV files.
_ON_EDGE = 9
#: Stress by a unit of each action, as a negative power of length.
_POWERS = {"force": 2, "moment": 3, "bimoment": 4}


def write_vtu(
    stress: StressResult, path: str | os.PathLike[str], through_wall: float = THROUGH_WALL
) -> None:
    """Fields of every load case on a fine mesh, named in words with their unit, beside warping and
    stress function.

    Parameters
    ----------
    stress : StressResult
    path : path
        Ends in .vtu or .xdmf.
    through_wall : float
        Samples through the mean wall.
    """
    mesh_suffix(path)
    label, factor = _stress_unit(stress)
    fields = sampled_fields(stress.units, through_wall)
    data = _shape_fields(fields, stress.result.unit)
    for case in stress.cases:
        sigma, tau = fields.combined(case.vector)
        lead = "" if len(stress.cases) == 1 else f"{case.actions.name}: "
        for component in COMPONENTS.values():
            data[f"{lead}{component.words} ({label})"] = factor * component.of(sigma, tau)
        data[f"{lead}shear vector ({label})"] = factor * _in_space(tau)
    _write(fields, data, path)


def write_unit_vtu(
    units: UnitStress, path: str | os.PathLike[str], through_wall: float = THROUGH_WALL
) -> None:
    """Warping, stress function, and normal and shear stress of each unit action that the section
    can carry, in its consistent units, on a fine mesh.

    Parameters
    ----------
    units : UnitStress
    path : path
        Ends in .vtu or .xdmf.
    through_wall : float
        Samples through the mean wall.
    """
    mesh_suffix(path)
    fields, unit = sampled_fields(units, through_wall), units.result.unit
    data = _shape_fields(fields, unit)
    for k, symbol in enumerate(SYMBOLS):
        if symbol in ("T_w", "B") and not units.warps:
            continue
        per = f" (1/{unit}^{_POWERS[QUANTITY[k]]})" if unit else ""
        if fields.sigma[k].any():
            data[f"normal stress by {symbol}{per}"] = fields.sigma[k]
        if fields.tau[k].any():
            data[f"shear stress by {symbol}{per}"] = _in_space(fields.tau[k])
    _write(fields, data, path)


def _shape_fields(fields: SectionFields, unit: str) -> dict[str, Array]:
    """What belongs to the shape alone, under names with units."""
    area, per = (f" ({unit}^2)", f" (1/{unit}^2)") if unit else ("", "")
    return {
        f"warping by rate of twist{area}": fields.warping,
        f"stress function by torque{per}": fields.stress_function,
        "near a sharp corner": fields.near_corner.astype(float),
    }


def _in_space(vectors: Array) -> Array:
    """(n, 3) of (n, 2), as viewers take vectors."""
    return np.concatenate([vectors, np.zeros((len(vectors), 1))], axis=1)


def _write(fields: SectionFields, data: dict[str, Array], path: str | os.PathLike[str]) -> None:
    region = fields.region[fields.triangles[:, 0]].astype(np.float64) + 1
    cells = [("triangle", fields.triangles)]
    write_mesh(path, fields.points, cells, data, {"region": [region]})


def write_csv(stress: StressResult, path: str | os.PathLike[str]) -> None:
    """Points along every contour with all components: x, y and one column each, case by case.

    The column "left out" has 1 within the surroundings of a sharp corner, where shear has no bound
    and what stands there depends on the mesh; the extremes of tables leave these points out.
    """
    label, factor = _stress_unit(stress)
    unit = stress.result.unit or "length"
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    heads = [f"{c.words} ({label})" for c in COMPONENTS.values()]
    lead = ["case", "contour", "region", f"x ({unit})", f"y ({unit})", "left out"]
    writer.writerow([*lead, *heads])
    for loop, region, points, arrays in _along_contours(stress):
        near = left_out(points, stress.result.corners)
        for case in stress.cases:
            sigma, tau = arrays[0] @ case.vector, np.tensordot(arrays[1], case.vector, (1, 0))
            columns = [factor * c.of(sigma, tau) for c in COMPONENTS.values()]
            for k, (x, y) in enumerate(points):
                values = [f"{column[k]:.9g}" for column in columns]
                refused = int(near[k] and bool(np.any(case.vector[3:7])))
                place = [int(region[k]) + 1, f"{x:.12g}", f"{y:.12g}", refused]
                writer.writerow([case.actions.name, loop, *place, *values])
    write_text(path, text.getvalue())


def _along_contours(stress: StressResult):  # type: ignore[no-untyped-def]
    """For each border loop in running order: number, regions, points, and unit arrays there."""
    field = stress.result.field
    mesh, border = field.mesh, field.border
    s = np.arange(_ON_EDGE) / _ON_EDGE
    for number, loop in enumerate(np.argsort(-border.loop_areas), 1):
        edges = _in_order(np.flatnonzero(border.loop == loop), border.start, border.end)
        points, sigma, tau, region = [], [], [], []
        for e in edges:
            t = np.array([border.triangles[e]])
            local = int(np.argmax(mesh.triangle_edges[t[0]] == border.edges[e]))
            a, b = EDGES[local]
            forward = mesh.triangles[t[0], a] == border.start[e]
            bary = np.zeros((3, len(s)))
            bary[a], bary[b] = (1 - s, s) if forward else (s, 1 - s)
            stations = stations_at(mesh, field.order, bary[1], bary[2], t)
            unit = stress.units.evaluate(stations, t)
            points.append(stations.points[0])
            sigma.append(unit.sigma[:, 0].T)
            tau.append(np.moveaxis(unit.tau[:, 0], 0, 1))
            region.append(np.full(len(s), mesh.region[t[0]]))
        yield (
            number,
            np.concatenate(region),
            np.concatenate(points),
            (np.concatenate(sigma), np.concatenate(tau)),
        )


def _in_order(edges: NDArray[np.int64], start: NDArray[np.int64], end: NDArray[np.int64]):  # type: ignore[no-untyped-def]
    """The edges of one loop, each after the one it continues."""
    by_start = {int(start[e]): int(e) for e in edges}
    run = [int(edges[0])]
    while len(run) < len(edges):
        run.append(by_start[int(end[run[-1]])])
    return run


def _stress_unit(stress: StressResult) -> tuple[str, float]:
    if not stress.result.unit:
        return "force/length²", 1.0
    return Units(stress.result.unit).display("stress")
