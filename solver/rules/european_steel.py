"""Steel members in torsion by EN 1993-1-1:2005 and EN 1993-6:2007 (from memory).

Along a member: the elastic yield criterion, torsion of hollow sections, shear beside torsion, the
linear sum of axial force, bending and bimoment, and the interaction of lateral buckling with
torsion. Resistances follow the section's class; class 4 needs an effective section and is refused.
The code's y axis is x here, its z axis y.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ...geometry.errors import InputError
from . import section_class, shear_torsion
from .applied_rule import AppliedRule
from .lateral_buckling import lateral_rule
from .stretch import Stretch

Array = NDArray[np.float64]

MEMORY = "from memory"


@dataclass(frozen=True, slots=True)
class EuropeanSteel:
    """What is asked of EN 1993.

    Attributes
    ----------
    combinations : tuple of str
        None stands for all.
    gamma_m0, gamma_m1 : float
    made : "welded" or "rolled"
        Decides the shear area and the buckling curve; "welded" is the safe one.
    moment_factor : float
        C_mz of EN 1993-1-1 Table B.3; 1 is the safe one.
    """

    combinations: tuple[str, ...] = ()
    gamma_m0: float = 1.0
    gamma_m1: float = 1.0
    made: str = "welded"
    moment_factor: float = 1.0

    title = "EN 1993"

    def __post_init__(self) -> None:
        for word, value in (("gamma_M0", self.gamma_m0), ("gamma_M1", self.gamma_m1)):
            if not 0.5 <= value <= 3:
                raise InputError(f"{word} is a partial factor like 1.0 or 1.1, got {value:g}")
        if not 0 < self.moment_factor <= 1:
            raise InputError(f"C_mz lies above 0 and up to 1, got {self.moment_factor:g}")

    def rules(self, stretch: Stretch) -> tuple[list[AppliedRule], list[str]]:
        """The rules on a stretch, and what is left out, with its reason."""
        found = [self._yielding(stretch)]
        name = stretch.section.name
        shape = stretch.shape
        if shape is None:
            return found, [
                f"section {name!r} is no I, channel or tube of even walls: of EN 1993 only the "
                "elastic yield criterion is applied, which holds for any section"
            ]
        left_out: list[str] = []
        if "tube" in shape.kind:
            found.append(self._torsion(stretch))
        share, shear = self._shear(stretch)
        found += shear
        number = section_class.section_class(
            shape, stretch.strength, stretch.megapascal, self._pressed(stretch)
        )
        if number == 4:
            left_out.append(
                f"section {name!r} is of class 4 ({section_class.SOURCE}, {MEMORY}): its plates "
                "buckle before they yield; bending and stability need its effective section"
            )
            return found, left_out
        resistances = self._resistances(stretch, number)
        found.append(self._bending(stretch, share, resistances, number))
        if shape.kind == "I":
            row = lateral_rule(
                stretch, resistances[1:], self.gamma_m1, self.made, self.moment_factor
            )
            if isinstance(row, str):
                left_out.append(row)
            else:
                found.append(row)
        elif np.isfinite(stretch.critical).any() and shape.kind == "channel":
            left_out.append(
                f"section {name!r}: EN 1993-6 Annex A is written for I sections; lateral buckling "
                "of a channel in torsion is not judged by a rule here"
            )
        if stretch.pressed:
            left_out.append(
                f"section {name!r} is in compression: flexural and torsional buckling (6.3.1, "
                "6.3.3) are not applied; see the elastic critical load"
            )
        return found, left_out

    # -- each rule ---------------------------------------------------------------------------------
    def _yielding(self, s: Stretch) -> AppliedRule:
        limit = s.strength / self.gamma_m0
        return AppliedRule(
            "elastic yield criterion",
            "sqrt(sigma^2 + 3 tau^2) / (f_y / gamma_M0) <= 1",
            "EN 1993-1-1:2005 Eq. (6.1)",
            MEMORY,
            s.section.name,
            s.stress.z,
            s.stress.mises / limit,
            s.names,
            {"sigma_v": ("stress", s.stress.mises), "f_y / gamma_M0": ("stress", limit)},
        )

    def _shear_yield(self, s: Stretch) -> float:
        return s.strength / math.sqrt(3) / self.gamma_m0

    def _torsion(self, s: Stretch) -> AppliedRule:
        resistance = self._shear_yield(s) / s.unit_shear("T_t")
        torque = s.action("T_t") + s.action("T_w")
        return AppliedRule(
            "torsion",
            "T_Ed / T_Rd <= 1, T_Rd = W_T f_y / (sqrt(3) gamma_M0)",
            f"{shear_torsion.SOURCE} Eq. (6.23)",
            MEMORY,
            s.section.name,
            s.z,
            torque / resistance,
            s.names,
            {"T_Ed": ("torque", torque), "T_Rd": ("torque", resistance)},
        )

    def _shear(self, s: Stretch) -> tuple[Array, list[AppliedRule]]:
        """Use of the upright shear resistance that torsion leaves, (m, c), and the rules of both
        directions."""
        assert s.shape is not None
        kind: shear_torsion.Kind = "hollow"
        if s.shape.kind in ("I", "channel"):
            kind = "I" if s.shape.kind == "I" else "channel"
        limit = self._shear_yield(s)
        used = s.action("T_t") * s.unit_shear("T_t") / limit
        warping = s.action("T_w") * s.unit_shear("T_w") / limit if kind == "channel" else 0.0
        left = np.maximum(shear_torsion.share_left(kind, used, warping), 0.0)
        rows, shares = [], []
        equation = shear_torsion.shear_reduction(kind, 0.0, s.strength).equation
        for symbol, area in zip(("V_y", "V_x"), self._shear_areas(s), strict=True):
            plastic = area * limit
            shear = s.action(symbol)
            with np.errstate(divide="ignore", invalid="ignore"):
                ratio = np.where(left > 0, shear / (plastic * left), np.where(shear > 0, np.inf, 0))
            shares.append(ratio)
            if symbol == "V_x" and not shear.max(initial=0.0) > 1e-3 * plastic:
                continue
            spent = bool((left <= 0).any())
            rows.append(
                AppliedRule(
                    f"shear {'upright' if symbol == 'V_y' else 'sideways'} beside torsion",
                    f"{symbol} / V_pl,T,Rd <= 1",
                    f"{shear_torsion.SOURCE} Eq. (6.25), ({equation})",
                    MEMORY,
                    s.section.name,
                    s.z,
                    ratio,
                    s.names,
                    {
                        symbol: ("force", shear),
                        "V_pl,T,Rd": ("force", plastic * left),
                        "A_v": ("area", area),
                        "tau_t": ("stress", used * limit),
                    },
                    "torsion alone uses the whole shear resistance somewhere" if spent else "",
                )
            )
        return shares[0], rows

    def _shear_areas(self, s: Stretch) -> tuple[float, float]:
        """A_v upright and sideways, clause 6.2.6(3), with eta = 1."""
        p, area = s.shape, s.section.constants.area
        assert p is not None
        if p.kind == "round tube":
            return 2 * area / math.pi, 2 * area / math.pi
        if p.kind == "rectangular tube":
            return area * p.depth / (p.width + p.depth), area * p.width / (p.width + p.depth)
        web = p.web_height * p.web
        upright = web
        if self.made == "rolled":
            sides = 2.0 if p.kind == "I" else 1.0
            fillets = (p.web + sides * p.radius) * p.flange
            upright = max(area - 2 * p.width * p.flange + fillets, web)
        return upright, 2 * p.width * p.flange

    def _pressed(self, s: Stretch) -> bool:
        """Whether the web is judged as pressed: axial compression, or bending about its weak
        axis of a tube."""
        assert s.shape is not None
        sideways = s.action("M_y").max(initial=0.0) > 0.05 * s.action("M_x").max(initial=0.0)
        return s.pressed or ("tube" in s.shape.kind and bool(sideways))

    def _resistances(self, s: Stretch, number: int) -> tuple[float, float, float, float]:
        """N_Rd, M_x,Rd, M_y,Rd and B_Rd with gamma_M0 = 1."""
        result, f_y, p = s.section.result, s.strength, s.shape
        assert result is not None
        assert p is not None
        elastic, plastic = result.elastic_moduli, result.plastic_moduli
        w_x = min(elastic.x_top, elastic.x_bottom)
        w_y = min(elastic.y_left, elastic.y_right)
        bimoment = f_y / s.unit_normal("B")
        if number <= 2 and plastic.x is not None and plastic.y is not None:
            w_x, w_y = plastic.x, plastic.y
            if p.kind == "I":
                bimoment = f_y * p.flange * p.width**2 / 4 * (p.depth - p.flange)
        return f_y * s.section.constants.area, f_y * w_x, f_y * w_y, bimoment

    def _bending(
        self,
        s: Stretch,
        shear: Array,
        resistances: tuple[float, float, float, float],
        number: int,
    ) -> AppliedRule:
        """Linear sum (6.2); where the upright shear passes half of its resistance, M_x,Rd falls by
        rho of 6.2.8, applied to the whole section (safe)."""
        left = shear_torsion.bending_share(shear)
        n, m_x, m_y, b = (r / self.gamma_m0 for r in resistances)
        tube = s.shape is not None and "tube" in s.shape.kind
        with np.errstate(divide="ignore", invalid="ignore"):
            major = np.where(s.action("M_x") > 0, s.action("M_x") / (m_x * left), 0.0)
        ratio = s.action("N") / n + major + s.action("M_y") / m_y
        terms: dict[str, tuple[str, ArrayLike]] = {
            "N_Ed": ("force", s.action("N")),
            "N_Rd": ("force", n),
            "M_x": ("moment", s.action("M_x")),
            "M_x,Rd": ("moment", m_x * left),
            "M_y": ("moment", s.action("M_y")),
            "M_y,Rd": ("moment", m_y),
        }
        equation = "N/N_Rd + M_x/M_x,Rd + M_y/M_y,Rd"
        if not tube:  # of hollow sections warping may be left out, 6.2.7(7)
            ratio = ratio + s.action("B") / b
            terms |= {"B_Ed": ("bimoment", s.action("B")), "B_Rd": ("bimoment", b)}
            equation += " + B/B_Rd"
        kind = "plastic" if number <= 2 else "elastic"
        return AppliedRule(
            f"axial force, bending{'' if tube else ', bimoment'} (class {number}, {kind})",
            f"{equation} <= 1",
            "EN 1993-1-1:2005 Eq. (6.2), clauses 6.2.7 and 6.2.8",
            MEMORY,
            s.section.name,
            s.z,
            ratio,
            s.names,
            terms,
        )
