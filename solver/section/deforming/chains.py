"""Saint-Venant's six solutions: extension, bending, shear and torsion, by solving for their
cross-sectional fields.

The rate 0 of psi exp(lambda z) has multiplicity twelve: rigid motions and these six, as chains of
generalised eigenvectors. Written out along z (x, y from the centroid of E):

    extension   u = (U_e, z),                                  C_u U_e = A 1
    bending     u = (z^2/2 e_x + U_x, -x z),                   C_u U_x = M_u e_x - A x
    torsion     u = (z r, omega),    r = (-y, x),              C_z omega = -A^T r
    shear       u = (z^3/6 e_x + z U_x, -x z^2/2 + W_x),       C_z W_x = -M_z x - A^T U_x

and likewise for y. U is Poisson's contraction, omega the torsional warping, W the warping of shear.
(Iesan, Saint-Venant's Problem, Lecture Notes in Mathematics 1279, Springer 1987.)
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..mesh.section_mesh import Array
from .elasticity.condensed import CondensedSystem, condensed_system
from .elasticity.elastic import Elastic
from .elasticity.fields import Fields
from .elasticity.matrices import SectionMatrices

#: Corrections of a solution by its residual.
_REFINEMENTS = 2


@dataclass(frozen=True, slots=True, eq=False)
class Chains:
    """Fields of the six solutions, coefficients of the shape functions; count in all.

    Attributes
    ----------
    centroid : (2,)
        Of E; the fields refer to it.
    position : (count, 2)
        x and y from the centroid.
    contraction : (count, 2, 3)
        U_e, U_x, U_y.
    omega : (count,)
        Torsional warping about the shear centre, without extension or bending.
    shear_warping : (count, 2)
        W_x, W_y.
    shear_centre : (2,)
        Trefftz's, in the section's axes.
    torsion, warping : float
        G J and E C_w.
    axial : float
        E A.
    bending : (2, 2)
        int E x_i x_j.
    one : (count,)
        The constant 1.
    spin : (count, 2)
        (-y, x) about the shear centre.
    """

    centroid: Array
    position: Array
    contraction: Array
    omega: Array
    shear_warping: Array
    shear_centre: Array
    torsion: float
    warping: float
    axial: float
    bending: Array
    one: Array
    spin: Array

    def right_vectors(self) -> Array:
        """(count, 3, 6) the chains' vectors (U, W), u_z = lambda W, of the rate 0: bending and
        torsion, extension, shear."""
        count = len(self.one)
        out = np.zeros((count, 3, 6))
        out[:, 0, 0] = out[:, 1, 1] = out[:, 2, 3] = self.one
        out[:, 2, :2] = -self.position
        out[:, :2, 2], out[:, 2, 2] = self.spin, self.omega
        out[:, :2, 4:], out[:, 2, 4:] = self.contraction[..., 1:], self.shear_warping
        return out

    def left_vectors(self) -> tuple[Array, Array]:
        """(count, 2, 6) and (count, 6): those of the transposed problem."""
        count = len(self.one)
        u, w = np.zeros((count, 2, 6)), np.zeros((count, 6))
        u[:, 0, 0] = u[:, 1, 1] = w[:, 3] = self.one
        u[..., 2], u[..., 3], u[..., 4:] = (
            self.spin,
            -self.contraction[..., 0],
            self.contraction[..., 1:],
        )
        w[:, 4:] = self.position
        return u, w


def chains_of(fields: Fields, matrices: SectionMatrices, elastic: Elastic) -> Chains:
    """Solve for the six fields."""
    count = matrices.count
    one = np.zeros(count)
    one[: len(fields.mesh.vertices)] = 1.0
    stiff = elastic.modulus[:, None, None] * matrices.product
    raw = np.column_stack([one, fields.linear])
    moments = raw.T @ _applied(matrices, stiff, raw)
    axial, centroid = float(moments[0, 0]), moments[0, 1:] / moments[0, 0]
    position = raw[:, 1:] - one[:, None] * centroid
    x, y = position.T
    zero = np.zeros(count)
    shift = np.stack([np.stack([one, zero], 1), np.stack([zero, one], 1)], axis=2)
    turn = np.stack([-y, x], axis=1)[..., None]

    in_plane = in_plane_system(fields, matrices)
    first = np.zeros((count, 2, 3))
    first[..., 1:] = matrices.pushed(shift, -position)[0]
    first[..., :1] = matrices.pushed(np.zeros((count, 2, 1)), one[:, None])[0]
    contraction = without_rigid(matrices, refined(in_plane, matrices.stiff, first), shift, turn)

    along = axial_system(matrices)
    load = np.empty((count, 1, 3))
    carried = matrices.gathered(np.concatenate([turn, contraction[..., 1:]], axis=2))
    load[:, 0] = -matrices.summed(matrices.A.transpose(0, 2, 1) @ carried)[:, 0]
    wall = matrices.wall[:, None, None] * matrices.product
    load[:, 0, 1:] -= _applied(matrices, wall, position)
    warpings = refined(along, lambda w: matrices.summed(matrices.C_z @ matrices.gathered(w)), load)[
        :, 0
    ]
    bending = position.T @ _applied(matrices, stiff, position)
    # without extension and bending: what is left of omega tells the shear centre
    about = np.column_stack([one, position])
    weighted = _applied(matrices, stiff, about)
    fit = np.linalg.solve(about.T @ weighted, weighted.T @ warpings)
    warpings = warpings - about @ fit
    omega = warpings[:, 0]
    # omega_S = omega - y_S x + x_S y: the fit is y_S x - x_S y
    centre = centroid + np.array([-fit[2, 0], fit[1, 0]])
    spin = (turn + shift @ fit[1:, :1])[..., 0]
    # W without its part in x goes with a translation: the two are a rotation of the section
    contraction[..., 1:] += shift @ fit[1:, 1:]
    return Chains(
        centroid, position, contraction, omega, warpings[:, 1:], centre,
        _torsion_energy(matrices, spin[..., None], omega),
        float(omega @ _applied(matrices, stiff, omega[:, None])[:, 0]),
        axial, bending, one, spin,
    )  # fmt: skip


def _applied(matrices: SectionMatrices, elements: Array, scalar: Array) -> Array:
    """(count, c) product of scalar element matrices with columns (count, c)."""
    return matrices.summed(elements @ matrices.gathered(scalar[:, None]))[:, 0]


def _torsion_energy(matrices: SectionMatrices, spin: Array, omega: Array) -> float:
    """int G (grad omega + r)^2 = r M_u r + 2 r L omega + omega C_z omega, with L = A on gradients
    of a rigid turn, which has no divergence."""
    u, w = matrices.gathered(spin), matrices.gathered(omega[:, None, None])
    soft = matrices.shear[:, None, None] * matrices.product
    n = matrices.product.shape[1]
    total = (w * (matrices.C_z @ w)).sum() + 2 * (u * (matrices.A @ w)).sum()
    total += sum((u[:, k] * (soft @ u[:, k])).sum() for k in (slice(0, n), slice(n, None)))
    return float(total)


def in_plane_system(fields: Fields, matrices: SectionMatrices) -> CondensedSystem:
    """C_u with rigid motions held at the two vertices farthest apart."""
    vertices = fields.mesh.vertices
    a = int(np.argmin(vertices @ (1.0, 0.01)))
    b = int(np.argmax(np.hypot(*(vertices - vertices[a]).T)))
    across = int(np.argmin(np.abs(vertices[b] - vertices[a])))
    border = int(matrices.numbers[:, : matrices.outer].max()) + 1
    held = np.zeros((border, 2), dtype=bool)
    held[a] = True
    held[b, across] = True
    return condensed_system(matrices.numbers, matrices.count, matrices.outer, matrices.C_u, held)


def axial_system(matrices: SectionMatrices) -> CondensedSystem:
    """C_z with one vertex held."""
    border = int(matrices.numbers[:, : matrices.outer].max()) + 1
    held = np.zeros((border, 1), dtype=bool)
    held[0] = True
    return condensed_system(matrices.numbers, matrices.count, matrices.outer, matrices.C_z, held)


def refined(system: CondensedSystem, applied: Callable[[Array], Array], load: Array) -> Array:
    """The solution, improved by its residual: thin walls lose digits."""
    found = system.solve(load)
    for _ in range(_REFINEMENTS):
        found = found + system.solve(load - applied(found))
    return found


def without_rigid(matrices: SectionMatrices, u: Array, shift: Array, turn: Array) -> Array:
    """In-plane fields without their mean translation and rotation."""
    rigid = np.concatenate([shift, turn], axis=2)
    local = matrices.gathered(rigid)
    n = matrices.product.shape[1]
    weighted = np.concatenate([matrices.product @ local[:, :n], matrices.product @ local[:, n:]], 1)
    weighted = matrices.summed(weighted)
    gram = np.einsum("idr,ids->rs", rigid, weighted)
    return np.asarray(u - rigid @ np.linalg.solve(gram, np.einsum("idr,idc->rc", weighted, u)))
