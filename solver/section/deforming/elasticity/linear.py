"""The position itself as a field: coefficients of x and y."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ...elements.basis import sampled_basis
from ...elements.integrals import CURVED_EXTRA
from ...mesh.section_mesh import Array, SectionMesh
from .fields import Fields, function_numbers


def bare_fields(mesh: SectionMesh, order: int) -> Fields:
    """Fields without columns on a mesh."""
    numbers, count = function_numbers(mesh, order)
    linear = np.zeros((count, 2))
    linear[: len(mesh.vertices)] = mesh.vertices
    fields = Fields(mesh, order, numbers, np.zeros((count, 3, 0)), linear)
    return replace(fields, linear=_with_arcs(fields)) if mesh.bulges.any() else fields


def _with_arcs(fields: Fields) -> Array:
    """x and y vary along arcs as edge and bubble functions, too: the least squares over the
    triangles with arcs, the vertices kept."""
    from scipy.sparse import coo_array
    from scipy.sparse.linalg import splu

    out = fields.linear.copy()
    own = np.flatnonzero(fields.mesh.curved)
    numbers, count = fields.numbers[own], len(out)
    spots = fields.spots(own, sampled_basis(fields.order, fields.order + CURVED_EXTRA))
    left = spots.points - spots.value @ out[numbers]
    pairs = spots.value[:, :, None] * spots.value[:, None, :]
    n = numbers.shape[1]
    blocks = (spots.weights @ pairs.reshape(len(pairs), -1)).reshape(-1, n, n)
    load = np.einsum("tq,qn,tqd->tnd", spots.weights, spots.value, left, optimize=True)
    used = np.unique(numbers[:, 3:])
    place = np.full(count, -1)
    place[used] = np.arange(len(used))
    local = place[numbers]
    rows, columns = np.repeat(local, n, axis=1).ravel(), np.tile(local, (1, n)).ravel()
    kept = (rows >= 0) & (columns >= 0)
    system = coo_array(
        (blocks.ravel()[kept], (rows[kept], columns[kept])), shape=(len(used), len(used))
    ).tocsc()
    rhs = np.zeros((len(used) + 1, 2))
    np.add.at(rhs, local.ravel(), load.reshape(-1, 2))
    out[used] += splu(system).solve(rhs[:-1])
    return out
