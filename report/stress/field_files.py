"""Stress fields as files: VTU for viewers of finite-element results, CSV along the contours."""

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
from ...solver.section.stress.components import COMPONENTS
from ...solver.section.torsion.peak import left_out
from ..drawing.field_view import mean_wall
from ..drawing.sampling import patches
from ..files import replacing, write_text

if TYPE_CHECKING:
    from ...solver.section.stress.load_cases import StressResult

Array = NDArray[np.float64]

#: Samples through the mean wall in exported meshes, and points on each mesh edge in CSV files.
_THROUGH_WALL = 10
_ON_EDGE = 9


def write_vtu(stress: StressResult, path: str | os.PathLike[str]) -> None:
    """Fields of every load case on a fine mesh, named in words with their unit.

    Points on the borders of elements appear once an element: stress may jump there, and between
    materials it does.
    """
    import meshio

    label, factor = _stress_unit(stress)
    field = stress.result.field
    section = stress.result.section
    points, cells, region = [], [], []
    data: dict[str, list[Array]] = {}
    count = 0
    for patch in patches(field.mesh, field.order, mean_wall(section) / _THROUGH_WALL):
        arrays = stress.units.evaluate(patch.stations, patch.triangles)
        n, q, _ = patch.stations.points.shape
        points.append(patch.stations.points.reshape(-1, 2))
        cells.append((patch.cells + count + q * np.arange(n)[:, None, None]).reshape(-1, 3))
        region.append(np.repeat(field.mesh.region[patch.triangles] + 1, len(patch.cells)))
        count += n * q
        for case in stress.cases:
            sigma, tau = arrays.combined(case.vector)
            lead = "" if len(stress.cases) == 1 else f"{case.actions.name}: "
            for component in COMPONENTS.values():
                name = f"{lead}{component.words} ({label})"
                data.setdefault(name, []).append(factor * component.of(sigma, tau).ravel())
            flow = np.concatenate([factor * tau.reshape(-1, 2), np.zeros((n * q, 1))], axis=1)
            data.setdefault(f"{lead}shear vector ({label})", []).append(flow)
    flat = np.concatenate(points)
    mesh = meshio.Mesh(
        np.column_stack([flat, np.zeros(len(flat))]),
        [("triangle", np.concatenate(cells))],
        point_data={name: np.concatenate(parts) for name, parts in data.items()},
        cell_data={"region": [np.concatenate(region).astype(float)]},
    )
    with replacing(path) as temporary:
        meshio.write(temporary, mesh, file_format="vtu")


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
