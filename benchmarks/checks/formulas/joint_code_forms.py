"""Rules of codes for bolts, welds and stiffness of joints, recalled; only checks use them.

The program computes no resistance of a joint. These forms show that the recalled rules give the
figures printed in codes and handbooks.
"""

from __future__ import annotations

import math
from collections.abc import Sequence


def american_strength(stress: float, diameter: float, factor: float) -> float:
    """phi F A_b of one bolt: AISC 360 J3.6, nominal area."""
    return factor * stress * math.pi * diameter**2 / 4


def american_slip(friction: float, ratio: float, pretension: float, factor: float = 1.0) -> float:
    """phi mu D_u h_f T_b n_s of one slip plane with h_f = 1: AISC 360 J3.8."""
    return factor * friction * ratio * pretension


def european_shear(factor: float, tensile: float, area: float, partial: float) -> float:
    """alpha_v f_ub A / gamma_M2: EN 1993-1-8 Table 3.4."""
    return factor * tensile * area / partial


def european_tension(tensile: float, area: float, partial: float) -> float:
    """0.9 f_ub A_s / gamma_M2: EN 1993-1-8 Table 3.4."""
    return 0.9 * tensile * area / partial


def fillet_line(strength: float, leg: float, factor: float = 1.0) -> float:
    """phi 0.60 F_EXX times the throat: AISC 360 J2.4, loaded along the weld."""
    return factor * 0.6 * strength * leg / math.sqrt(2)


def european_fillet(ultimate: float, correlation: float, partial: float) -> float:
    """f_vw,d = f_u / (sqrt 3 beta_w gamma_M2): EN 1993-1-8 4.5.3.3."""
    return ultimate / (math.sqrt(3) * correlation * partial)


def tee_modes(
    length: float, thickness: float, strength: float, m: float, n: float, bolts: float
) -> tuple[float, float, float]:
    """Resistance of a T-stub: yielding, yielding with bolts, bolts. EN 1993-1-8 Table 6.2."""
    hinge = length * thickness**2 * strength / 4
    return 4 * hinge / m, (2 * hinge + n * bolts) / (m + n), bolts


def stiffness_ratio(use: float, exponent: float) -> float:
    """mu = (1.5 M_Ed / M_Rd)^psi above two thirds, else 1: EN 1993-1-8 6.3.1(6)."""
    return 1.0 if use <= 2 / 3 else (1.5 * use) ** exponent


def stiffness_limits(modulus: float, second: float, length: float) -> Sequence[float]:
    """8, 25 and 0.5 E I / L: EN 1993-1-8 5.2.2.5."""
    return tuple(k * modulus * second / length for k in (8.0, 25.0, 0.5))
