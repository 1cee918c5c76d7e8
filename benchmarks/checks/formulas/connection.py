"""What an end connection must hold for a torque: statics (derived). Bolts and welds share it by
`solver.joint`."""

from __future__ import annotations

import math
from dataclasses import dataclass

from soapfilm.geometry.errors import InputError


def end_couple(torque: float, lever_arm: float) -> float:
    """Force T / h of the couple at flanges or bolt rows `lever_arm` apart, to be added to shear."""
    _positive("lever arm", lever_arm)
    return abs(torque) / lever_arm


@dataclass(frozen=True, slots=True)
class BearingPair:
    """Forces of two bearings, x ascending; `uplift` is what must be held down, 0 if nothing."""

    forces: tuple[float, float]
    uplift: float
    spacing_needed: float


def bearing_pair_forces(reaction: float, torque: float, spacing: float) -> BearingPair:
    """Two bearings that hold an upward `reaction` midway between them and a `torque` on the member.

    R/2 -+ T/s. `spacing_needed` is the spacing at which neither lifts, 2 |T| / R (infinite without
    a reaction to press them down).
    """
    _positive("bearing spacing", spacing)
    pair = (reaction / 2 - torque / spacing, reaction / 2 + torque / spacing)
    needed = 2 * abs(torque) / reaction if reaction > 0 else (math.inf if torque else 0.0)
    return BearingPair(pair, max(0.0, -min(pair)), needed)


def intermittent_weld_force(shear_flow: float, pitch: float) -> float:
    """Force on each weld or clip that closes a cell: shear flow times pitch."""
    _positive("pitch", pitch)
    return abs(shear_flow) * pitch


def weld_throat(shear_flow: float, weld_strength: float) -> float:
    """Throat of a continuous weld for a shear flow and a weld shear strength."""
    _positive("weld strength", weld_strength)
    return abs(shear_flow) / weld_strength


def _positive(word: str, value: float) -> None:
    if not 0 < value < math.inf:
        raise InputError(f"{word} must be positive, got {value}")
