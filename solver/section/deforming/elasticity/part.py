"""A part of a mesh: some triangles as a mesh of their own, and whose functions they carry."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...elements.basis import local_size
from ...mesh.section_mesh import Array, Ints, SectionMesh, connect
from .fields import Fields
from .linear import bare_fields


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """Some triangles of a mesh.

    Attributes
    ----------
    mesh : SectionMesh
        Of the part alone.
    fields : Fields
        On it, without columns.
    triangles : (t,) int
        Numbers in the whole mesh.
    functions : (count,) int
        Number in the whole mesh of each of the part's shape functions.
    """

    mesh: SectionMesh
    fields: Fields
    triangles: Ints
    functions: Ints

    def spread(self, coefficients: Array, count: int) -> Array:
        """Coefficients (count of the part, ...) among those of the whole mesh, zero elsewhere."""
        out = np.zeros((count, *coefficients.shape[1:]), dtype=coefficients.dtype)
        out[self.functions] = coefficients
        return out


def part_of(mesh: SectionMesh, order: int, triangles: Ints) -> Part:
    """The part of a mesh that some triangles make; vertices keep their order, so that each function
    is the same on both meshes."""
    rows = mesh.triangles[triangles]
    used, local = np.unique(rows, return_inverse=True)
    arcs = np.unique(mesh.triangle_edges[triangles][mesh.corner_bulges[triangles] != 0])
    place = np.full(len(mesh.vertices), -1)
    place[used] = np.arange(len(used))
    own = connect(
        mesh.vertices[used],
        local.reshape(-1, 3),
        mesh.region[triangles],
        place[mesh.edges[arcs]].reshape(-1, 2),
        mesh.bulges[arcs],
        mesh.depth[triangles],
    )
    edges = np.empty(len(own.edges), dtype=np.int64)
    edges[own.triangle_edges] = mesh.triangle_edges[triangles]
    v, e, inner = len(mesh.vertices), len(mesh.edges), local_size(order) - 3 * order
    functions = np.concatenate(
        [
            used,
            (v + edges[:, None] * (order - 1) + np.arange(order - 1)).ravel(),
            (v + e * (order - 1) + triangles[:, None] * inner + np.arange(inner)).ravel(),
        ]
    )
    return Part(own, bare_fields(own, order), triangles, functions)
