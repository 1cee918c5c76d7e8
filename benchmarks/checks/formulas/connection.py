"""What an end connection must hold for a torque, and how its bolts and welds share it.

Statics and the elastic bolt-group method (derived). A web connection alone gives a fork at best:
its plate bends under the couple, and the web may distort; both are outside these figures.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from soapfilm.geometry.errors import InputError

Array = NDArray[np.float64]


def end_couple(torque: float, lever_arm: float) -> float:
    """Force T / h of the couple at flanges or bolt rows `lever_arm` apart, to be added to shear."""
    _positive("lever arm", lever_arm)
    return abs(torque) / lever_arm


@dataclass(frozen=True, slots=True)
class BoltForces:
    """Forces on the bolts of a group in its own plane: `vectors` (n, 2), `largest`, and `bolt` that
    bears it."""

    vectors: Array
    largest: float
    bolt: int


def bolt_group(bolts: ArrayLike, shear: tuple[float, float], torque: float) -> BoltForces:
    """Elastic share of a shear through the group's centre and a torque about it.

    F_i = V / n + T (e_z x r_i) / sum r^2, with r from the centre of equal bolts (n, 2).
    """
    points = np.asarray(bolts, float)
    if points.ndim != 2 or points.shape[1] != 2 or not len(points):
        raise InputError(f"bolts are a list of (x, y), got an array of shape {points.shape}")
    r = points - points.mean(axis=0)
    polar = float((r**2).sum())
    if polar <= 0 < abs(torque):
        raise InputError("a single bolt cannot hold a torque; give the group two bolts at least")
    turn = torque / polar if polar > 0 else 0.0
    forces = np.asarray(shear, float) / len(points) + turn * np.column_stack([-r[:, 1], r[:, 0]])
    size = np.hypot(*forces.T)
    bolt = int(size.argmax())
    return BoltForces(forces, float(size[bolt]), bolt)


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
