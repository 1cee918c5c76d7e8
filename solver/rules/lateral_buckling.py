"""Lateral buckling of I sections in torsion along a member, EN 1993-6 Annex A, with chi_LT by the
general case of EN 1993-1-1 6.3.2.2 (both from memory)."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from . import bending_torsion
from .applied_rule import AppliedRule
from .stretch import Stretch

#: Imperfection factors of lateral-torsional buckling, EN 1993-1-1 Tables 6.3 and 6.4: by how the
#: section is made and whether it is deeper than twice its width.
_IMPERFECTION = {
    ("rolled", False): 0.21,
    ("rolled", True): 0.34,
    ("welded", False): 0.49,
    ("welded", True): 0.76,
}


def lateral_rule(
    s: Stretch,
    resistances: tuple[float, float, float],
    gamma_m1: float,
    made: str,
    moment_factor: float,
) -> AppliedRule | str:
    """EN 1993-6 Annex A with the largest actions of each combination, or why not.

    Parameters
    ----------
    s : Stretch
        Of an I section.
    resistances : (3,)
        Characteristic M_x, M_y and B.
    gamma_m1 : float
    made : "rolled" or "welded"
    moment_factor : float
        C_mz.
    """
    if not s.straight:
        return (
            f"section {s.section.name!r}: EN 1993-6 Annex A is written for straight members; "
            "in a curved one it is not applied"
        )
    assert s.shape is not None
    m_x, m_y, b = resistances
    sideways = s.action("M_y") + np.abs(s.twist) * s.action("M_x")
    actions = [a.max(axis=0) for a in (s.action("M_x"), sideways, s.action("B"))]
    words = ("M_x", "M_y + phi M_x", "B", "chi_LT", "M_cr", "k_w", "k_zw", "k_alpha")
    ratios: list[float] = []
    rows: list[tuple[float, ...]] = []
    for k, alpha in enumerate(s.critical):
        moment = float(actions[0][k])
        critical = moment * float(alpha)
        chi = reduction(m_x, critical, made, s.shape.depth > 2 * s.shape.width)
        found = bending_torsion.interaction(
            moment / (m_x / gamma_m1),
            float(actions[1][k]) / (m_y / gamma_m1),
            float(actions[2][k]) / (b / gamma_m1),
            reduction=chi,
            major_to_critical=1 / float(alpha) if moment > 0 else 0.0,
            moment_factor=moment_factor,
        )
        ratios.append(found.verdict.ratio)
        own = (float(a[k]) for a in actions)
        rows.append((*own, chi, critical, found.k_w, found.k_zw, found.k_alpha))
    where = s.z[[int(s.action("M_x").max(axis=1).argmax())]]
    quantities = ("moment", "moment", "bimoment", "ratio", "moment", *["ratio"] * 3)
    columns = zip(words, quantities, np.array(rows).T, strict=True)
    terms: dict[str, tuple[str, ArrayLike]] = {word: (q, v[None]) for word, q, v in columns}
    return AppliedRule(
        "lateral buckling with torsion",
        "M_x/(chi_LT M_x,Rk/g_M1) + C_mz M_y/(M_y,Rk/g_M1) + k_w k_zw k_alpha B/(B_Rk/g_M1) "
        "<= 1, with the largest M_x, M_y + phi M_x and B of the segment together",
        f"{bending_torsion.SOURCE}; chi_LT by EN 1993-1-1 6.3.2.2",
        "from memory",
        s.section.name,
        where,
        np.array([ratios]),
        s.names,
        terms,
    )


def reduction(resistance: float, critical: float, made: str, deep: bool) -> float:
    """chi_LT of a characteristic moment resistance and M_cr; `deep` where h / b > 2."""
    if not math.isfinite(critical):
        return 1.0
    if critical <= 0:
        return 1.0  # no bending about x: nothing buckles sideways
    slenderness = math.sqrt(resistance / critical)
    if slenderness <= 0.2:
        return 1.0
    alpha = _IMPERFECTION[made, deep]
    phi = 0.5 * (1 + alpha * (slenderness - 0.2) + slenderness**2)
    return min(1.0, 1 / (phi + math.sqrt(phi**2 - slenderness**2)))
