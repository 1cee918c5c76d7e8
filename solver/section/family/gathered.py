"""From the fields of a family to the results of its sections."""

from __future__ import annotations

from dataclasses import dataclass
from time import perf_counter

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.alike import AlikeEdges
from ....geometry.outline.contour import edge_lengths
from ....geometry.section import Section
from ..area.plastic import plastic_moduli_of
from ..area.properties import AreaProperties
from ..result import SectionResult, SolverReport
from ..torsion.cells import cells_of
from ..torsion.heap_rays import LEVELS, heap_volumes
from ..torsion.lever_arm import mean_lever_arms
from ..torsion.peak import searched_edges, torsion_moduli
from ..torsion.sand_heap import PlasticTorque, plastic_torque
from ..torsion.sharp_corner import SharpCorner
from ..torsion.warping import about_pole, poles
from .corners import alike_corners
from .fields import StackedField

#: Part of its area that the rays of a sand heap may leave open, for a volume good to 1e-4, and
#: edges from which on offsets are quicker.
_LEFT_OPEN, _MANY_EDGES = 3e-5, 40


@dataclass(frozen=True, slots=True, eq=False)
class Members:
    """Sections of a family: as they were given, their edges and area properties, the accuracy asked
    for, and when work on them began."""

    sections: list[Section]
    edges: AlikeEdges
    areas: list[AreaProperties]
    accuracy: float
    begin: float


def results_of(
    stack: StackedField,
    members: Members,
    corners: tuple[SharpCorner, ...],
    good: NDArray[np.bool_],
) -> list[SectionResult | None]:
    """Results of k sections; None of those that are not `good` (k,), or whose stress is unbounded
    elsewhere than in the first one."""
    k, template, whole = len(stack), stack.template, stack.whole()
    torque = (stack.lower + stack.upper) / 2
    own_corners, same = alike_corners(stack, members.edges, corners)
    triangles, local = searched_edges(stack.field(0))
    each = len(template.mesh.triangles)
    searched = triangles + each * np.arange(k)[:, None]
    local = np.broadcast_to(local, searched.shape)
    moduli = torsion_moduli(
        whole, searched, local, torque, own_corners, members.sections[0].unit, stack.origin
    )
    levers, lever_changes = mean_lever_arms(whole, stack.modes, torque)
    moments = [(a.second_moments.x, a.second_moments.y, a.second_moments.xy) for a in members.areas]
    pole, constant, cw = poles(whole, np.ones(k * each), np.array(moments))
    e = members.edges
    start, end = (part.reshape(-1, 2) for part in (e.start, e.end))
    perimeters = edge_lengths(start, end, e.bulges.ravel()).reshape(k, -1).sum(axis=1)
    plastic = plastic_moduli_of(members.edges)
    heaps = _plastic_torques(members)
    out: list[SectionResult | None] = []
    for row, section in enumerate(members.sections):
        if not (good[row] and same[row]):
            out.append(None)
            continue
        field, area, j = stack.field(row), members.areas[row], float(torque[row])
        report = SolverReport(
            order=template.order,
            elements=each,
            unknowns=field.unknowns,
            seconds=(perf_counter() - members.begin) / k,
            accuracy=members.accuracy,
            reached=field.relative_width,
        )
        warping = about_pole(
            field, area, np.ones(each), pole[row], float(constant[row]), float(cw[row])
        )
        out.append(
            SectionResult(
                section=section,
                reference=section.regions[0].material,
                area_properties=area,
                perimeter=float(perimeters[row]),
                plastic_moduli=plastic[row],
                plastic_torque=heaps[row],
                torsion_constant=j,
                torsion_constant_lower=field.lower,
                torsion_constant_upper=field.upper,
                torsion_modulus=moduli[row],
                mean_lever_arm=float(levers[row]),
                mean_lever_arm_change=float(lever_changes[row]),
                warping_properties=warping,
                cells=cells_of(field, j),
                corners=own_corners[row],
                solver=report,
                field=field,
            )
        )
    return out


def _plastic_torques(members: Members) -> list[PlasticTorque]:
    """By rays, or one by one where these leave too much open."""
    if len(members.edges.after) > _MANY_EDGES:
        return [plastic_torque(section) for section in members.sections]
    volumes, open_ = heap_volumes(members.edges)
    some = np.flatnonzero(open_ > _LEFT_OPEN)
    if some.size:
        volumes[some], open_[some] = heap_volumes(members.edges.rows(some), LEVELS + 1)
    return [
        PlasticTorque(2 * float(volume)) if rest <= _LEFT_OPEN else plastic_torque(section)
        for section, volume, rest in zip(members.sections, volumes, open_, strict=True)
    ]
