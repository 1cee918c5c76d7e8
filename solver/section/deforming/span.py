"""From fields to a basis: rigid motions first, the rest orthonormal to them and among themselves.

The product is the mean over the area, (1/A) int u . v dA, so that a coefficient is a root mean
square displacement whatever the units.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..basis import sampled_basis
from ..elements import CURVED_EXTRA
from ..mesh import Array
from .elastic import Elastic
from .fields import Fields, function_numbers
from .piece import piece_matrices
from .reduced import ReducedSection

#: A column that adds less than this part of itself to those before it is left out: below, rounding
#: of the eigenvectors rules.
NEW_PART = 1e-7


@dataclass(frozen=True, slots=True, eq=False)
class Columns:
    """Fields that move a section in its plane, and fields that move it along the member.

    Attributes
    ----------
    in_plane : (count, 2, k)
    axial : (count, m)
    in_plane_names, axial_names : tuples of str
    """

    in_plane: Array
    axial: Array
    in_plane_names: tuple[str, ...]
    axial_names: tuple[str, ...]


def reduced_on(
    fields: Fields,
    elastic: Elastic,
    columns: Columns,
    decay: Array,
    warping: Array | None = None,
) -> ReducedSection:
    """The reduced section spanned by rigid motions and the given columns.

    Parameters
    ----------
    fields : Fields
        Mesh and order; its coefficients are not read.
    elastic : Elastic
    columns : Columns
    decay : (m,) complex
    warping : (count,), optional
        See `resultants`.
    """
    product = scalar_product(fields)
    count = product.shape[0]
    x, y = linear_functions(fields)
    one = np.zeros(count)
    one[: len(fields.mesh.vertices)] = 1.0
    zero = np.zeros(count)
    turns = np.stack([np.stack(p) for p in ((one, zero), (zero, one), (-y, x))], axis=-1)
    planes = np.stack([one, x, y], axis=-1)[:, None, :]
    flat = np.moveaxis(turns, 1, 0)  # (count, 2, 3)
    u, u_rigid, u_kept = _orthonormal(product, flat, columns.in_plane)
    z, z_rigid, z_kept = _orthonormal(product, planes, columns.axial[:, None, :])
    nu, nz = u.shape[2], z.shape[2]
    w = np.zeros((count, 3, nu + nz))
    w[:, :2, :nu], w[:, 2:, nu:] = u, z
    rigid = np.zeros((nu + nz, 6))
    rigid[:3, [0, 1, 5]] = u_rigid
    rigid[nu : nu + 3, 2] = z_rigid[:, 0]
    rigid[nu : nu + 3, 4] = -z_rigid[:, 1]
    rigid[nu : nu + 3, 3] = z_rigid[:, 2]
    names = (
        "translation x", "translation y", "rotation",
        *(columns.in_plane_names[k] for k in u_kept),
        "translation z", "plane x", "plane y",
        *(columns.axial_names[k] for k in z_kept),
    )  # fmt: skip
    every = np.eye(nu + nz)
    own = Fields(fields.mesh, fields.order, fields.numbers, w)
    m = piece_matrices(own, elastic)
    return ReducedSection(
        m.C, m.L, m.M, m.mass, rigid, every[3:nu], every[nu + 3 :], m.body, m.weight, names,
        decay, own, elastic, warping=warping,
    )  # fmt: skip


def scalar_product(fields: Fields) -> NDArray[np.float64]:
    """(count, count) sparse (1/A) int N_i N_j."""
    from scipy.sparse import coo_array

    numbers, count = function_numbers(fields.mesh, fields.order)
    mesh, n = fields.mesh, numbers.shape[1]
    blocks = np.empty((len(mesh.triangles), n, n))
    area = 0.0
    for rough in (False, True):
        own = np.flatnonzero(mesh.curved == rough)
        if own.size:
            places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else 1))
            spots = fields.spots(own, places)
            pairs = spots.value[:, :, None] * spots.value[:, None, :]
            blocks[own] = (spots.weights @ pairs.reshape(len(pairs), -1)).reshape(-1, n, n)
            area += spots.weights.sum()
    rows = np.repeat(numbers, n, axis=1).ravel()
    columns = np.tile(numbers, (1, n)).ravel()
    return coo_array((blocks.ravel() / area, (rows, columns)), shape=(count, count)).tocsr()


def linear_functions(fields: Fields) -> tuple[Array, Array]:
    """Coefficients (count,) of x and y themselves: at the vertices, and along arcs, whose
    departure from the chord the edge and bubble functions carry."""
    from scipy.sparse.linalg import splu

    mesh = fields.mesh
    numbers, count = function_numbers(mesh, fields.order)
    out = np.zeros((count, 2))
    out[: len(mesh.vertices)] = mesh.vertices
    own = np.flatnonzero(mesh.curved)
    if not own.size:
        return out[:, 0], out[:, 1]
    # least squares over the triangles with arcs, the vertices kept
    spots = fields.spots(own, sampled_basis(fields.order, fields.order + CURVED_EXTRA))
    left = spots.points - spots.value @ out[numbers[own]]
    pairs = spots.value[:, :, None] * spots.value[:, None, :]
    n = numbers.shape[1]
    blocks = (spots.weights @ pairs.reshape(len(pairs), -1)).reshape(-1, n, n)
    load = np.einsum("tq,qn,tqd->tnd", spots.weights, spots.value, left, optimize=True)
    used = np.unique(numbers[own][:, 3:])
    place = np.full(count, -1)
    place[used] = np.arange(len(used))
    from scipy.sparse import coo_array

    local = place[numbers[own]]
    rows, columns = np.repeat(local, n, axis=1).ravel(), np.tile(local, (1, n)).ravel()
    kept = (rows >= 0) & (columns >= 0)
    system = coo_array(
        (blocks.ravel()[kept], (rows[kept], columns[kept])), shape=(len(used), len(used))
    ).tocsc()
    rhs = np.zeros((len(used) + 1, 2))
    np.add.at(rhs, local.ravel(), load.reshape(-1, 2))
    out[used] += splu(system).solve(rhs[:-1])
    return out[:, 0], out[:, 1]


def _orthonormal(product: Array, rigid: Array, more: Array) -> tuple[Array, Array, list[int]]:
    """Orthonormal columns that span the rigid ones (first) and the others; coefficients of the
    rigid ones; which others were kept.

    rigid, more : (count, d, r) and (count, d, k).
    """
    shape = rigid.shape[:2]

    def dot(a: Array, b: Array) -> Array:
        weighted = (product @ b.reshape(shape[0], -1)).reshape(b.shape)
        return np.asarray(np.einsum("ndi,ndj->ij", a, weighted, optimize=True))

    factor = np.linalg.cholesky(dot(rigid, rigid))
    basis = rigid @ np.linalg.inv(factor).T
    size = np.sqrt(np.maximum(np.diag(dot(more, more)), 0))
    some = np.flatnonzero(size > 0)
    left = more[:, :, some] / size[some]
    for _ in range(2):
        left = left - basis @ dot(basis, left)
    own = np.sqrt(np.maximum(np.diag(dot(left, left)), 0))
    new = own > NEW_PART
    some, left = some[new], left[:, :, new] / own[new]
    kept = []
    while some.size:
        own = np.sqrt(np.maximum(np.diag(dot(left, left)), 0))
        k = int(np.argmax(own))
        if own[k] < NEW_PART:
            break
        column = left[:, :, k : k + 1] / own[k]
        column = column - basis @ dot(basis, column)
        column /= np.sqrt(dot(column, column))
        basis = np.concatenate([basis, column], axis=2)
        kept.append(int(some[k]))
        rest = np.arange(len(some)) != k
        some, left = some[rest], left[:, :, rest]
        left = left - column @ dot(column, left)
    return basis, factor.T, kept
