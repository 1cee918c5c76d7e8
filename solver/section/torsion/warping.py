"""From the warping function to shear centre, warping constant and monosymmetry parameters.

About a pole S the warping is omega_S = omega - y_S x + x_S y + c (coordinates and pole from the
origin omega refers to). Trefftz's shear centre makes it orthogonal to x and y, weighted by E: it is
independent of Poisson's ratio. (Trefftz, Z. angew. Math. Mech. 15 (1935) 220.)
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..area.properties import AreaProperties
from ..elements.basis import local_size, sampled_basis
from ..elements.integrals import CURVED_EXTRA, TrianglePoints, rule_stations
from ..mesh.section_mesh import Array, Ints
from .interval import TorsionField

#: Relative rounding of C_w: a slit tube's scatters by 5e-12 between equally good meshes.
ROUNDING = 1e-11


@dataclass(frozen=True, slots=True, eq=False)
class WarpingProperties:
    """Warping of the section about its shear centre.

    Attributes
    ----------
    shear_centre : (2,)
        In the axes of the input.
    warping_constant : float
        C_w = int E omega_S^2 dA / E_ref, omega_S with zero mean.
    polar_radius : float
        sqrt((I_x + I_y)/A + |S - C|^2).
    monosymmetry : (2,)
        beta_x, beta_y: int sigma r_S^2 dA per unit moment M_x, M_y; for principal axes
        beta_x = int y (x^2 + y^2) dA / I_x - 2 y_S.
    constant : float
        c of omega_S.
    shear_centre_change, warping_constant_change : float
        How well shear centre (a length) and C_w are known: what they move when the highest-order
        terms are left out, and, since near singular corners those terms are small and the error is
        not, the part of them that J's interval leaves open.
    """

    shear_centre: Array
    warping_constant: float
    polar_radius: float
    monosymmetry: Array
    constant: float
    shear_centre_change: float
    warping_constant_change: float


def warping_properties(
    field: TorsionField, area: AreaProperties, modulus_by_region: Array
) -> WarpingProperties:
    """Integrate the warping of a solved section about its shear centre."""
    integrals = _integrals(field, modulus_by_region[field.mesh.region])
    pole, constant, cw = _pole(integrals, area, field.omega)
    lower_pole, _, lower_cw = _pole(integrals, area, truncated(field.omega, field.order))
    m = area.second_moments
    ux, uy = area.third_moments
    det = m.x * m.y - m.xy**2
    beta_x = (m.y * uy - m.xy * ux) / det - 2 * pole[1]
    beta_y = (m.x * ux - m.xy * uy) / det - 2 * pole[0]
    # C_w is known as well as the warping's own energy I_p - J, of which the interval leaves a part
    # open; the shear centre as well as J, by the section's radius (a circle has no warping at all)
    gap = field.upper - field.lower
    open_part = max(field.relative_width, gap / max(m.x + m.y - field.lower, gap))
    polar_radius = float(np.sqrt((m.x + m.y) / area.area + pole @ pole))
    return WarpingProperties(
        area.centroid + pole,
        cw,
        polar_radius,
        np.array([beta_x, beta_y]),
        constant,
        float(np.hypot(*(pole - lower_pole))) + field.relative_width * polar_radius,
        abs(cw - lower_cw) + (open_part + ROUNDING) * cw,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Integrals:
    """Weighted integrals of fields and of the coordinates r = (x, y) from the field's origin.

    A straight triangle has r among its shape functions and needs their products alone; a curved one
    is summed over the points of a rule.

    Attributes
    ----------
    straight, curved : (s,), (c,) int
    size : (s,)
        Modulus times twice the area of straight triangles.
    corners : (s, 3, 2)
        r at their vertices.
    mass : (n, n)
        int N N^T over the unit triangle.
    stations, weight, points
        Of the curved ones; weights with the modulus, points from the origin.
    """

    straight: Ints
    curved: Ints
    size: Array
    corners: Array
    mass: Array
    stations: TrianglePoints
    weight: Array
    points: Array

    @property
    def total(self) -> float:
        """int E dA."""
        return float(self.size.sum() / 2 + self.weight.sum())

    @property
    def first(self) -> Array:
        """int E r dA."""
        straight = self.size @ self.corners.sum(axis=1) / 6
        return np.asarray(straight + np.tensordot(self.weight, self.points, 2))

    def with_coordinates(self, omega: Array) -> Array:
        """int E omega (x, y, 1) dA."""
        by_vertex = self.size[:, None] * (omega[self.straight] @ self.mass[:, :3])
        w = self.weight * self.stations.values(omega[self.curved])
        first = np.tensordot(by_vertex, self.corners, 2) + np.tensordot(w, self.points, 2)
        return np.append(first, by_vertex.sum() + w.sum())

    def square(self, omega: Array, slope: Array, constant: float) -> float:
        """int E (omega + slope . r + constant)^2 dA."""
        own = omega[self.straight]
        own[:, :3] += self.corners @ slope + constant
        w = self.stations.values(omega[self.curved]) + self.points @ slope + constant
        return float(
            self.size @ np.sum((own @ self.mass) * own, axis=1) + np.sum(self.weight * w**2)
        )


def _integrals(field: TorsionField, modulus: Array) -> _Integrals:
    mesh = field.mesh
    curved = mesh.curved
    some = np.flatnonzero(curved)
    corners = mesh.corners[~curved] - field.origin
    a, b = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    stations = rule_stations(mesh, field.order, field.order + CURVED_EXTRA, some)
    return _Integrals(
        np.flatnonzero(~curved),
        some,
        modulus[~curved] * np.abs(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]),
        corners,
        _mass(field.order),
        stations,
        stations.weights * modulus[some, None],
        stations.points - field.origin,
    )


@lru_cache(maxsize=16)
def _mass(order: int) -> Array:
    _, _, w, value, _ = sampled_basis(order, order + 2)
    return np.asarray(value.T @ (w[:, None] * value))


def _pole(integrals: _Integrals, area: AreaProperties, omega: Array) -> tuple[Array, float, float]:
    """Shear centre from the centroid, constant c, and C_w."""
    m = area.second_moments
    wx, wy, w = integrals.with_coordinates(omega)
    # int E omega_S x = 0 and int E omega_S y = 0 with omega_S = omega - y_S x + x_S y
    pole = np.linalg.solve(np.array([[m.xy, -m.y], [m.x, -m.xy]]), np.array([-wx, -wy]))
    slope = np.array([-pole[1], pole[0]])
    constant = -float(w + slope @ integrals.first) / integrals.total
    return pole, constant, integrals.square(omega, slope, constant)


def truncated(coefficients: Array, order: int) -> Array:
    """The same field without its terms of the highest degree."""
    out = coefficients.copy()
    for e in range(3):
        out[:, 3 + e * (order - 1) + order - 2] = 0
    if order > 2:
        out[:, local_size(order) - (order - 2) :] = 0
    return out
