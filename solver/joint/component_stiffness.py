"""Stiffness of joints from their components, by the forms of EN 1993-1-8 (from memory).

A component's coefficient k is a length: its stiffness is E k. In series 1/k add up; rows of bolts
add up by their lever arms. The coefficients are those of Table 6.11 of EN 1993-1-8:2005, recalled,
not read; the whole document decides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

#: Nominal diameter of an M16 bolt, mm, to which Table 6.11 refers bolts in shear and bearing.
_M16 = 16.0
SOURCE = "EN 1993-1-8:2005 Table 6.11 (form from memory)"


def panel_shear(shear_area: float, beta: float, lever: float) -> float:
    """k_1 = 0.38 A_vc / (beta z): column web panel in shear, not stiffened."""
    return 0.38 * shear_area / (beta * lever)


def web_force(effective_width: float, thickness: float, depth: float) -> float:
    """k_2 = k_3 = 0.7 b_eff t / d: column web across, in compression or tension."""
    return 0.7 * effective_width * thickness / depth


def plate_bending(effective_length: float, thickness: float, arm: float) -> float:
    """k_4 = k_5 = k_6 = 0.9 l_eff t^3 / m^3: flange, end plate or cleat as a T-stub in bending."""
    return 0.9 * effective_length * thickness**3 / arm**3


def bolts_tension(stress_area: float, grip: float) -> float:
    """k_10 = 1.6 A_s / L_b for a row of two bolts in tension."""
    return 1.6 * stress_area / grip


def bolt_shear(diameter: float, tensile: float, modulus: float) -> float:
    """8 d^2 f_ub / (E d_M16) for one bolt in one shear plane: half of k_11 of a row of two.

    Not for preloaded bolts that do not slip, which are rigid there.
    """
    return 8 * diameter**2 * tensile / (modulus * _M16)


def bolt_bearing(
    diameter: float,
    thickness: float,
    ultimate: float,
    modulus: float,
    edge: float,
    pitch: float | None,
) -> float:
    """12 k_b k_t d f_u / E for one bolt in one plate: half of k_12 of a row of two.

    k_b = 0.25 e/d + 0.5 <= 1.25, and <= 0.25 p/d + 0.375; k_t = 1.5 t / d_M16 <= 2.5.
    """
    k_b = min(0.25 * edge / diameter + 0.5, 1.25)
    if pitch is not None:
        k_b = min(k_b, 0.25 * pitch / diameter + 0.375)
    k_t = min(1.5 * thickness / _M16, 2.5)
    return 12 * k_b * k_t * diameter * ultimate / modulus


def in_series(stiffness: Sequence[float]) -> float:
    """1 / sum 1/k; infinite for none, 0 when one of them gives way freely."""
    if any(k <= 0 for k in stiffness):
        return 0.0
    total = sum(1 / k for k in stiffness)
    return math.inf if total == 0 else 1 / total


def equivalent_row(rows: Sequence[float], levers: Sequence[float]) -> tuple[float, float]:
    """(k_eq, z_eq) of rows with effective coefficients at their lever arms.

    z_eq = sum k h^2 / sum k h, k_eq = sum k h / z_eq: 6.3.3.1 of EN 1993-1-8 (from memory).
    """
    first = sum(k * h for k, h in zip(rows, levers, strict=True))
    second = sum(k * h**2 for k, h in zip(rows, levers, strict=True))
    lever = second / first
    return first / lever, lever


def rotational_stiffness(modulus: float, lever: float, coefficients: Sequence[float]) -> float:
    """S_j,ini = E z^2 / sum 1/k (moment per radian)."""
    return modulus * lever**2 * in_series(coefficients)


def tee_length(m: float, edge: float, pitch: float) -> float:
    """Effective length of one row of a T-stub without stiffener, at most the pitch of its rows.

    The smaller of 2 pi m and 4 m + 1.25 e (Table 6.4 of EN 1993-1-8, from memory).
    """
    return min(2 * math.pi * m, 4 * m + 1.25 * edge, pitch)
