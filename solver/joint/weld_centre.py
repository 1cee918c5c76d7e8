"""Instantaneous centre of a weld group: every piece answers by the angle at which it is loaded.

Line strength of a piece loaded at the angle th to its axis, over 0.60 F_EXX times the throat:
(1 + 0.5 sin^1.5 th) (p (1.9 - 0.9 p))^0.3 with p = D / D_m, D_m = 0.209 (th + 2)^-0.32 w and
fracture at D_u = 1.087 (th + 6)^-0.65 w, 0.17 w at most; th in degrees, w the leg. After Lesik and
Kennedy, Ultimate strength of fillet welded connections loaded in plane, Can. J. Civ. Eng. 17
(1990), as in Part 8 of the AISC Manual (from memory). The leg cancels.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .instantaneous_centre import CentreShare
from .rigid_turn import limit_state
from .weld_group import line_moments

Array = NDArray[np.float64]

#: Pieces of every line. The coefficient changes by about a ten-thousandth when they are doubled.
_PIECES = 200
#: Below this share of D_m the curve is a straight line, as its slope at zero has no bound.
_STRAIGHT = 1e-4


def directional_strength(angle: ArrayLike) -> Array:
    """1 + 0.5 sin^1.5 of the angle (radians) between the load and the weld's axis."""
    return np.asarray(1 + 0.5 * np.abs(np.sin(np.asarray(angle, float))) ** 1.5)


def weld_centre_method(
    lines: ArrayLike, force: ArrayLike, moment: float, pieces: int = _PIECES
) -> CentreShare:
    """Share of a force through the centroid and a moment about it among pieces of the lines.

    `coefficient` times the load is what the group holds, over 0.60 F_EXX times the throat;
    `forces` (n pieces, 2) are whole forces of pieces, in the order of the lines.

    Raises
    ------
    SolveError
        When no centre is found.
    """
    known = line_moments(lines)
    p = np.asarray(lines, float) - known.centroid
    span = p[:, 1] - p[:, 0]
    length = np.hypot(*span.T)
    at = (np.arange(pieces) + 0.5) / pieces
    middles = (p[:, None, 0] + at[None, :, None] * span[:, None]).reshape(-1, 2)
    # Fracture is sought at the ends of lines too, where pieces' middles do not reach.
    points = np.vstack([middles, p.reshape(-1, 2)])
    axis = span / length[:, None]
    along = np.vstack([np.repeat(axis, pieces, axis=0), np.repeat(axis, 2, axis=0)])
    size = np.concatenate([np.repeat(length / pieces, pieces), np.zeros(2 * len(p))])

    def law(d: Array) -> tuple[Array, Array]:
        return _answer(d, along, size)

    load = np.asarray(force, float)
    if not (load.any() or moment):
        return CentreShare(np.zeros_like(middles), 0.0, None)
    found = limit_state(points, load, float(moment), law)
    centre = None
    if found.centre is not None:
        centre = (found.centre[0] + known.centroid[0], found.centre[1] + known.centroid[1])
    return CentreShare(found.forces[: len(middles)] / found.factor, found.factor, centre)


def _answer(d: Array, along: Array, size: Array) -> tuple[Array, Array]:
    """Secant stiffness times length, and share of the fracture deformation used; the leg is 1."""
    moved = np.maximum(np.hypot(d[:, 0], d[:, 1]), 1e-300)
    across = np.abs(along[:, 0] * d[:, 1] - along[:, 1] * d[:, 0]) / moved
    angle = np.arcsin(np.minimum(across, 1.0))
    degrees = np.degrees(angle)
    largest = 0.209 * (degrees + 2) ** -0.32
    fracture = np.minimum(1.087 * (degrees + 6) ** -0.65, 0.17)
    p = moved / largest
    # Beyond the curve's own end, passed only on the way, it is held at its last value.
    q = np.clip(p, _STRAIGHT, 2.0)
    curve = np.maximum(q * (1.9 - 0.9 * q), 1e-6) ** 0.3
    curve = np.where(p < _STRAIGHT, curve * p / _STRAIGHT, curve)
    return size * directional_strength(angle) * curve / moved, moved / fracture
