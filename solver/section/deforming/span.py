"""From fields to a basis: rigid motions first, the rest orthonormal to them and among themselves.

The product is the mean over the area, (1/A) int u . v dA, so that a coefficient is a root mean
square displacement whatever the units.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..elements.basis import sampled_basis
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array, Ints
from .elasticity.fields import Fields

#: A column that adds less than this part of itself to those before it is left out: below, rounding
#: of the eigenvectors rules.
NEW_PART = 1e-7
#: Coefficients of rigid motions below this are zero.
_ROUNDING = 1e-13


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
    rigid : tuple of (n, 6)
        See `reduced.ReducedSection`; one for each place of the mesh.
    mode : (n,) int
        See `Columns`.
    in_plane : (n,) bool
        Which move the section in its plane; the others move it along the member.
    names : tuple of str
    shapes : tuple of (n, m) complex
        Coefficients of the slow modes of each section.
    """

    coefficients: Array
    rigid: tuple[Array, ...]
    mode: Ints
    in_plane: NDArray[np.bool_]
    names: tuple[str, ...]
    shapes: tuple[NDArray[np.complex128], ...]


def basis_of(fields: Sequence[Fields], parts: Sequence[Columns]) -> Basis:
    """The basis that rigid motions and the columns of one or more sections span.

    Parameters
    ----------
    fields : sequence of Fields
        Meshes and order; several where the mesh moves along the member. Means are over the first.
    parts : sequence of Columns
    """
    columns = Columns.merged(parts)
    product = scalar_product(fields[0])
    linear = [(one.linear[:, 0], one.linear[:, 1]) for one in fields]
    count = product.shape[0]
    one = np.zeros(count)
    one[: len(fields[0].mesh.vertices)] = 1.0
    turns = [_turns(one, *xy) for xy in linear]
    planes = [np.stack([one, *xy], axis=1)[:, None] for xy in linear]
    more = 2 * (len(linear) - 1)
    u, u_kept = _orthonormal(
        product, turns[0], np.concatenate([*(t[..., 2:] for t in turns[1:]), columns.in_plane], 2)
    )
    axial = columns.axial[:, None]
    z, z_kept = _orthonormal(
        product, planes[0], np.concatenate([*(p[..., 1:] for p in planes[1:]), axial], 2)
    )
    nu, n = u.shape[2], u.shape[2] + z.shape[2]
    w = np.zeros((count, 3, n))
    w[:, :2, :nu], w[:, 2:, nu:] = u, z
    rigid = []
    for turn, plane in zip(turns, planes, strict=True):
        own = np.zeros((n, 6))
        own[:nu, [0, 1, 5]] = products(product, u, turn)
        own[nu:, [2, 4, 3]] = products(product, z, plane) * (1.0, -1.0, 1.0)
        own[np.abs(own) < _ROUNDING * np.abs(own).max(axis=0)] = 0
        rigid.append(own)
    none = np.zeros(3, dtype=np.int64)
    u_mode = np.concatenate([np.zeros(more // 2, dtype=np.int64), columns.in_plane_mode])
    z_mode = np.concatenate([np.zeros(more, dtype=np.int64), columns.axial_mode])
    u_names = [*(f"rotation {k + 2}" for k in range(more // 2)), *columns.in_plane_names]
    z_names = [*(f"plane {k + 3}" for k in range(more)), *columns.axial_names]
    return Basis(
        w,
        tuple(rigid),
        np.concatenate([none, u_mode[u_kept], none, z_mode[z_kept]]),
        np.arange(n) < nu,
        (
            *("translation x", "translation y", "rotation"),
            *(u_names[k] for k in u_kept),
            *("translation z", "plane in x", "plane in y"),
            *(z_names[k] for k in z_kept),
        ),
        tuple(_shapes(product, u, z, part) for part in parts),
    )


def _shapes(product: Any, u: Array, z: Array, part: Columns) -> NDArray[np.complex128]:
    """(n, m) coefficients of the modes whose real and imaginary parts are among the columns."""
    both = []
    for basis, fields, mode in (
        (u, part.in_plane, part.in_plane_mode),
        (z, part.axial[:, None], part.axial_mode),
    ):
        found = products(product, basis, fields[..., mode > 0])
        both.append(found[:, ::2] + 1j * found[:, 1::2])
    return np.asarray(np.vstack(both))


def _turns(one: Array, x: Array, y: Array) -> Array:
    """(count, 2, 3) translations along x and y, and the rotation."""
    zero = np.zeros_like(one)
    both = np.array([[one, zero], [zero, one], [-y, x]])
    return np.asarray(both.transpose(2, 1, 0))


def rows_beyond(rigid: Array) -> Array:
    """(n - r, n) orthonormal rows that vanish on the columns of (n, r)."""
    n, r = rigid.shape
    size = np.linalg.norm(rigid, axis=0)
    own = np.flatnonzero(rigid.any(axis=1))
    if len(own) == r:  # the columns fill their own coordinates: the others are the rows
        return np.asarray(np.delete(np.eye(n), own, axis=0))
    q = np.linalg.qr(rigid / size, mode="complete")[0]
    return np.asarray(q[:, r:].T)


def scalar_product(fields: Fields) -> Any:
    """(count, count) sparse (1/A) int N_i N_j."""
    from scipy.sparse import coo_array

    numbers, count = fields.numbers, len(fields.coefficients)
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


def products(product: Any, a: Array, b: Array) -> Array:
    """(i, j) mean products of fields (count, d, i) and (count, d, j)."""
    weighted = (product @ b.reshape(len(b), -1)).reshape(b.shape)
    return np.asarray(np.tensordot(a, weighted, axes=([0, 1], [0, 1])))


def _orthonormal(product: Any, rigid: Array, more: Array) -> tuple[Array, list[int]]:
    """Orthonormal columns that span the rigid ones (first) and the others, and which others were
    kept.

    rigid, more : (count, d, r) and (count, d, k).
    """
    factor = np.linalg.cholesky(products(product, rigid, rigid))
    basis, kept = _grown(product, rigid @ np.linalg.inv(factor).T, more, NEW_PART)
    return basis, kept


def orthonormal_to(product: Any, known: Array, more: Array, new: float) -> Array:
    """Orthonormal columns (count, d, m) of `more` (count, d, k) beyond the orthonormal `known`;
    those of which less than the part `new` is beyond are left out."""
    return _grown(product, known, more, new)[0][..., known.shape[2] :]


def _grown(product: Any, known: Array, more: Array, new_part: float) -> tuple[Array, list[int]]:
    """Known orthonormal columns and what more of them adds, column by column."""
    count, d, n = known.shape
    # A column is a row here, so that those found so far lie together.
    rows = np.empty((n + more.shape[2], count * d))
    rows[:n] = known.reshape(-1, n).T
    kept = []
    for k, row in enumerate(more.reshape(count * d, -1).T):
        size = float(np.sqrt(row @ _weighted(product, row, d)))
        if size == 0:
            continue
        row = row / size
        new = 1.0
        for _ in range(2):  # the second pass removes what rounding of the first one left
            row = row - (rows[:n] @ _weighted(product, row, d)) @ rows[:n]
            part = float(np.sqrt(max(float(row @ _weighted(product, row, d)), 0.0)))
            new *= part
            if new < new_part:
                break
            row = row / part
        else:
            rows[n] = row
            n += 1
            kept.append(k)
    return np.ascontiguousarray(rows[:n].T).reshape(count, d, n), kept


def _weighted(product: Any, row: Array, d: int) -> Array:
    """A field (count d,) times the product, as `products` weighs it."""
    return np.asarray(product @ row.reshape(-1, d)).ravel()
