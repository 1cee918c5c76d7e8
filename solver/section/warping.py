"""From the warping function to shear centre, warping constant and Wagner's constants.

About a pole S the warping is omega_S = omega - y_S x + x_S y + c (coordinates and pole from the
origin omega refers to). Trefftz's shear centre makes it orthogonal to x and y, weighted by E: it is
independent of Poisson's ratio. (Trefftz, Z. angew. Math. Mech. 15 (1935) 220.)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .area import AreaProperties
from .basis import local_size
from .elements import CURVED_EXTRA, Stations, rule_stations
from .mesh import Array
from .torsion import TorsionField


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
    wagner : (2,)
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
    wagner: Array
    constant: float
    shear_centre_change: float
    warping_constant_change: float


def warping_properties(
    field: TorsionField, area: AreaProperties, modulus_by_region: Array
) -> WarpingProperties:
    """Integrate the warping of a solved section about its shear centre."""
    stations = rule_stations(field.mesh, field.order, field.order + 2)
    curved = field.mesh.corner_bulges.any()
    if curved:
        stations = rule_stations(field.mesh, field.order, field.order + CURVED_EXTRA)
    modulus = modulus_by_region[field.mesh.region]
    pole, constant, cw = _pole(field, stations, modulus, area, field.omega)
    lower_pole, _, lower_cw = _pole(
        field, stations, modulus, area, truncated(field.omega, field.order)
    )
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
        abs(cw - lower_cw) + open_part * cw,
    )


def _pole(
    field: TorsionField, stations: Stations, modulus: Array, area: AreaProperties, omega: Array
) -> tuple[Array, float, float]:
    """Shear centre from the centroid, constant c, and C_w."""
    weight = stations.weights * modulus[:, None]
    r = stations.points - field.origin
    x, y = r[..., 0], r[..., 1]
    w = stations.values(omega)
    m = area.second_moments
    total = float(weight.sum())
    wx, wy = float(np.sum(weight * w * x)), float(np.sum(weight * w * y))
    # int E omega_S x = 0 and int E omega_S y = 0 with omega_S = omega - y_S x + x_S y
    pole = np.linalg.solve(np.array([[m.xy, -m.y], [m.x, -m.xy]]), np.array([-wx, -wy]))
    about = w - pole[1] * x + pole[0] * y
    constant = -float(np.sum(weight * about)) / total
    about += constant
    return pole, constant, float(np.sum(weight * about**2))


def truncated(coefficients: Array, order: int) -> Array:
    """The same field without its terms of the highest degree."""
    out = coefficients.copy()
    for e in range(3):
        out[:, 3 + e * (order - 1) + order - 2] = 0
    if order > 2:
        out[:, local_size(order) - (order - 2) :] = 0
    return out
