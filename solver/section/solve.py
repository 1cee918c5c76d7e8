"""From a section to its result: check, mesh, solve, collect."""

from __future__ import annotations

from dataclasses import dataclass
from time import perf_counter

import numpy as np

from ...geometry.contour import edge_lengths
from ...geometry.planar_map import PlanarMap
from ...geometry.section import Section
from ...geometry.validate import checked_map
from .adaptive import Limits, refine_torsion
from .area import AreaProperties, area_properties, modulus_ratios, shear_ratios
from .corners import unbounded_corners
from .peak import mean_lever_arm, torsion_modulus
from .plastic import plastic_moduli
from .result import Cell, SectionResult, SolverReport
from .sand_heap import plastic_torque
from .torsion import TorsionField
from .triangulation import triangulate
from .warping import warping_properties

#: Relative width asked of J's interval unless told otherwise.
ACCURACY = 1e-5


def solve_section(
    section: Section, accuracy: float = ACCURACY, *, limits: Limits | None = None
) -> SectionResult:
    """Solve a section: all properties, J with a guaranteed interval.

    Parameters
    ----------
    section : Section
    accuracy : float
        Relative width asked of J's interval; `result.solver.reached` says what was reached within
        `limits`.

    Raises
    ------
    GeometryError
        The section is not valid; the message says what is wrong and where.
    SolveError
        Mesh or system failed; the message names the place.
    """
    begin = perf_counter()
    solved = solve_fields(section, accuracy, limits=limits)
    field, area = solved.field, solved.area
    corners = unbounded_corners(field.mesh, shear_ratios(section), solved.plan)
    lever, lever_change = mean_lever_arm(field)
    mesh, border = field.mesh, field.border
    lengths = edge_lengths(mesh.vertices[border.start], mesh.vertices[border.end], border.bulges)
    j = (field.lower + field.upper) / 2
    modulus = torsion_modulus(field, corners, section.unit)
    warping = warping_properties(field, area, modulus_ratios(section))
    plastic, heap = plastic_moduli(section), plastic_torque(section)
    report = SolverReport(
        field.order,
        len(mesh.triangles),
        field.unknowns,
        perf_counter() - begin,
        accuracy,
        field.relative_width,
    )
    return SectionResult(
        section,
        section.regions[0].material,
        area,
        float(lengths.sum()),
        plastic,
        heap,
        j,
        field.lower,
        field.upper,
        modulus,
        lever,
        lever_change,
        warping,
        _cells(field, j),
        corners,
        report,
        field,
    )


@dataclass(frozen=True, slots=True, eq=False)
class SolvedFields:
    """The torsion fields of a section with its area properties and planar map: what J needs."""

    field: TorsionField
    area: AreaProperties
    plan: PlanarMap


def solve_fields(
    section: Section, accuracy: float = ACCURACY, *, limits: Limits | None = None
) -> SolvedFields:
    """Check, mesh and solve the torsion problems alone."""
    plan = checked_map(section)
    area = area_properties(section)
    field = refine_torsion(
        triangulate(plan), area.centroid, shear_ratios(section), accuracy, limits
    )
    return SolvedFields(field, area, plan)


def _cells(field: TorsionField, torque: float) -> tuple[Cell, ...]:
    """Holes of the section, largest first, with the difference of stress function across their
    walls."""
    border, mesh = field.border, field.mesh
    cells = []
    # a slit inside the material is a loop too, of no area but rounding
    for k in np.flatnonzero(border.loop_areas < -1e-13 * border.loop_areas.max()):
        points = mesh.vertices[border.start[border.loop == k]]
        x, y = (points.min(axis=0) + points.max(axis=0)) / 2
        cells.append(
            Cell(
                float(-border.loop_areas[k]),
                (float(x), float(y)),
                float(field.hole_values[k] / torque),
            )
        )
    return tuple(sorted(cells, key=lambda c: -c.area))
