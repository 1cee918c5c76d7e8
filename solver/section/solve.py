"""From a section to its result: check, mesh, solve, collect."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from time import perf_counter

import numpy as np

from ...geometry.checks.validate import checked_map
from ...geometry.outline.contour import edge_lengths
from ...geometry.planar.planar_map import PlanarMap
from ...geometry.section import Section
from ..accuracy import ACCURACY, WIDEST
from .area.plastic import PlasticModuli, plastic_moduli
from .area.properties import (
    AreaProperties,
    area_properties,
    modulus_ratios,
    section_centroid,
    shear_ratios,
)
from .mesh.refinement import refined_around
from .mesh.section_mesh import SectionMesh
from .mesh.triangulation import triangulate
from .result import SectionResult, SolverReport
from .torsion.adaptive import Limits, refine_torsion
from .torsion.cells import cells_of
from .torsion.interval import TorsionField, solve_torsion
from .torsion.lever_arm import mean_lever_arm
from .torsion.peak import TorsionModulus, torsion_modulus
from .torsion.peak_search import GOOD_CHANGE
from .torsion.sand_heap import PlasticTorque, plastic_torque
from .torsion.sharp_corner import SharpCorner, unbounded_corners
from .torsion.warping import warping_properties

#: Where the largest torsional stress is bounded, J is asked to this width at least: the order that
#: comes with it mostly finds the stress too, and a second solve would cost more.
PEAK_ACCURACY = 5e-5
#: How often the mesh around the largest stress is refined, and the difference of its two estimates
#: from which on it is refined twice in one go.
PEAK_ROUNDS, LARGE_CHANGE = 6, 8 * GOOD_CHANGE


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
    _load_libraries()
    begin = perf_counter()
    plan = checked_map(section)
    mesh = triangulate(plan)
    shear = shear_ratios(section)
    corners = unbounded_corners(mesh, shear, plan)
    width = min(accuracy, PEAK_ACCURACY) if not corners and accuracy < WIDEST else accuracy
    area = area_properties(section)
    field = refine_torsion(mesh, area.centroid, shear, width, limits)
    field, modulus = _with_peak(field, corners, section)
    plastic = plastic_moduli(section), plastic_torque(section)
    return _collected(section, area, field, modulus, plastic, corners, begin, accuracy)


def solve_near(result: SectionResult, places: Sequence[tuple[float, float]]) -> SectionResult:
    """Solve a section again with a finer mesh around the given places, at the same order."""
    begin = perf_counter() - result.solver.seconds
    section = result.section
    mesh = refined_around(result.field.mesh, np.array(places, dtype=float))
    field = solve_torsion(mesh, result.field.order, result.field.origin, shear_ratios(section))
    modulus = torsion_modulus(field, result.corners, section.unit)
    return _collected(
        section,
        result.area_properties,
        field,
        modulus,
        (result.plastic_moduli, result.plastic_torque),
        result.corners,
        begin,
        result.solver.accuracy,
    )


def solve_on(section: Section, plan: PlanarMap, mesh: SectionMesh, order: int) -> SectionResult:
    """Solve a section on a given mesh of its map with one order: nothing is refined, so that
    sections that differ by little on a mesh that follows differ smoothly."""
    begin = perf_counter()
    shear = shear_ratios(section)
    area = area_properties(section)
    field = solve_torsion(mesh, order, area.centroid, shear)
    corners = unbounded_corners(mesh, shear, plan)
    modulus = torsion_modulus(field, corners, section.unit)
    plastic = plastic_moduli(section), plastic_torque(section)
    reached = field.relative_width
    return _collected(section, area, field, modulus, plastic, corners, begin, reached)


def one_order_less(result: SectionResult) -> SectionResult:
    """The torsion and warping of a solved section by one order less on the same mesh: how far what
    they make of a number is from the result's own tells how far that has converged. All else is the
    result's."""
    field, section = result.field, result.section
    lower = solve_torsion(field.mesh, field.order - 1, field.origin, shear_ratios(section))
    return replace(
        result,
        field=lower,
        warping_properties=warping_properties(
            lower, result.area_properties, modulus_ratios(section)
        ),
        torsion_constant=(lower.lower + lower.upper) / 2,
    )


def _load_libraries() -> None:
    """Import what solving needs, so that its clock measures solving."""
    import gmsh  # noqa: F401
    import qdldl  # noqa: F401
    import scipy.sparse  # noqa: F401
    import shapely  # noqa: F401


def _with_peak(
    field: TorsionField, corners: tuple[SharpCorner, ...], section: Section
) -> tuple[TorsionField, TorsionModulus]:
    """Refine around the largest shear stress until its two estimates agree: J, an integral, hardly
    feels a small fillet that rules the peak. Where two rounds in a row bring them no nearer,
    rounding rules, and the best is kept."""
    modulus = torsion_modulus(field, corners, section.unit)
    best, setbacks = (field, modulus), 0
    for _ in range(PEAK_ROUNDS):
        if modulus.value is None or modulus.at is None or modulus.change <= GOOD_CHANGE:
            break
        places = np.array([modulus.at, *modulus.doubtful])
        mesh = refined_around(field.mesh, places)
        if modulus.change > LARGE_CHANGE:
            mesh = refined_around(mesh, places)
        field = solve_torsion(mesh, field.order, field.origin, shear_ratios(section))
        modulus = torsion_modulus(field, corners, section.unit)
        setbacks += 1
        if modulus.change < best[1].change:
            best, setbacks = (field, modulus), 0
        if setbacks == 2:
            break
    return best


def _collected(
    section: Section,
    area: AreaProperties,
    field: TorsionField,
    modulus: TorsionModulus,
    plastic: tuple[PlasticModuli, PlasticTorque],
    corners: tuple[SharpCorner, ...],
    begin: float,
    accuracy: float,
) -> SectionResult:
    lever, lever_change = mean_lever_arm(field)
    mesh, border = field.mesh, field.border
    lengths = edge_lengths(mesh.vertices[border.start], mesh.vertices[border.end], border.bulges)
    j = (field.lower + field.upper) / 2
    warping = warping_properties(field, area, modulus_ratios(section))
    report = SolverReport(
        order=field.order,
        elements=len(mesh.triangles),
        unknowns=field.unknowns,
        seconds=perf_counter() - begin,
        accuracy=accuracy,
        reached=field.relative_width,
    )
    return SectionResult(
        section=section,
        reference=section.regions[0].material,
        area_properties=area,
        perimeter=float(lengths.sum()),
        plastic_moduli=plastic[0],
        plastic_torque=plastic[1],
        torsion_constant=j,
        torsion_constant_lower=field.lower,
        torsion_constant_upper=field.upper,
        torsion_modulus=modulus,
        mean_lever_arm=lever,
        mean_lever_arm_change=lever_change,
        warping_properties=warping,
        cells=cells_of(field, j),
        corners=corners,
        solver=report,
        field=field,
    )


def solve_fields(
    section: Section, accuracy: float = ACCURACY, *, limits: Limits | None = None
) -> TorsionField:
    """Check, mesh and solve the torsion problems alone.

    J needs no points inside walls; `solve_section` has them for its largest stress.
    """
    mesh = triangulate(checked_map(section), sparing=True)
    return refine_torsion(mesh, section_centroid(section), shear_ratios(section), accuracy, limits)
