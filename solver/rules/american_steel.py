"""Steel members in torsion by AISC 360 chapter H3; F1 to E3 as far as its interaction needs them.

Tubes: strength in torsion and its interaction with the other actions. Other shapes: elastic
stresses against yield and buckling (H3.3). What is read and what is from memory stands by each.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError
from . import hollow_torsion
from .applied_rule import AppliedRule
from .stretch import Stretch

Array = NDArray[np.float64]

MEMORY = "from memory"

#: Flat width over thickness, times sqrt(E/F_y), up to which a tube's flange and web are compact in
#: bending and from which a wall is slender in compression (Table B4.1, from memory); D/t of round
#: tubes over E/F_y likewise.
_FLANGE, _WEB, _SLENDER = 1.12, 2.42, 1.40
_ROUND, _ROUND_SLENDER = 0.07, 0.11


@dataclass(frozen=True, slots=True)
class AmericanSteel:
    """What is asked of AISC 360.

    Attributes
    ----------
    combinations : tuple of str
        None stands for all.
    allowable : bool
        True for allowable strength design (ASD), else LRFD.
    """

    combinations: tuple[str, ...] = ()
    allowable: bool = False

    title = "AISC 360"

    def available(self, resistance: float = hollow_torsion.RESISTANCE) -> float:
        """phi, or 1 / Omega with Omega = 1.5 / phi."""
        return resistance / 1.5 if self.allowable else resistance

    def rules(self, stretch: Stretch) -> tuple[list[AppliedRule], list[str]]:
        """The rules on a stretch, and what is left out, with its reason."""
        shape = stretch.shape
        if shape is None or "tube" not in shape.kind:
            return self._other(stretch), []
        name = stretch.section.name
        try:
            strength = self._torsion_strength(stretch)
        except InputError as error:  # beyond the rule's own range
            return [], [f"section {name!r}: {error}"]
        factor = 1 / hollow_torsion.SAFETY if self.allowable else hollow_torsion.RESISTANCE
        available = factor * strength.nominal
        torque = stretch.action("T_t") + stretch.action("T_w")
        rows = [
            AppliedRule(
                f"torsion of a tube ({strength.governs})",
                "T_r / T_c <= 1, T_n = F_cr C",
                f"{hollow_torsion.SOURCE}.1",
                hollow_torsion.PROVENANCE,
                name,
                stretch.z,
                torque / available,
                stretch.names,
                {
                    "T_r": ("torque", torque),
                    "T_c": ("torque", available),
                    "F_cr": ("stress", strength.critical_stress),
                    "C": ("section modulus", strength.constant),
                },
            )
        ]
        if self._slender(stretch):
            return rows, [
                f"section {name!r} has slender walls (AISC 360 Table B4.1, {MEMORY}): its "
                "interaction with bending and compression needs effective widths"
            ]
        rows.append(self._interaction(stretch, torque / available))
        return rows, []

    def _torsion_strength(self, s: Stretch) -> hollow_torsion.TorsionStrength:
        p = s.shape
        assert p is not None
        if p.kind == "round tube":
            return hollow_torsion.round_strength(s.modulus, s.strength, p.depth, p.web, s.length)
        thickness = min(p.web, p.flange)
        slenderness = max(p.straight_web / p.web, p.straight_flange / p.flange)
        constant = hollow_torsion.rectangular_constant(p.width, p.depth, thickness)
        return hollow_torsion.rectangular_strength(s.modulus, s.strength, slenderness, constant)

    def _slender(self, s: Stretch) -> bool:
        p, ratio = s.shape, s.modulus / s.strength
        assert p is not None
        if p.kind == "round tube":
            return p.depth / p.web > _ROUND_SLENDER * ratio
        root = math.sqrt(ratio)
        return max(p.straight_web / p.web, p.straight_flange / p.flange) > _SLENDER * root * (
            1.0 if s.pressed else 4.0
        )

    def _compact(self, s: Stretch) -> bool:
        p, ratio = s.shape, s.modulus / s.strength
        assert p is not None
        if p.kind == "round tube":
            return p.depth / p.web <= _ROUND * ratio
        root = math.sqrt(ratio)
        flange, web = p.straight_flange / p.flange, p.straight_web / p.web
        both = flange <= _FLANGE * root and web <= _WEB * root
        sideways = s.action("M_y").max(initial=0.0) > 0
        return both and (not sideways or web <= _FLANGE * root)

    def _interaction(self, s: Stretch, torsion: Array) -> AppliedRule:
        """H3-6 where torsion passes a fifth of its strength, else H1-1; both over one array."""
        result, p, factor = s.section.result, s.shape, self.available()
        assert result is not None
        assert p is not None
        elastic, plastic = result.elastic_moduli, result.plastic_moduli
        w_x = min(elastic.x_top, elastic.x_bottom)
        w_y = min(elastic.y_left, elastic.y_right)
        if self._compact(s) and plastic.x is not None and plastic.y is not None:
            w_x, w_y = plastic.x, plastic.y
        area, f_y = s.section.constants.area, s.strength
        axial = s.action("N") / (factor * self._axial(s))
        bending = s.action("M_x") / (factor * f_y * w_x) + s.action("M_y") / (factor * f_y * w_y)
        if p.kind == "round tube":
            shears = (0.6 * f_y * area / 2,) * 2
        else:
            shears = (
                0.6 * f_y * 2 * p.straight_web * p.web,
                0.6 * f_y * 2 * p.straight_flange * p.flange,
            )
        shear = np.maximum(
            s.action("V_y") / (factor * shears[0]), s.action("V_x") / (factor * shears[1])
        )
        with_torsion = hollow_torsion.combined(axial, bending, shear, torsion)
        alone = np.where(axial >= 0.2, axial + 8 / 9 * bending, axial / 2 + bending)
        ratio = np.where(
            torsion > hollow_torsion.NEGLIGIBLE, with_torsion, np.maximum(alone, shear)
        )
        return AppliedRule(
            "tube in combined actions",
            "(P_r/P_c + M_r/M_c) + (V_r/V_c + T_r/T_c)^2 <= 1; H1 and shear alone where T_r <= 0.2 "
            "T_c",
            f"{hollow_torsion.SOURCE}.2, H1, G4",
            f"H3.2 read; resistances {MEMORY}",
            s.section.name,
            s.z,
            ratio,
            s.names,
            {
                "P_r/P_c": ("ratio", axial),
                "M_r/M_c": ("ratio", bending),
                "V_r/V_c": ("ratio", shear),
                "T_r/T_c": ("ratio", torsion),
            },
        )

    def _axial(self, s: Stretch) -> Array:
        """P_n: F_y A in tension; in compression by E3 with F_e from the elastic critical load of
        the whole combination (safe where bending buckles it too)."""
        area, f_y = s.section.constants.area, s.strength
        force = s.actions[..., 0]
        stress = np.abs(np.minimum(force, 0.0)) / area
        with np.errstate(invalid="ignore"):
            elastic = np.where(stress > 0, stress * s.critical, np.inf)
        return area * np.where(force < 0, column_stress(elastic, f_y), f_y)

    def _other(self, s: Stretch) -> list[AppliedRule]:
        """H3.3 on elastic stresses."""
        factor, f_y = self.available(), s.strength
        normal = np.maximum(s.stress.tension, -s.stress.compression)
        pressed = np.maximum(-s.stress.compression, 0.0)
        with np.errstate(invalid="ignore"):
            elastic = np.where(pressed.max(axis=0) > 0, pressed.max(axis=0) * s.critical, np.inf)
        buckling = column_stress(elastic, f_y)
        rows = [
            ("normal yield", normal, np.full_like(normal, f_y), "f_n / (phi F_y) <= 1"),
            (
                "shear yield",
                s.stress.shear,
                np.full_like(normal, 0.6 * f_y),
                "f_v / (phi 0.6 F_y) <= 1",
            ),
            (
                "buckling, F_cr by elastic analysis",
                pressed,
                np.broadcast_to(buckling, normal.shape),
                "f_n / (phi F_cr) <= 1, F_cr by E3 from F_e = largest f_n times the elastic "
                "critical factor",
            ),
        ]
        found = []
        for word, demand, limit, equation in rows:
            with np.errstate(invalid="ignore", divide="ignore"):
                ratio = np.where(demand > 0, demand / (factor * limit), 0.0)
            found.append(
                AppliedRule(
                    f"{word} in torsion",
                    equation,
                    f"{hollow_torsion.SOURCE}.3",
                    hollow_torsion.PROVENANCE,
                    s.section.name,
                    s.stress.z,
                    ratio,
                    s.names,
                    {"f": ("stress", demand), "F": ("stress", factor * limit)},
                )
            )
        return found


def column_stress(elastic: Array, yield_stress: float) -> Array:
    """F_cr of an elastic buckling stress, AISC 360 E3 (from memory)."""
    with np.errstate(divide="ignore", over="ignore"):
        ratio = yield_stress / np.asarray(elastic, float)
        return np.where(ratio <= 2.25, 0.658**ratio * yield_stress, 0.877 * np.asarray(elastic))
