"""Lateral buckling with torsion, EN 1993-6:2007 Annex A (from memory; SCI P385 uses it).

M_y / (chi_LT M_y,Rk / gamma_M1) + C_mz M_z / (M_z,Rk / gamma_M1)
    + k_w k_zw k_alpha B / (B_Rk / gamma_M1) <= 1
k_w = 0.7 - 0.2 B / (B_Rk / gamma_M1),  k_zw = 1 - M_z / (M_z,Rk / gamma_M1),
k_alpha = 1 / (1 - M_y / M_y,cr)
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ...geometry.errors import InputError
from .verdict import Verdict

SOURCE = "EN 1993-6:2007 Annex A Eq. (A.1)"
PROVENANCE = "from memory"


@dataclass(frozen=True, slots=True)
class Interaction:
    """The verdict and its three factors."""

    verdict: Verdict
    k_w: float
    k_zw: float
    k_alpha: float


def interaction(
    major: float,
    minor: float,
    bimoment: float,
    *,
    reduction: float,
    major_to_critical: float,
    moment_factor: float = 1.0,
) -> Interaction:
    """Interaction of bending and torsion in a member that may buckle laterally.

    Parameters
    ----------
    major, minor, bimoment : float
        M_y, M_z, B over their resistances M_y,Rk / gamma_M1, M_z,Rk / gamma_M1, B_Rk / gamma_M1.
    reduction : float
        chi_LT.
    major_to_critical : float
        M_y / M_y,cr; from 1 on the member is unstable and the check fails.
    moment_factor : float
        C_mz, EN 1993-1-1 Table B.3.
    """
    major, minor, bimoment = abs(major), abs(minor), abs(bimoment)
    if not 0 < reduction <= 1:
        raise InputError(f"chi_LT lies above 0 and up to 1, got {reduction}")
    k_w, k_zw = 0.7 - 0.2 * bimoment, 1 - minor
    unstable = not abs(major_to_critical) < 1
    k_alpha = math.inf if unstable else 1 / (1 - abs(major_to_critical))
    if unstable:
        reason = "the major-axis moment reaches the elastic critical moment: unstable"
        verdict = Verdict("bending with torsion", math.inf, SOURCE, PROVENANCE, reason)
        return Interaction(verdict, k_w, k_zw, k_alpha)
    # Beyond full use of B or M_z the factors would turn negative and reward more load.
    reason = ""
    if bimoment > 1 or minor > 1:
        reason = "the bimoment or the minor-axis moment alone exceeds its resistance"
    third = max(k_w, 0.0) * max(k_zw, 0.0) * k_alpha * bimoment
    ratio = major / reduction + moment_factor * minor + third
    return Interaction(
        Verdict("bending with torsion", ratio, SOURCE, PROVENANCE, reason), k_w, k_zw, k_alpha
    )
