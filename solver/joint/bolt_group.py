"""A group of equal bolts: how an elastic group shares forces in its plane and out of it.

The elastic vector method in the plane is derived from a rigid plate on equal springs; out of the
plane the same plate turns on the bolts' axial springs, and where it presses on what lies under it
contact takes the place of bolts, which cannot push. Prying is in none of these figures.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ...geometry.errors import InputError, SolveError

Array = NDArray[np.float64]

#: Stiffness of a point of contact beside that of a bolt. Plates in contact are far stiffer than a
#: bolt's shank; ten times more moves bolt forces of ordinary joints by about a hundredth.
CONTACT = 100.0
#: Moments below this share of force times size are rounding.
_ROUNDING = 1e-9
_STEPS = 500


def vector_method(points: ArrayLike, force: ArrayLike, moment: float) -> Array:
    """(n, 2) forces on equal bolts from a force through the group's centroid and a moment about it.

    F_i = F / n + M (e_z x r_i) / sum r^2 with r from the centroid; M turns x toward y.

    Raises
    ------
    InputError
        For a moment on bolts that all lie in one place.
    """
    p = _checked(points, 2)
    r = p - p.mean(axis=0)
    polar = polar_sum(p)
    load = np.asarray(force, float)
    if polar <= 0:
        size = float(np.hypot(*load))
        if moment != 0 and abs(moment) > _ROUNDING * size * max(float(np.abs(p).max()), 1e-300):
            raise InputError("a single bolt cannot hold a moment in its plane; give two at least")
        return np.tile(load / len(p), (len(p), 1))
    turn = moment / polar
    return np.asarray(load / len(p) + turn * np.column_stack([-r[:, 1], r[:, 0]]))


def polar_sum(points: ArrayLike) -> float:
    """Sum of r^2 about the centroid (length^2)."""
    p = _checked(points, 2)
    return float(((p - p.mean(axis=0)) ** 2).sum())


def axial_share(points: ArrayLike, pull: float, moment: tuple[float, float]) -> Array:
    """(n,) axial forces of equal bolts that pull and push alike, without contact.

    Parameters
    ----------
    points : (n, 2) of the bolts' (a, b)
    pull : float
        Out of the plane, along a x b.
    moment : (M_a, M_b)
        About the axes through the centroid: M_a = sum b_i N_i, M_b = -sum a_i N_i.

    Raises
    ------
    InputError
        For a moment about a line on which all bolts lie.
    """
    p = _checked(points, 2)
    r = p - p.mean(axis=0)
    rows = np.column_stack([np.ones(len(p)), r[:, 1], -r[:, 0]])
    target = np.array([pull, *moment])
    size = max(float(np.abs(r).max()), 1e-300)
    scale = np.array([1.0, 1 / size, 1 / size])
    answer = np.linalg.lstsq((rows * scale).T @ (rows * scale), target * scale, rcond=1e-12)[0]
    found = np.asarray((rows * scale) @ answer)
    miss = np.abs((rows * scale).T @ found - target * scale).max()
    if miss > 1e-7 * np.abs(target * scale).max(initial=0.0):
        raise InputError(
            "bolts in one line cannot hold a moment about it; give a second column or row"
        )
    return found


def contact_share(
    bolts: ArrayLike,
    presses: ArrayLike,
    pull: float,
    moment: tuple[float, float],
    stiffness: float = CONTACT,
) -> tuple[Array, Array]:
    """(n,) tensions of bolts that only pull and (m,) pressures of points that only push.

    The plate is rigid; the points are where it presses on its support, `stiffness` times as stiff
    as a bolt each. Signs as in `axial_share`, moments about the bolts' centroid; sum of tensions
    less sum of pressures is the pull.

    Raises
    ------
    SolveError
        When bolts and points together cannot hold what acts.
    """
    p, q = _checked(bolts, 2), _checked(presses, 2)
    centre = p.mean(axis=0)
    every = np.vstack([p, q]) - centre
    size = max(float(np.abs(every).max()), 1e-300)
    rows = np.column_stack([np.ones(len(every)), every[:, 1] / size, -every[:, 0] / size])
    spring = np.concatenate([np.ones(len(p)), np.full(len(q), stiffness)])
    sign = np.concatenate([np.ones(len(p)), -np.ones(len(q))])
    target = np.array([pull, moment[0] / size, moment[1] / size])
    if not np.abs(target).max() > 0:
        return np.zeros(len(p)), np.zeros(len(q))
    turn = _settled(rows, spring, sign, target)
    force = spring * np.maximum(sign * (rows @ turn), 0.0) * sign
    return force[: len(p)], -force[len(p) :]


def _settled(rows: Array, spring: Array, sign: Array, target: Array) -> Array:
    """Movement at which one-sided springs balance the target: the least of a convex energy."""
    turn, floor = np.zeros(3), 1e-13 * float(spring.sum())
    size = float(np.abs(target).max())

    def residual(t: Array) -> Array:
        return np.asarray(rows.T @ (spring * np.maximum(sign * (rows @ t), 0.0) * sign) - target)

    def energy(t: Array) -> float:
        return float((spring * np.maximum(sign * (rows @ t), 0.0) ** 2).sum() / 2 - target @ t)

    # Newton's steps with a damping that falls while they gain: far from the answer too few springs
    # may be at work to hold the plate, and undamped steps would leap away.
    damping, least = float(spring.sum()), energy(turn)
    for _ in range(_STEPS):
        active = sign * (rows @ turn) > 0
        matrix = (rows[active].T * spring[active]) @ rows[active] + damping * np.eye(3)
        trial = turn - np.linalg.solve(matrix, residual(turn))
        # Near the answer the energy's own rounding hides what a step still gains.
        rounding = 1e-13 * abs(least)
        nearer = np.abs(residual(trial)).max() < np.abs(residual(turn)).max()
        if energy(trial) < least - rounding or (nearer and energy(trial) <= least + rounding):
            turn, least, damping = trial, energy(trial), max(damping / 10, floor)
        else:
            damping *= 10
            if damping > 1e6 * float(spring.sum()):
                break  # no step gains any more
        if np.abs(residual(turn)).max() <= 1e-11 * size:
            return turn
    raise SolveError(
        "bolts in tension and points of contact do not balance what acts; give more bolts or rows"
    )


def _checked(points: ArrayLike, width: int) -> Array:
    p = np.asarray(points, float)
    if p.ndim != 2 or p.shape[1] != width or not len(p):
        raise InputError(f"bolts are a list of points (a, b), got an array of shape {p.shape}")
    if not np.isfinite(p).all():
        raise InputError("a bolt's place is not a finite number")
    return p
