"""A membrane over a mesh's triangles, of linear elements on their chords."""

from __future__ import annotations

from typing import Any

import numpy as np

from .section_mesh import Array, SectionMesh


def membrane_stiffness(mesh: SectionMesh, weight: Array | None = None) -> Any:
    """Sparse (v, v) int weight grad . grad of the vertices' linear functions; `weight` (t,) of each
    triangle, 1 where it is left out."""
    from scipy.sparse import coo_array

    c = mesh.corners
    side = np.roll(c, -1, axis=1) - np.roll(c, 1, axis=1)
    area = np.abs(side[:, 0, 0] * side[:, 1, 1] - side[:, 0, 1] * side[:, 1, 0]) / 2
    share = 1 / (4 * area) if weight is None else weight / (4 * area)
    local = side @ side.transpose(0, 2, 1) * share[:, None, None]
    rows = np.repeat(mesh.triangles, 3, axis=1).ravel()
    columns = np.tile(mesh.triangles, (1, 3)).ravel()
    n = len(mesh.vertices)
    return coo_array((local.ravel(), (rows, columns)), shape=(n, n)).tocsr()
