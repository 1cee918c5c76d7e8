"""Shear resistance beside torsion, EN 1993-1-1:2005 clause 6.2.7 (from memory; 8.2.7 in 2022).

tau_t is the Saint-Venant shear stress, tau_w the one of restrained warping, at the place of the
largest shear. A bracket or radicand that turns negative means that torsion has used the whole
shear resistance: the result is zero and a failure.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ...geometry.errors import InputError
from .verdict import Verdict

SOURCE = "EN 1993-1-1:2005 clause 6.2.7"
PROVENANCE = "from memory"

Kind = Literal["I", "channel", "hollow"]
Array = NDArray[np.float64]

_EQUATIONS: dict[str, str] = {"I": "6.26", "channel": "6.27", "hollow": "6.28"}


@dataclass(frozen=True, slots=True)
class ShearReduction:
    """V_pl,T,Rd / V_pl,Rd and the equation it came from; `exhausted` where torsion alone uses
    all."""

    ratio: float
    equation: str
    exhausted: bool


def shear_reduction(
    kind: Kind,
    tau_t: float,
    yield_stress: float,
    tau_w: float = 0.0,
    gamma_m0: float = 1.0,
) -> ShearReduction:
    """Share of the plastic shear resistance that torsion leaves.

    With tau_y = (f_y / sqrt 3) / gamma_M0:

    - I or H: sqrt(1 - tau_t / (1.25 tau_y))                      (6.26)
    - channel: sqrt(1 - tau_t / (1.25 tau_y)) - tau_w / tau_y     (6.27)
    - hollow: 1 - tau_t / tau_y                                   (6.28)
    """
    if not (yield_stress > 0 and gamma_m0 > 0):
        raise InputError(
            f"yield stress and gamma_M0 must be positive, got {yield_stress} and {gamma_m0}"
        )
    if kind not in _EQUATIONS:
        raise InputError(f"section kind {kind!r} is not covered; use 'I', 'channel' or 'hollow'")
    limit = yield_stress / math.sqrt(3) / gamma_m0
    left = float(share_left(kind, abs(tau_t) / limit, abs(tau_w) / limit))
    return ShearReduction(max(left, 0.0), _EQUATIONS[kind], left <= 0)


def share_left(kind: Kind, used: ArrayLike, warping: ArrayLike = 0.0) -> Array:
    """The same over arrays, of tau_t / tau_y and tau_w / tau_y; zero or negative where torsion
    alone uses all."""
    used, warping = np.asarray(used, float), np.asarray(warping, float)
    if kind == "hollow":
        return np.asarray(1 - used)
    left = np.sqrt(np.maximum(1 - used / 1.25, 0.0))
    return np.asarray(left - warping if kind == "channel" else left)


def shear_check(shear: float, plastic_resistance: float, reduction: ShearReduction) -> Verdict:
    """V_Ed / V_pl,T,Rd <= 1."""
    if not plastic_resistance > 0:
        raise InputError(f"plastic shear resistance must be positive, got {plastic_resistance}")
    source = f"{SOURCE} Eq. ({reduction.equation})"
    if reduction.exhausted:
        reason = "torsion alone uses the whole shear resistance"
        return Verdict("shear with torsion", math.inf, source, PROVENANCE, reason)
    ratio = abs(shear) / (plastic_resistance * reduction.ratio)
    return Verdict("shear with torsion", ratio, source, PROVENANCE)


def torsion_check(torque: float, resistance: float) -> Verdict:
    """T_Ed / T_Rd <= 1 with T_Ed = T_t,Ed + T_w,Ed (6.23, 6.24)."""
    if not resistance > 0:
        raise InputError(f"torsional resistance must be positive, got {resistance}")
    return Verdict("torsion", abs(torque) / resistance, f"{SOURCE} Eq. (6.23)", PROVENANCE)


def yield_criterion(
    normal_stress: float, shear_stress: float, yield_stress: float, gamma_m0: float = 1.0
) -> Verdict:
    """(sigma/f_yd)^2 + 3 (tau/f_yd)^2 <= 1, clause 6.2.1 Eq. (6.1) for one fibre.

    sigma holds axial, bending and warping stress of that fibre, tau shear, Saint-Venant and
    warping. The ratio given is the square root of the left side.
    """
    if not (yield_stress > 0 and gamma_m0 > 0):
        raise InputError(
            f"yield stress and gamma_M0 must be positive, got {yield_stress} and {gamma_m0}"
        )
    design = yield_stress / gamma_m0
    ratio = math.hypot(normal_stress, math.sqrt(3) * shear_stress) / design
    return Verdict("elastic yield criterion", ratio, "EN 1993-1-1:2005 Eq. (6.1)", PROVENANCE)


def web_yield_factor(shear: float, reduced_resistance: float) -> float:
    """1 - rho for bending with shear above half of V_pl,T,Rd: rho = (2 V_Ed / V_pl,T,Rd - 1)^2.

    1 up to half; 0 where the shear reaches the resistance.
    """
    if not reduced_resistance > 0:
        return 0.0
    used = abs(shear) / reduced_resistance
    if used <= 0.5:
        return 1.0
    return max(0.0, 1 - (2 * used - 1) ** 2)
