"""Both estimates of the shear stress in straight triangles, by orthonormal polynomials.

What is integrated of them is a sum of squares of few numbers (see `elements.modes`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..elements.basis import reference_element
from ..elements.modes import corner_modes, slope_modes
from ..mesh.section_mesh import Array, Ints, SectionMesh


@dataclass(frozen=True, slots=True, eq=False)
class StressModes:
    """Stress per unit twist in s straight triangles, x and y in planes of their own.

    Attributes
    ----------
    order : int
    triangles : (s,) int
    size : (s,)
        Twice the area.
    from_phi, from_omega : (2, s, m)
        Coefficients of the stress function's, (phi_y, -phi_x), and of the warping's,
        G (grad omega + (-y, x)).
    """

    order: int
    triangles: Ints
    size: Array
    from_phi: Array
    from_omega: Array

    def some(self, which: Ints) -> StressModes:
        """Some of the triangles."""
        return StressModes(
            self.order,
            self.triangles[which],
            self.size[which],
            self.from_phi[:, which],
            self.from_omega[:, which],
        )

    def at(self, polynomials: Array) -> tuple[Array, Array]:
        """Mean of the two estimates and how much more the stress function's is, (2, s, q) each,
        where the polynomials have the values (q, m)."""
        mean, apart = (self.from_phi + self.from_omega) / 2, self.from_phi - self.from_omega
        return mean @ polynomials.T, apart @ polynomials.T


def stress_modes(
    mesh: SectionMesh,
    order: int,
    origin: Array,
    shear: Array,
    phi: Array,
    omega: Array,
) -> StressModes:
    """Of the triangles without arcs; shear moduli (t,) and coefficients (t, n) are of every
    one."""
    triangles = np.flatnonzero(~mesh.curved)
    corners = mesh.corners[triangles] - origin
    a, b = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    det = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    # slopes of xi and eta by x, by y
    xi_x, xi_y = b[:, 1, None] / det[:, None], -b[:, 0, None] / det[:, None]
    eta_x, eta_y = -a[:, 1, None] / det[:, None], a[:, 0, None] / det[:, None]
    modes, half = slope_modes(order), slope_modes(order).shape[1] // 2

    def slope(field: Array) -> tuple[Array, Array]:
        local = field[triangles] @ modes
        one, two = local[:, :half], local[:, half:]
        return xi_x * one + eta_x * two, xi_y * one + eta_y * two

    from_phi, from_omega = (np.empty((2, len(triangles), half)) for _ in range(2))
    x, y = slope(phi)
    from_phi[0] = y
    np.negative(x, out=from_phi[1])
    from_omega[0], from_omega[1] = slope(omega)
    linear = corner_modes(order)[:, :3]
    few = linear.shape[1]
    from_omega[0, :, :few] -= corners[..., 1] @ linear
    from_omega[1, :, :few] += corners[..., 0] @ linear
    own = shear[triangles]
    if not np.all(own == 1):
        from_omega *= own[:, None]
    return StressModes(order, triangles, np.abs(det), from_phi, from_omega)


def straight_parts(modes: StressModes, shear: Array, phi: Array) -> Array:
    """(3, s) twice the volume under phi, its energy, and the energy of the disagreement between the
    two fields."""
    some, size = modes.triangles, modes.size
    volume = size * (phi[some] @ reference_element(modes.order).mass_row)
    scale = size / shear[some]
    apart = modes.from_omega - modes.from_phi
    energy, gap = (np.einsum("csm,csm->s", f, f) * scale for f in (modes.from_phi, apart))
    return np.stack([2 * volume, energy, gap])
