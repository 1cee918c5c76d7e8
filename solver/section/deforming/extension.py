"""Fields of one section extended into material that it has not, as softly as elasticity allows."""

from __future__ import annotations

import numpy as np

from ..mesh.section_mesh import Array, SectionMesh
from .elasticity.condensed import condensed_system
from .elasticity.elastic import Elastic
from .elasticity.matrices import section_matrices
from .elasticity.part import Part, part_of

#: Stiffness against plain motion, by that against strain over the section's size: parts that hang
#: on one point alone could turn about it.
_HOLD = 1e-9


def extended(mesh: SectionMesh, order: int, own: Part, elastic: Elastic, fields: Array) -> Array:
    """Fields (count, 3, c) of a section's own part, extended over the rest of the mesh by the least
    energy of C.

    Parameters
    ----------
    elastic : Elastic
        Of all triangles of the mesh.
    """
    known = np.zeros(len(fields), dtype=bool)
    known[own.functions] = True
    beyond = np.ones(len(mesh.triangles), dtype=bool)
    beyond[own.triangles] = False
    if not beyond.any():
        return fields
    rest = part_of(mesh, order, np.flatnonzero(beyond))
    m = section_matrices(rest.fields, elastic.of(rest.triangles))
    size = float(np.ptp(mesh.vertices, axis=0).max())
    hold = (_HOLD / size**2 * m.shear)[:, None, None] * m.product
    n = m.product.shape[1]
    plane = m.C_u.copy()
    plane[:, :n, :n] += hold
    plane[:, n:, n:] += hold
    out = fields.copy()
    local = fields[rest.functions]
    held = known[rest.functions]
    for components, elements in ((slice(0, 2), plane), (slice(2, 3), m.C_z + hold)):
        value = local[:, components]
        load = -m.summed(elements @ m.gathered(value))
        border = len(held) - len(rest.triangles) * (n - m.outer)
        fixed = np.repeat(held[:border, None], value.shape[1], axis=1)
        system = condensed_system(m.numbers, m.count, m.outer, elements, fixed)
        out[rest.functions, components] = value + system.solve(load)
    return out
