"""Hand methods that engineers know, for comparison beside the exact answer; never used by the
solver."""

from __future__ import annotations

import math

from soapfilm.geometry.errors import InputError


def flange_analogy_factor(length: float, characteristic_length: float) -> float:
    """Bimoment over that of two flanges as beams, beta = tanh(u) / u with u = L / (2 a).

    For a torque at midspan between forks: B = beta T L / 4. Derived from the closed form; the
    method is Lin's (AISC Engineering Journal 1977). `characteristic_length` infinite gives 1.
    """
    if not (length > 0 and characteristic_length > 0):
        raise InputError(f"length and a must be positive, got {length} and {characteristic_length}")
    u = length / (2 * characteristic_length)
    return math.tanh(u) / u if u > 1e-9 else 1.0


def radius_method_torque(
    length: float, radius: float, *, uniform: float = 0.0, point: float = 0.0
) -> float:
    """End torque of a curved span by the M/R method: q L^3 / (24 R) + P L^2 / (16 R).

    Uniform load q along the axis and P at midspan, torsional forks, bending moments of the
    developed straight beam; it is 3.6 % (q) and 3.7 % (P) low at L/R = 0.6 (derived). Method: Tung
    and Fountain, AISC Engineering Journal 7(3), 1970 (first page read).
    """
    if not (length > 0 and radius != 0):
        raise InputError(f"length must be positive and radius not zero, got {length}, {radius}")
    return (uniform * length**3 / 24 + point * length**2 / 16) / abs(radius)


def thin_tube_constant(enclosed_area: float, perimeter_over_thickness: float) -> float:
    """J = 4 A_m^2 / sum(s/t) of a thin closed tube (Bredt)."""
    if not (enclosed_area > 0 and perimeter_over_thickness > 0):
        raise InputError(
            f"enclosed area and sum of s/t must be positive, got {enclosed_area} and "
            f"{perimeter_over_thickness}"
        )
    return 4 * enclosed_area**2 / perimeter_over_thickness


def thin_tube_shear_flow(torque: float, enclosed_area: float) -> float:
    """q = T / (2 A_m) (Bredt)."""
    if not enclosed_area > 0:
        raise InputError(f"enclosed area must be positive, got {enclosed_area}")
    return torque / (2 * enclosed_area)


def slit_ratios(mean_radius: float, thickness: float) -> tuple[float, float]:
    """What a slit costs a thin round tube: J closed over open 3 (r/t)^2, stress open over closed 3
    r/t.

    Thin strip against Bredt (derived).
    """
    if not 0 < thickness < mean_radius:
        raise InputError(
            f"thickness must be positive and below the radius, got {thickness}, {mean_radius}"
        )
    ratio = mean_radius / thickness
    return 3 * ratio**2, 3 * ratio
