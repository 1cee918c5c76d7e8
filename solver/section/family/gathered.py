"""From the fields of a family to the results of its sections."""

from __future__ import annotations

from time import perf_counter

import numpy as np
from numpy.typing import NDArray

from ..result import SectionResult, SolverReport
from ..torsion.cells import cells_of
from ..torsion.lever_arm import mean_lever_arms
from ..torsion.peak import searched_edges, torsion_moduli
from ..torsion.sharp_corner import SharpCorner
from ..torsion.warping import about_pole, poles
from .alike_outlines import AlikeOutlines
from .corners import alike_corners
from .fields import StackedField


def results_of(
    stack: StackedField,
    outlines: AlikeOutlines,
    corners: tuple[SharpCorner, ...],
    good: NDArray[np.bool_],
    accuracy: float,
    begin: float,
) -> list[SectionResult | None]:
    """Results of k sections, work on whose fields began at `begin`; None of those that are not
    `good` (k,), or whose stress is unbounded elsewhere than in the first one."""
    k, template, whole = len(stack), stack.template, stack.whole()
    torque = (stack.lower + stack.upper) / 2
    own_corners, same = alike_corners(stack, outlines.edges, corners)
    triangles, local = searched_edges(stack.field(0))
    each = len(template.mesh.triangles)
    searched = triangles + each * np.arange(k)[:, None]
    local = np.broadcast_to(local, searched.shape)
    moduli = torsion_moduli(
        whole, searched, local, torque, own_corners, outlines.sections[0].unit, stack.origin
    )
    levers, lever_changes = mean_lever_arms(whole, stack.modes, torque)
    moments = [
        (a.second_moments.x, a.second_moments.y, a.second_moments.xy) for a in outlines.areas
    ]
    pole, constant, cw = poles(whole, np.ones(k * each), np.array(moments))
    out: list[SectionResult | None] = []
    for row, section in enumerate(outlines.sections):
        if not (good[row] and same[row]):
            out.append(None)
            continue
        field, area, j = stack.field(row), outlines.areas[row], float(torque[row])
        report = SolverReport(
            order=template.order,
            elements=each,
            unknowns=field.unknowns,
            seconds=(perf_counter() - begin) / k,
            accuracy=accuracy,
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
                perimeter=float(outlines.perimeters[row]),
                plastic_moduli=outlines.plastic_moduli[row],
                plastic_torque=outlines.plastic_torques[row],
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
