"""Second-order work at hinges, whose two sides turn apart.

With R = exp[theta] of either side, and m halfway between them, a hinge parts by log(R_1^T R_2) and
by R_m^T times the slip of its points. To second order these are

    theta_2 - theta_1 - theta_1 x theta_2 / 2,    D - theta_m x D,
    D = d_2 + theta_2 x p + theta_2 x (theta_2 x p) / 2 - d_1 - theta_1 x p - ... alike,

and what passes works on it: the moment M that is passed on turns about axes that go along with the
two sides, halfway where both bend. Where nothing parts all of this is zero.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..model.hinge import Hinge
from ..model.member import Member
from .junction import hinge_points, turning_points

Array = NDArray[np.float64]


def load_height(dyad: Array) -> Array:
    """Second derivatives by theta of -1/2 P . (theta x (theta x r)) for dyads P r^T (n, 3, 3)."""
    trace = np.trace(dyad, axis1=1, axis2=2)[:, None, None]
    return np.asarray(trace * np.eye(3) - (dyad + np.swapaxes(dyad, 1, 2)) / 2)


def cross(v: Array) -> Array:
    """(n, 3, 3) matrices of v x."""
    out = np.zeros((len(v), 3, 3))
    out[:, 0, 1], out[:, 0, 2] = -v[:, 2], v[:, 1]
    out[:, 1, 0], out[:, 1, 2] = v[:, 2], -v[:, 0]
    out[:, 2, 0], out[:, 2, 1] = -v[:, 1], v[:, 0]
    return out


def hinge_work(
    member: Member, hinge: Hinge, wrench: Array, origin: tuple[float, float], own: Array
) -> Array:
    """(12, 12) second derivatives of that work by d_1, theta_1, d_2, theta_2 of the origin.

    Parameters
    ----------
    wrench : (6,)
        Force, and moment about the origin, that the piece beyond exerts on the one before.
    own : (2, 3, 3)
        Dyads, about the origin, of the tractions on the ends of both pieces, which work on their
        second-order movement; zero for bars, whose forces work on that of the origin.
    """
    section = member.section_at(hinge.at)
    bends, twists = hinge_points(member, hinge, section, origin)
    force = wrench[:3]
    moment = (turning_points(member, hinge, section, origin).T @ wrench)[3:]
    places = np.array([[*twists, 0.0], [*twists, 0.0], [*bends, 0.0]])
    passed = force[:, None] * places
    height = load_height(np.stack([passed, -passed]) - own)
    out = np.zeros((12, 12))
    first, last = slice(3, 6), slice(9, 12)
    out[first, first], out[last, last] = height
    turning = cross(moment[None])[0] / 2
    out[first, last], out[last, first] = turning, turning.T
    between = np.zeros((3, 12))
    between[:, first] = between[:, last] = np.eye(3) / 2
    for k, arm in enumerate(cross(places)):
        slip = np.hstack([-np.eye(3), arm, np.eye(3), -arm])
        work = -force[k] * slip.T @ cross(np.eye(3)[k : k + 1])[0] @ between
        out += work + work.T
    return out
