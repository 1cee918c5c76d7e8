"""The mesh on which a section deforms, and the order of its shape functions.

Geometric layers at corners and at the ends of interfaces, where the stress is unbounded, bring
rates and rigidities of sharp-cornered sections to some 1e-4 at order 5 (measured on boxes, plate
girders and angles against order 8 with more layers: 2e-4 at most with two layers, 1e-3 with none).
"""

from __future__ import annotations

import numpy as np

from ...mesh.corner_layers import cut_toward
from ...mesh.refinement import smallest_stretch
from ...mesh.section_mesh import Array, SectionMesh
from ...torsion.sharp_corner import vertex_exponents

#: Order of the shape functions, and of a mesh of so many small triangles that it needs less.
ORDER, LOW_ORDER = 5, 4
MANY_TRIANGLES = 1200
#: Layers at corners whose exponent is below this.
LAYERS = 2
SHARP = 0.9
#: Smallest Jacobian of a triangle with an arc, by that of the straight one, that layers may leave.
_FLAT = 0.02


def sharp_corners(mesh: SectionMesh, shear: Array) -> Array:
    """(k, 2) places where the stress is unbounded; `shear` (r,) by region."""
    exponent, _ = vertex_exponents(mesh, shear)
    return mesh.vertices[np.flatnonzero(exponent < SHARP)]


def layered(mesh: SectionMesh, places: Array) -> SectionMesh:
    """The mesh with layers at some of its vertices, as many as its arcs allow."""
    if len(mesh.triangles) > MANY_TRIANGLES or not len(places):
        return mesh
    vertices = mesh.vertices @ (1, 1j)
    corners = np.flatnonzero(np.isin(vertices, places @ (1, 1j)))
    for layers in range(LAYERS, 0, -1):
        finer = cut_toward(mesh, corners, layers)
        if smallest_stretch(finer).min() > _FLAT:
            return finer
    return mesh


def order_for(mesh: SectionMesh) -> int:
    """Order of the shape functions on a mesh."""
    return LOW_ORDER if len(mesh.triangles) > MANY_TRIANGLES else ORDER
