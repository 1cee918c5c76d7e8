"""A rigid plate on fasteners that yield: the movement at which the farthest reaches its limit.

The plate moves by (u, v) and turns by t, so the fastener at r moves by d = (u - t y, v + t x) and
answers against d with a force law(d); the point that does not move is the instantaneous centre.
Solved in the movement, not in the centre's place, so that a pure shift (its centre is infinitely
far) and a pure turn are ordinary cases. Steps with secant stiffnesses come first; a falling secant
stiffness makes them descend for any load (majorisation of a convex energy), but slowly near
saturation, so Newton's steps finish.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import SolveError

Array = NDArray[np.float64]
Law = Callable[[Array], tuple[Array, Array]]

_SECANT_STEPS, _NEWTON_STEPS = 2000, 40
_CLOSE, _DONE = 1e-5, 1e-12


@dataclass(frozen=True, slots=True, eq=False)
class LimitState:
    """The state in which the governing fastener is at its limit.

    Attributes
    ----------
    factor : float
        Times the given force and moment.
    forces : (n, 2)
        Of the fasteners on the plate's side, in balance with factor times the load.
    movement : (u, v, t)
        Of the plate at the origin of the points.
    centre : (x, y) or None
        Instantaneous centre; None for a pure shift.
    """

    factor: float
    forces: Array
    movement: Array
    centre: tuple[float, float] | None


def limit_state(points: Array, force: Array, moment: float, law: Law) -> LimitState:
    """Balance of a load's multiple with the fasteners' forces, the governing one at its limit.

    Parameters
    ----------
    points : (n, 2)
        From the point about which `moment` is meant.
    force, moment
        Direction and proportion of the load.
    law : function
        Takes (n, 2) movements; gives (n,) secant stiffnesses, force over movement, already
        multiplied by each fastener's size, and (n,) shares of its limit that each has used.

    Raises
    ------
    SolveError
        When the steps do not settle.
    """
    size = max(float(np.abs(points).max()), 1e-300)
    x, y = points.T / size
    n = len(points)
    rows = np.zeros((n, 2, 3))
    rows[:, 0, 0] = rows[:, 1, 1] = 1.0
    rows[:, 0, 2], rows[:, 1, 2] = -y, x
    load = np.array([*force, moment / size], float)
    load = load / np.linalg.norm(load)

    def answer(q: Array) -> tuple[Array, float, Array]:
        d = rows @ q
        secant, used = law(d)
        pushed = secant[:, None] * d
        return np.einsum("nij,ni->j", rows, pushed), float(used.max()), pushed

    q = _secant(rows, load, law, answer)
    factor = float(answer(q)[0] @ load)
    q, factor = _newton(answer, load, q, factor)
    held, _, pushed = answer(q)
    miss = float(np.abs(held - factor * load).max())
    if not miss <= 1e-8 * abs(factor):
        raise SolveError(
            "the instantaneous centre of the group was not found; use the elastic method"
        )
    scale = float(np.linalg.norm([*force, moment / size]))
    turn = q[2]
    centre = None
    if abs(turn) > 1e-9 * float(np.abs(q).max()):
        centre = (float(-q[1] / turn) * size, float(q[0] / turn) * size)
    movement = np.array([q[0], q[1], turn / size])
    return LimitState(factor / scale, pushed, movement, centre)


Answer = Callable[[Array], tuple[Array, float, Array]]


def _secant(rows: Array, load: Array, law: Law, answer: Answer) -> Array:
    """Movement near the limit state, by secant stiffnesses."""
    q = np.linalg.lstsq(np.einsum("nij,nik->jk", rows, rows), load, rcond=1e-12)[0]
    q = q / _used(law, rows, q)
    for _ in range(_SECANT_STEPS):
        secant, _ = law(rows @ q)
        matrix = np.einsum("nij,n,nik->jk", rows, secant, rows)
        q = np.linalg.lstsq(matrix, load, rcond=1e-13)[0]
        q = q / _used(law, rows, q)
        held = answer(q)[0]
        if np.abs(held - (held @ load) * load).max() <= _CLOSE * np.linalg.norm(held):
            break
    return np.asarray(q)


def _used(law: Law, rows: Array, q: Array) -> float:
    """Share of the limit that a movement uses: limits are proportional to its size."""
    return float(law(rows @ q)[1].max())


def _newton(answer: Answer, load: Array, q: Array, factor: float) -> tuple[Array, float]:
    """Newton's steps on balance and limit together; steps that gain nothing end them."""

    def residual(z: Array) -> Array:
        held, used, _ = answer(z[:3])
        return np.array([*(held - z[3] * load), used - 1.0])

    z = np.array([*q, factor])
    now = residual(z)
    for _ in range(_NEWTON_STEPS):
        if np.abs(now).max() <= _DONE * max(abs(z[3]), 1.0):
            break
        jacobian = np.empty((4, 4))
        step = 1e-7 * np.maximum(np.abs(z), 1e-3 * np.abs(z[:3]).max())
        for k in range(4):
            ahead, behind = z.copy(), z.copy()
            ahead[k] += step[k]
            behind[k] -= step[k]
            jacobian[:, k] = (residual(ahead) - residual(behind)) / (2 * step[k])
        move = np.linalg.lstsq(jacobian, -now, rcond=1e-13)[0]
        length = 1.0
        while length > 1e-4:
            trial = residual(z + length * move)
            if np.abs(trial).max() < np.abs(now).max():
                break
            length /= 2
        else:
            break
        z, now = z + length * move, trial
    return z[:3], float(z[3])
