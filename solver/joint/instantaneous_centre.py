"""Instantaneous centre of a bolt group: bolts yield before the farthest of them breaks.

Load and deformation of one bolt are R = R_ult (1 - exp(-mu D))^lambda with mu = 10 per inch,
lambda = 0.55, and D = 0.34 in at the bolt farthest from the centre: Crawford and Kulak,
Eccentrically loaded bolted connections, J. Struct. Div. ASCE 97 (1971) ST3; the same curve stands
behind the tables of Part 7 of the AISC Manual (from memory). Only mu times D enters, so the curve
serves in any unit. It was measured on 3/4 in A325 bolts in bearing and is used for all others by
custom. No strength is claimed here: what leaves is how a group shares its load.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ...geometry.errors import InputError
from .rigid_turn import limit_state

Array = NDArray[np.float64]

_MU_LIMIT = 10.0 * 0.34
_LAMBDA = 0.55
#: Below this share of the limit the curve is a straight line: its slope at zero has no bound, and a
#: bolt at the centre itself would make rounding felt. The curve reaches a thousandth there.
_STRAIGHT = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class CentreShare:
    """How a bolt group shares a load about its instantaneous centre.

    Attributes
    ----------
    forces : (n, 2)
        On the bolts, in balance with the load that was given.
    coefficient : float
        Times the given load is what the group holds when one bolt's R_ult is 1: the tables' C for a
        force of 1, their C' for a moment of 1.
    centre : (x, y) or None
        In the points' axes; None when it is infinitely far.
    """

    forces: Array
    coefficient: float
    centre: tuple[float, float] | None


def load_share(used: ArrayLike) -> Array:
    """Force over R_ult at shares of the largest deformation, 0 to 1."""
    x = np.asarray(used, float)
    line = x / _STRAIGHT * (1 - np.exp(-_MU_LIMIT * _STRAIGHT)) ** _LAMBDA
    curve = (-np.expm1(-_MU_LIMIT * np.maximum(x, _STRAIGHT))) ** _LAMBDA
    return np.asarray(np.where(x < _STRAIGHT, line, curve))


def centre_method(points: ArrayLike, force: ArrayLike, moment: float) -> CentreShare:
    """Share of a force through the centroid and a moment about it, by the instantaneous centre.

    Raises
    ------
    InputError
        For a moment on bolts that all lie in one place.
    SolveError
        When no centre is found.
    """
    p = np.asarray(points, float)
    if p.ndim != 2 or p.shape[1] != 2 or not len(p) or not np.isfinite(p).all():
        raise InputError("bolts are a list of finite points (a, b)")
    load = np.asarray(force, float)
    if not (load.any() or moment):
        return CentreShare(np.zeros_like(p), 0.0, None)
    middle = p.mean(axis=0)
    r = p - middle
    if not np.abs(r).max() > 0 and moment:
        raise InputError("a single bolt cannot hold a moment in its plane; give two at least")

    def law(d: Array) -> tuple[Array, Array]:
        used = np.hypot(d[:, 0], d[:, 1])
        share = np.minimum(used, 1e6)
        return load_share(share) / np.maximum(share, 1e-300), used

    found = limit_state(r, load, float(moment), law)
    centre = None
    if found.centre is not None:
        centre = (found.centre[0] + middle[0], found.centre[1] + middle[1])
    return CentreShare(found.forces / found.factor, found.factor, centre)
