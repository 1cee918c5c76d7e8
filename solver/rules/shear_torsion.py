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


def web_yield_factor(shear: float, reduced_resistance: float) -> float:
    """1 - rho for bending with shear above half of V_pl,T,Rd: rho = (2 V_Ed / V_pl,T,Rd - 1)^2.

    1 up to half; 0 where the shear reaches the resistance.
    """
    if not reduced_resistance > 0:
        return 0.0
    return float(bending_share(abs(shear) / reduced_resistance))


def bending_share(used: ArrayLike) -> Array:
    """The same over arrays, of V_Ed / V_pl,T,Rd."""
    used = np.asarray(used, float)
    with np.errstate(invalid="ignore", over="ignore"):
        return np.where(used <= 0.5, 1.0, np.maximum(1 - (2 * used - 1) ** 2, 0.0))
