"""Torsional strength of hollow sections, AISC 360 chapter H3.

Expressions (read: Brockenbrough, Structural Steel Designer's Handbook, 4th edition, pages 5.30 and
5.31); that the 2010, 2016 and 2022 editions carry the same ones is from memory. Any consistent
units. Wall thickness is the design one: 0.93 of nominal for A500 ERW, full for A1085 (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError
from .verdict import Verdict

Array = NDArray[np.float64]

SOURCE = "AISC 360 chapter H3"
PROVENANCE = "read in Structural Steel Designer's Handbook 4e; later editions from memory"

#: LRFD resistance factor and ASD safety factor of torsion.
RESISTANCE, SAFETY = 0.90, 1.67

#: Share of the torsional strength below which torsion is left out of the interaction (H3.2).
NEGLIGIBLE = 0.20

#: Largest flat width over thickness the rectangular expression covers.
MOST_SLENDER = 260.0


@dataclass(frozen=True, slots=True)
class TorsionStrength:
    """Strength of a hollow section in torsion.

    `critical_stress` F_cr, `constant` C, `nominal` T_n = F_cr C, `design` 0.90 T_n, `allowable` T_n
    / 1.67; `governs` names the branch.
    """

    critical_stress: float
    constant: float
    governs: str

    @property
    def nominal(self) -> float:
        """T_n."""
        return self.critical_stress * self.constant

    @property
    def design(self) -> float:
        """phi_T T_n (LRFD)."""
        return RESISTANCE * self.nominal

    @property
    def allowable(self) -> float:
        """T_n / Omega_T (ASD)."""
        return self.nominal / SAFETY


def round_constant(diameter: float, thickness: float) -> float:
    """C = pi (D - t)^2 t / 2 of a round tube, at mid-wall.

    The outer-fibre value J / (D/2), a few per cent lower, is the safer one.
    """
    _positive(diameter=diameter, thickness=thickness)
    if 2 * thickness > diameter:
        raise InputError(f"wall {thickness:g} does not fit a tube of diameter {diameter:g}")
    return math.pi * (diameter - thickness) ** 2 * thickness / 2


def rectangular_constant(width: float, depth: float, thickness: float) -> float:
    """C = 2 (B - t)(H - t) t - 4.5 (4 - pi) t^3 of a rectangular tube."""
    _positive(width=width, depth=depth, thickness=thickness)
    if 2 * thickness > min(width, depth):
        raise InputError(f"wall {thickness:g} does not fit a tube of {width:g} by {depth:g}")
    return (
        2 * (width - thickness) * (depth - thickness) * thickness
        - 4.5 * (4 - math.pi) * thickness**3
    )


def round_elastic_stresses(
    elastic_modulus: float, diameter: float, thickness: float, length: float
) -> tuple[float, float]:
    """The two elastic buckling stresses of a round tube: the one with length, the one without."""
    _positive(
        elastic_modulus=elastic_modulus, diameter=diameter, thickness=thickness, length=length
    )
    slender = diameter / thickness
    return (
        1.23 * elastic_modulus / (math.sqrt(length / diameter) * slender**1.25),
        0.60 * elastic_modulus / slender**1.5,
    )


def round_strength(
    elastic_modulus: float,
    yield_stress: float,
    diameter: float,
    thickness: float,
    length: float,
    constant: float | None = None,
) -> TorsionStrength:
    """Strength of a round tube: F_cr the larger elastic stress, at most 0.6 F_y.

    `constant` overrides C, for example by J / (D/2).
    """
    _positive(yield_stress=yield_stress)
    elastic = max(round_elastic_stresses(elastic_modulus, diameter, thickness, length))
    cap = 0.6 * yield_stress
    c = round_constant(diameter, thickness) if constant is None else constant
    _positive(constant=c)
    return TorsionStrength(min(elastic, cap), c, "yield" if elastic >= cap else "elastic buckling")


def rectangular_critical_stress(
    elastic_modulus: float, yield_stress: float, slenderness: float
) -> tuple[float, str]:
    """F_cr of a rectangular tube, and its branch; `slenderness` is h/t of the longer flat side."""
    _positive(elastic_modulus=elastic_modulus, yield_stress=yield_stress, slenderness=slenderness)
    root = math.sqrt(elastic_modulus / yield_stress)
    if slenderness <= 2.45 * root:
        return 0.6 * yield_stress, "yield"
    if slenderness <= 3.07 * root:
        return 0.6 * yield_stress * 2.45 * root / slenderness, "inelastic buckling"
    if slenderness <= MOST_SLENDER:
        return 0.458 * math.pi**2 * elastic_modulus / slenderness**2, "elastic buckling"
    raise InputError(
        f"h/t = {slenderness:g} of the tube's longer side is above {MOST_SLENDER:g}, where the "
        "rule ends; take a thicker wall or stiffen it"
    )


def rectangular_strength(
    elastic_modulus: float, yield_stress: float, slenderness: float, constant: float
) -> TorsionStrength:
    """Strength of a rectangular tube from its longer side's h/t and C."""
    _positive(constant=constant)
    stress, governs = rectangular_critical_stress(elastic_modulus, yield_stress, slenderness)
    return TorsionStrength(stress, constant, governs)


def interaction(axial: float, bending: float, shear: float, torsion: float) -> Verdict:
    """(P_r/P_c + M_r/M_c) + (V_r/V_c + T_r/T_c)^2 <= 1 of required over available strengths.

    Where T_r <= 0.20 T_c torsion is left out: the verdict then says so, and chapter H1 decides on
    the rest.
    """
    for word, value in (
        ("axial", axial),
        ("bending", bending),
        ("shear", shear),
        ("torsion", torsion),
    ):
        if not value >= 0:
            raise InputError(f"the {word} ratio must be zero or positive, got {value}")
    if torsion <= NEGLIGIBLE:
        return Verdict(
            "torsion below 0.20 of its strength, left out of the interaction (use H1)",
            torsion,
            SOURCE,
            PROVENANCE,
        )
    parts = (np.asarray(part) for part in (axial, bending, shear, torsion))
    ratio = float(combined(*parts))
    return Verdict("hollow section in combined torsion", ratio, SOURCE, PROVENANCE)


def combined(axial: Array, bending: Array, shear: Array, torsion: Array) -> Array:
    """The sum of the interaction over arrays of ratios."""
    return np.asarray(axial + bending + (shear + torsion) ** 2)


def _positive(**values: float) -> None:
    for word, value in values.items():
        if not 0 < value < math.inf:
            raise InputError(f"{word.replace('_', ' ')} must be positive, got {value}")
