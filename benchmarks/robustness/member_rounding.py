"""How far rounding alone may part two solutions of one member whose sections deform.

Equilibrium is found by an iteration that ends where the forces K a of the nodes are met as far as
they can be computed: each is off by a unit of rounding of the numbers it is summed from, |K| |a|.
Long members of short elements move much further than their elements are strained, so that these
forces, which cancel, move the member by far more than a unit of rounding: K^-1 eps |K| |a|, here
with signs at random.
"""

from __future__ import annotations

import numpy as np
from soapfilm.solver.member.deforming.analysis import assembled, frame_of
from soapfilm.solver.member.deforming.assembly import side_by_side

from .member_case import Array, SolvedMember

#: Draws of signs, of which the largest movement counts.
_DRAWS = 8


def rounding(found: SolvedMember) -> Array:
    """(c,) largest movement of any point of the case, at any node, by a unit of rounding of every
    node's forces in each combination."""
    solution = found.deforming
    coefficients = solution.field.coefficients
    frame = frame_of(solution.member, solution.course, solution.field.nodes)
    order = coefficients.shape[1] - 1
    system = assembled(frame, order, loaded=False)
    c = coefficients.shape[-1]
    values = np.zeros((system.count, system.size, c))
    values[system.ends[:, 1]] = coefficients[:, 1]
    values[system.ends[:, 0]] = coefficients[:, 0]
    forces = np.zeros_like(values)
    for element, own in system.matrix.alike:
        sizes = np.abs(element.condensed) @ side_by_side(np.abs(values), system.ends[own])
        system.matrix.add(forces, own, sizes)
    signs = np.random.default_rng(0).choice([-1.0, 1.0], (*values.shape[:2], 1, _DRAWS))
    right = (np.finfo(float).eps * forces[..., None] * signs).reshape(*values.shape[:2], -1)
    none = np.zeros((len(system.elements), (order + 1) * system.size, right.shape[2]))
    moved = system.solve(right, none)
    section = solution.course.parts[0].straight
    rows = section.displacement_rows(np.array([p[:2] for p in found.case.points]))
    size = np.abs(np.einsum("pdn,knc->kpdc", rows, moved)).max(axis=(0, 1, 2))
    return np.asarray(size.reshape(c, _DRAWS).max(axis=1))
