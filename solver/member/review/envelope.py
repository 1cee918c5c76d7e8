"""Stress envelope along a member: the unit stresses of its section times the actions at stations.

The order of the eight actions is N, M_x, M_y, V_x, V_y, T_t, T_w, B, as `Stations.actions` gives
them. All stations, combinations and points are evaluated, and the largest is taken of the combined
stress at one and the same point: maxima from different stations or fibres are never added.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..beam.solution import Stations
from .greatest import greatest

Array = NDArray[np.float64]

# Numbers held at a time: a few arrays of so many stay in the processor's cache, which is five times
# as fast as going through memory.
CHUNK = 150_000


@dataclass(frozen=True, slots=True)
class UnitStresses:
    """Stress at p points of a section per unit of each action.

    Attributes
    ----------
    points : (p, 2)
        In the section's axes.
    sigma : (8 + a, p)
        After those of the actions, what a strains of the section's own leave in equilibrium within
        it.
    tau : (8, p, 2)
    sheared : (p,) of bool, optional
        False where a sharp corner leaves shear unbounded: such points count only where no shear or
        torque acts.
    """

    points: Array
    sigma: Array
    tau: Array
    sheared: NDArray[np.bool_] | None = None

    def __post_init__(self) -> None:
        p = len(self.points)
        shape = self.sigma.shape
        if shape[0] < 8 or shape[1:] != (p,) or self.tau.shape != (8, p, 2):
            raise InputError(
                f"unit stresses need shapes (8, {p}) or more rows, and (8, {p}, 2), "
                f"got {self.sigma.shape} and {self.tau.shape}"
            )


@dataclass(frozen=True, slots=True)
class StressEnvelope:
    """Largest stresses at m stations for c combinations.

    Attributes
    ----------
    z : (m,)
    mises, shear : (m, c)
        Largest von Mises stress and largest resultant shear stress over the section.
    tension, compression : (m, c)
        Largest and smallest normal stress.
    point : (m, c) of int
        Index of the point with the largest von Mises stress.
    points : (p, 2)
    names : tuple of str
    """

    z: Array
    mises: Array
    shear: Array
    tension: Array
    compression: Array
    point: NDArray[np.intp]
    points: Array
    names: tuple[str, ...]

    @property
    def worst(self) -> tuple[float, float, str, tuple[float, float]]:
        """Largest von Mises stress, its station, combination and point of the section."""
        row, column = greatest(self.mises)
        x, y = self.points[self.point[row, column]]
        at = (float(x), float(y))
        return float(self.mises[row, column]), float(self.z[row]), self.names[column], at


def stress_envelope(
    stations: Stations, units: UnitStresses, own: Array | None = None
) -> StressEnvelope:
    """Evaluate every station, combination and point; `own` (m, c, a) are the factors of the rows
    after the actions'.

    All stations must share the section that `units` belong to; pass those of one segment at a time.
    """
    actions = stations.actions
    m, c, _ = actions.shape
    if own is not None:
        actions = np.concatenate([actions, own], axis=2)
    flat = actions.reshape(m * c, -1)
    p = len(units.points)
    if not p:
        raise InputError("unit stresses hold no point; sample the section first")
    found = np.zeros((4, m * c))
    point = np.zeros(m * c, np.intp)
    # Rows of zeros (normal stress of a shear, and so on) need no arithmetic.
    normal = np.flatnonzero(np.any(units.sigma, axis=1))
    lateral = np.flatnonzero(np.any(units.tau, axis=(1, 2)))
    sigma_of = units.sigma[normal]
    x_of, y_of = (np.ascontiguousarray(units.tau[lateral, :, d]) for d in (0, 1))
    step = max(1, CHUNK // p)
    for a in range(0, m * c, step):
        part = flat[a : a + step]
        sigma = part[:, normal] @ sigma_of
        tau_squared = (part[:, lateral] @ x_of) ** 2
        tau_squared += (part[:, lateral] @ y_of) ** 2
        mises_squared = sigma**2 + 3 * tau_squared
        if units.sheared is not None and not units.sheared.all():
            shears = np.any(part[:, 3:7], axis=1)
            out = shears[:, None] & ~units.sheared
            mises_squared[out] = -1.0
            tau_squared[out] = 0.0
        best = mises_squared.argmax(axis=1)
        rows = np.arange(len(part))
        point[a : a + step] = best
        found[0, a : a + step] = np.sqrt(np.maximum(mises_squared[rows, best], 0.0))
        found[1, a : a + step] = np.sqrt(tau_squared.max(axis=1))
        found[2, a : a + step] = sigma.max(axis=1)
        found[3, a : a + step] = sigma.min(axis=1)
    mises, shear, tension, compression = found.reshape(4, m, c)
    return StressEnvelope(
        stations.z,
        mises,
        shear,
        tension,
        compression,
        point.reshape(m, c),
        units.points,
        stations.names,
    )
