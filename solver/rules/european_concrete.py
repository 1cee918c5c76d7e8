"""Concrete members in torsion and shear by EN 1992-1-1:2004 (from memory): struts, links and bars.

Actions come from the elastic, uncracked member; torsion that compatibility alone brings falls when
the concrete cracks, which the member file states by a factor on the torsion constant.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError
from .applied_rule import AppliedRule
from .stretch import Stretch
from .thin_walled_tube import PROVENANCE, SOURCE, ThinWalledTube, thin_walled_tube

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class EuropeanConcrete:
    """What is asked of EN 1992-1-1.

    Attributes
    ----------
    strength : float
        f_ck.
    yield_stress : float
        f_yk of links and bars.
    edge_to_bar : float
        From the concrete's edge to the centre of the longitudinal bars.
    combinations : tuple of str
        None stands for all.
    gamma_c, gamma_s, alpha_cc : float
    cot_theta : float
        Of the struts, 1 to 2.5.
    effective_depth, web_width : float, optional
        d and b_w; left out: overall depth less `edge_to_bar`, and the least width of the outline's
        middle two thirds.
    links, bars : float, optional
        What is provided: A_sw / s of each leg, and the sum of A_sl for torsion.
    """

    strength: float
    yield_stress: float
    edge_to_bar: float
    combinations: tuple[str, ...] = ()
    gamma_c: float = 1.5
    gamma_s: float = 1.15
    alpha_cc: float = 1.0
    cot_theta: float = 1.0
    effective_depth: float | None = None
    web_width: float | None = None
    links: float | None = None
    bars: float | None = None

    title = "EN 1992-1-1"

    def __post_init__(self) -> None:
        if not 1 <= self.cot_theta <= 2.5:
            raise InputError(f"cot_theta lies from 1 to 2.5, got {self.cot_theta:g}")
        for word in ("strength", "yield_stress", "edge_to_bar", "gamma_c", "gamma_s", "alpha_cc"):
            if not 0 < getattr(self, word) < math.inf:
                raise InputError(f"{word} must be positive, got {getattr(self, word)}")

    def rules(self, stretch: Stretch) -> tuple[list[AppliedRule], list[str]]:
        """The rules on a stretch, and what is left out, with its reason."""
        result = stretch.section.result
        assert result is not None
        try:
            tube = thin_walled_tube(result.section, self.edge_to_bar)
        except InputError as error:
            return [], [str(error)]
        nu = 0.6 * (1 - self.strength / stretch.megapascal / 250)
        f_cd, f_yd = self.alpha_cc * self.strength / self.gamma_c, self.yield_stress / self.gamma_s
        depth = self.effective_depth or tube.depth - self.edge_to_bar
        width = self.web_width or tube.web_width
        cot = self.cot_theta
        torque = stretch.action("T_t") + stretch.action("T_w")
        shear = stretch.action("V_y")
        most = tube.torque_of_struts(f_cd, cot, nu)
        most_shear = width * 0.9 * depth * nu * f_cd / (cot + 1 / cot)
        links = tube.links(torque, f_yd, cot)
        legs = shear / (0.9 * depth * f_yd * cot) / 2
        bars = tube.bars(torque, f_yd, cot)
        struts = AppliedRule(
            "struts in torsion and shear",
            "T_Ed/T_Rd,max + V_Ed/V_Rd,max <= 1",
            f"{SOURCE} Eq. (6.29), (6.30), (6.9)",
            PROVENANCE,
            stretch.section.name,
            stretch.z,
            torque / most + shear / most_shear,
            stretch.names,
            {
                "T_Ed": ("torque", torque),
                "T_Rd,max": ("torque", most),
                "V_Ed": ("force", shear),
                "V_Rd,max": ("force", most_shear),
                "t_ef": ("length", tube.wall),
                "A_k": ("area", tube.enclosed),
                "u_k": ("length", tube.centre_line),
                "A_sw/s, a leg": ("length", links + legs),
                "A_sl for torsion": ("area", bars),
            },
        )
        rows = [struts, *self._provided(stretch, links + legs, bars)]
        return rows, self._notes(stretch, tube)

    def _provided(self, s: Stretch, links: Array, bars: Array) -> list[AppliedRule]:
        """Provided steel beside what is needed."""
        found = []
        for word, need, given, quantity, equation in (
            ("links, each leg", links, self.links, "length", "A_sw/s for torsion and shear"),
            ("bars along the member, for torsion", bars, self.bars, "area", "A_sl for torsion"),
        ):
            if given is None:
                continue
            found.append(
                AppliedRule(
                    word,
                    f"needed over provided {equation}",
                    f"{SOURCE} Eq. (6.28), clause 6.2.3",
                    PROVENANCE,
                    s.section.name,
                    s.z,
                    need / given,
                    s.names,
                    {"needed": (quantity, need), "provided": (quantity, given)},
                )
            )
        return found

    def _notes(self, s: Stretch, tube: ThinWalledTube) -> list[str]:
        name = s.section.name
        found = [
            f"section {name!r}: bars for bending come on top of those for torsion; torsion spreads "
            "its bars around the outline, closed links only"
        ]
        if tube.split:
            found.append(
                f"section {name!r} has flanges: the code splits such an outline into parts that "
                "share the torque (6.3.1(3)); the tube of the whole outline is an estimate"
            )
        if self.links is None or self.bars is None:
            found.append(
                f"section {name!r}: links and bars are not stated (links, bars in [[code]]); what "
                "they need stands beside the struts where these are used most"
            )
        return found
