"""From fields to a basis: rigid motions first, the rest orthonormal to them and among themselves.

The product is the mean over the area, (1/A) int u . v dA, so that a coefficient is a root mean
square displacement whatever the units.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ..elements.basis import sampled_basis
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array, Ints
from .fields import Fields, function_numbers

#: A column that adds less than this part of itself to those before it is left out: below, rounding
#: of the eigenvectors rules.
NEW_PART = 1e-7


@dataclass(frozen=True, slots=True, eq=False)
class Columns:
    """Fields that move a section in its plane or along the member, in the order in which they are
    taken.

    Attributes
    ----------
    in_plane : (count, 2, k), axial : (count, m)
    in_plane_mode, axial_mode : (k,), (m,) int
        The slow mode each belongs to, from 1; 0 for Saint-Venant's solutions.
    in_plane_names, axial_names : tuples of str
    """

    in_plane: Array
    axial: Array
    in_plane_mode: Ints
    axial_mode: Ints
    in_plane_names: tuple[str, ...]
    axial_names: tuple[str, ...]

    def replaced(self, both: Array) -> Columns:
        """The same columns with other coefficients: (count, 3, c), in-plane and axial ones side by
        side."""
        return replace(
            self,
            in_plane=both[:, :2, : self.in_plane.shape[2]],
            axial=both[:, 2, : self.axial.shape[1]],
        )

    @classmethod
    def merged(cls, parts: Sequence[Columns]) -> Columns:
        """The columns of several sections, slow modes by their number."""
        if len(parts) == 1:
            return parts[0]
        u_mode = np.concatenate([p.in_plane_mode for p in parts])
        z_mode = np.concatenate([p.axial_mode for p in parts])
        u, z = np.argsort(u_mode, kind="stable"), np.argsort(z_mode, kind="stable")
        u_names = [name for p in parts for name in p.in_plane_names]
        z_names = [name for p in parts for name in p.axial_names]
        return cls(
            np.concatenate([p.in_plane for p in parts], axis=2)[..., u],
            np.concatenate([p.axial for p in parts], axis=1)[:, z],
            u_mode[u],
            z_mode[z],
            tuple(u_names[k] for k in u),
            tuple(z_names[k] for k in z),
        )


@dataclass(frozen=True, slots=True, eq=False)
class Basis:
    """Orthonormal fields, each in the section's plane or along the member.

    Attributes
    ----------
    coefficients : (count, 3, n)
    rigid : (n, 6)
        See `reduced.ReducedSection`.
    mode : (n,) int
        See `Columns`.
    in_plane, axial : (n,) bool
        Which are neither rigid in the plane nor plane along the member.
    names : tuple of str
    """

    coefficients: Array
    rigid: Array
    mode: Ints
    in_plane: NDArray[np.bool_]
    axial: NDArray[np.bool_]
    names: tuple[str, ...]


def basis_of(fields: Fields, linear: tuple[Array, Array], columns: Columns) -> Basis:
    """The basis that rigid motions and the given columns span.

    Parameters
    ----------
    fields : Fields
        Mesh and order; its coefficients are not read.
    linear : pair of (count,)
        Coefficients of x and y.
    """
    product = scalar_product(fields)
    count, (x, y) = product.shape[0], linear
    one = np.zeros(count)
    one[: len(fields.mesh.vertices)] = 1.0
    zero = np.zeros(count)
    flat = np.moveaxis(np.array([[one, zero], [zero, one], [-y, x]]), 2, 0).transpose(0, 2, 1)
    planes = np.stack([one, x, y], axis=1)[:, None]
    u, u_rigid, u_kept = _orthonormal(product, flat, columns.in_plane)
    z, z_rigid, z_kept = _orthonormal(product, planes, columns.axial[:, None])
    nu, n = u.shape[2], u.shape[2] + z.shape[2]
    w, rigid = np.zeros((count, 3, n)), np.zeros((n, 6))
    w[:, :2, :nu], w[:, 2:, nu:] = u, z
    rigid[:3, [0, 1, 5]] = u_rigid
    rigid[nu : nu + 3, [2, 4, 3]] = z_rigid * (1.0, -1.0, 1.0)
    place = np.arange(n)
    none = np.zeros(3, dtype=np.int64)
    return Basis(
        w,
        rigid,
        np.concatenate([none, columns.in_plane_mode[u_kept], none, columns.axial_mode[z_kept]]),
        (place >= 3) & (place < nu),
        place >= nu + 3,
        (
            *("translation x", "translation y", "rotation"),
            *(columns.in_plane_names[k] for k in u_kept),
            *("translation z", "plane in x", "plane in y"),
            *(columns.axial_names[k] for k in z_kept),
        ),
    )


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
    kept = []
    for k in range(more.shape[2]):
        column = more[:, :, k : k + 1]
        size = float(np.sqrt(dot(column, column)[0, 0]))
        if size == 0:
            continue
        column = column / size
        new = 1.0
        for _ in range(2):  # the second pass removes what rounding of the first one left
            column = column - basis @ dot(basis, column)
            part = float(np.sqrt(max(dot(column, column)[0, 0], 0.0)))
            new *= part
            if new < NEW_PART:
                break
            column = column / part
        else:
            basis = np.concatenate([basis, column], axis=2)
            kept.append(k)
    return basis, factor.T, kept
