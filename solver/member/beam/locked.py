"""What imposed strains do to the equations of the exact beam.

Held still, an element under the free strain e carries f_0 = -K e. With f = f_0 + f_1 the rest f_1
and the motion follow from the loads and from

    q_0 = f_0' - A_ff f_0   along the element, and the jumps of f_0 at nodes,

which are in equilibrium with themselves (derived from d' = A_dd d + C f + e, f' = A_ff f + K d - q,
see `element`). f_0 is constant along an element, so q_0 comes from the curvature of the axis alone.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..model.imposed import Settlement
from .element import blocks
from .free_strain import FreeStrain, free_strain
from .mesh import Mesh

Array = NDArray[np.float64]


def locked_forces(mesh: Mesh) -> Array:
    """(n, 6, c) f_0 of every element about O, by case of the mesh's member."""
    member = mesh.member
    found = np.zeros((len(mesh.length), 6, len(member.cases)))
    middle = (mesh.nodes[:-1] + mesh.nodes[1:]) / 2
    # Hinges and kinks are elements without length: nothing in them grows.
    long = mesh.length > 0
    for action in member.imposed:
        if isinstance(action, Settlement):
            continue
        case = member.cases.index(action.case)
        known: dict[int, FreeStrain] = {}
        for k in np.flatnonzero(long & (middle > action.start) & (middle < action.end)):
            segment = member.segment_at(float(middle[k]))
            alike = id(segment) if segment.section_end is None else -1
            strain = known.get(alike)
            if strain is None:
                strain = free_strain(action, segment, float(middle[k]))
                if alike >= 0:
                    known[alike] = strain
            found[k, :, case] -= _carried(mesh, int(mesh.kind[k]), strain)
    return found


def _carried(mesh: Mesh, kind: int, strain: FreeStrain) -> Array:
    """K e about O."""
    section = mesh.sections[kind]
    x, y = mesh.stiffness.centroid[kind]
    e = section.elastic_modulus
    i_x, i_y, i_xy = section.second_moment_x, section.second_moment_y, section.product_moment
    n = e * section.area * strain.axial
    m_x = e * (i_x * strain.about_x - i_xy * strain.about_y)
    m_y = e * (i_y * strain.about_y - i_xy * strain.about_x)
    return np.array([0.0, 0.0, n, m_x + y * n, m_y - x * n, 0.0])


def equivalent_loads(mesh: Mesh, locked: Array) -> tuple[Array, Array]:
    """q_0 (2, n, 6, c) at the starts and ends of elements, and the forces (k, 7, c) at nodes."""
    stiffness = mesh.stiffness.take(mesh.kind)
    along = np.array(
        [
            -np.einsum("nij,njc->nic", blocks(stiffness, kappa, mesh.foundation).balance, locked)
            for kappa in mesh.curvatures
        ]
    )
    nodal = np.zeros((mesh.count, 7, locked.shape[-1]))
    first = np.arange(len(locked))
    after = (first + 1) % mesh.count if mesh.closed else first + 1
    np.add.at(nodal[:, :6], first, locked)
    np.add.at(nodal[:, :6], after, -locked)
    return along, nodal
