"""The section's three matrices of 3D elasticity, element by element.

A displacement u(x, y) of the section, varying along the member, has the energy per length
1/2 (u'^T M u' + 2 u'^T L u + u^T C u). In-plane components (x, y) and the axial one z are apart in
C and M, and L couples only one kind with the other:

    C_u = int (lambda div^2 + 2 mu eps : eps),  C_z = int G grad . grad,
    M_u = int G N N,  M_z = int (lambda + 2 mu) N N,
    A = (L - L^T)_uz = int G N_i d N_j - int lambda d N_i N_j     (d = d/dx, d/dy for u_x, u_y).

Bubbles are kept: their part of the energy depends on the rate along the member, so they are
condensed for one rate at a time (see `waves`), never once for all.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ...elements.basis import sampled_basis
from ...elements.integrals import CURVED_EXTRA
from ...mesh.section_mesh import Array, Ints
from .elastic import Elastic
from .fields import Fields
from .triangle import pair_integrals, triangle_matrices, without_motion

#: Numbers held at once while the triangles' matrices are made.
_CHUNK = 6_000_000


@dataclass(frozen=True, slots=True, eq=False)
class SectionMatrices:
    """Element matrices; t triangles of n shape functions, 3p of them outer ones, count in all.

    Attributes
    ----------
    numbers : (t, n) int
    count : int
    outer : int
        Vertex and edge functions of a triangle: the first 3p.
    C_u : (t, 2n, 2n)
        Component first: all of x, then all of y.
    C_z : (t, n, n)
    A : (t, 2n, n)
    product : (t, n, n)
        int N_i N_j.
    shear, wall : (t,)
        G and lambda + 2 mu, which make M_u and M_z of the product.
    adding : (count, t n) sparse
        Adds up what the triangles contribute to each function.
    linear : (t, n, 2)
        Coefficients of x and y.
    """

    numbers: Ints
    count: int
    outer: int
    C_u: Array
    C_z: Array
    A: Array
    product: Array
    shear: Array
    wall: Array
    adding: Any
    linear: Array

    def wave(self, k: float) -> Array:
        """(t, 3n, 3n) the energy of u = (X sin kz, Y sin kz, Z cos kz), per half its length:
        symmetric, positive definite for k > 0.

        u' = k (X cos, Y cos, -Z sin): the products of a sine and a cosine part leave +k A.
        """
        t, n, _ = self.product.shape
        two, out = 2 * n, np.zeros((t, 3 * n, 3 * n))
        out[:, :two, :two] = self.C_u
        out[:, two:, two:] = self.C_z + (k * k * self.wall)[:, None, None] * self.product
        soft = (k * k * self.shear)[:, None, None] * self.product
        out[:, :n, :n] += soft
        out[:, n:two, n:two] += soft
        out[:, :two, two:] = k * self.A
        out[:, two:, :two] = out[:, :two, two:].transpose(0, 2, 1)
        return out

    def gathered(self, vectors: Array) -> Array:
        """(t, d n, c) of (count, d, c): the component comes first."""
        c = vectors.shape[2]
        local = vectors[self.numbers]
        return np.ascontiguousarray(local.transpose(0, 2, 1, 3)).reshape(len(local), -1, c)

    def summed(self, local: Array) -> Array:
        """(count, d, c) of (t, d n, c), contributions added up."""
        t, rows, c = local.shape
        n = self.numbers.shape[1]
        d = rows // n
        flat = local.reshape(t, d, n, c).transpose(0, 2, 1, 3).reshape(t * n, d * c)
        return np.asarray((self.adding @ flat).reshape(self.count, d, c))

    def stiff(self, in_plane: Array) -> Array:
        """C_u U for U (count, 2, c), free of the rounding that rigid motion of a triangle brings on
        either side."""
        u = self.gathered(in_plane)
        t, _, c = u.shape
        n = self.product.shape[1]
        force = self.C_u @ without_motion(u.reshape(t, 2, n, c), self.linear).reshape(t, 2 * n, c)
        return self.summed(force)

    def soft(self, in_plane: Array) -> Array:
        """M_u U for U (count, 2, c)."""
        u, n = self.gathered(in_plane), self.product.shape[1]
        elements = self.shear[:, None, None] * self.product
        return self.summed(np.concatenate([elements @ u[:, :n], elements @ u[:, n:]], axis=1))

    def along(self, in_plane: Array, axial: Array) -> Array:
        """A^T U + M_z W, (count, c)."""
        u, w = self.gathered(in_plane), self.gathered(axial[:, None])
        both = self.A.transpose(0, 2, 1) @ u + self.wall[:, None, None] * (self.product @ w)
        return self.summed(both)[:, 0]

    def pushed(self, in_plane: Array, axial: Array) -> tuple[Array, Array]:
        """B (U, W) = (M_u U + A W, M_z W) for U (count, 2, c) and W (count, c)."""
        u, w = self.gathered(in_plane), self.gathered(axial[:, None])
        n = self.product.shape[1]
        soft = self.shear[:, None, None] * self.product
        first = self.A @ w
        first[:, :n] += soft @ u[:, :n]
        first[:, n:] += soft @ u[:, n:]
        second = self.wall[:, None, None] * (self.product @ w)
        return self.summed(first), self.summed(second)[:, 0]


def section_matrices(fields: Fields, elastic: Elastic) -> SectionMatrices:
    """Integrate the shape functions over all triangles."""
    from scipy.sparse import csr_array

    numbers, count = fields.numbers, len(fields.linear)
    t, n = numbers.shape
    two = 2 * n
    c_u, c_z, a = np.empty((t, two, two)), np.empty((t, n, n)), np.empty((t, two, n))
    product = np.empty((t, n, n))
    for rough in (False, True):
        some = np.flatnonzero(fields.curved == rough)
        places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else 1))
        for own in np.array_split(some, 1 + len(some) * 40 * n * n // _CHUNK):
            pairs, _ = pair_integrals(fields, own, places, 0.0)
            c, cross, _ = triangle_matrices(elastic.of(own), pairs, 0.0)
            c_u[own], c_z[own] = c[:, :two, :two], c[:, 4 * n :, 4 * n :]
            a[own] = cross[:, :two, 4 * n :] - cross[:, two:, :two].transpose(0, 2, 1)
            product[own] = pairs["NN"]
    size = numbers.size
    adding = csr_array((np.ones(size), (numbers.ravel(), np.arange(size))), shape=(count, size))
    return SectionMatrices(
        numbers, count, 3 * fields.order, c_u, c_z, a, product, elastic.shear,
        elastic.lame + 2 * elastic.plane_shear, adding, fields.linear[numbers],
    )  # fmt: skip
