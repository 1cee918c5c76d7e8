"""How much of the member's mass each mode moves in a direction: effective modal masses.

For a rigid translation iota along a fixed direction, Gamma = a^T M iota and the effective mass is
Gamma^2 of a mode with a^T M a = 1; over all modes they add up to the mass that can move. Directions
are fixed in plan: vertical, along the chord from start to end (the start's direction in a ring),
and across it. (Clough & Penzien, Dynamics of Structures, ch. 26.)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..model.axis import Axis
from .moving_member import MovingMember

Array = NDArray[np.float64]

DIRECTIONS = ("across", "vertical", "along")


@dataclass(frozen=True, slots=True, eq=False)
class Participation:
    """Effective masses (c, 3) of modes by `DIRECTIONS`, and the whole `mass` that vibrates."""

    effective: Array
    mass: float


def participation_of(
    member: MovingMember, axis: Axis, modes: Array, inertia: float
) -> Participation:
    """Effective masses of modes (e, p + 1, n, c) with a^T M a = 1, in the mass unit."""
    gamma, total = np.zeros((modes.shape[-1], 3)), 0.0
    chord = _chord(axis)

    def push(z: Array, mass: Array, rigid: Array) -> tuple[Array, Array]:
        local = np.concatenate([_frame(axis, z, chord), np.zeros((len(z), 3, 3))], axis=1)
        moved = rigid @ local
        return mass @ moved, moved

    for one, own in zip(member.along, modes, strict=True):
        heavy, moved = push(one.z, one.mass, one.rigid)
        heavy = heavy * one.weight[:, None, None]
        a = np.einsum("gi,inc->gnc", one.value, own)
        gamma += np.einsum("gnc,gnd->cd", a, heavy)
        total += float(np.einsum("gn,gn->", heavy[..., 1], moved[..., 1]))
    values = member.at_nodes(modes)
    for node, mass in member.points.items():
        one = member.along[min(node, len(member.along) - 1)]
        heavy, moved = push(member.nodes[node : node + 1], mass[None], one.rigid[:1])
        gamma += np.einsum("nc,nd->cd", values[node], heavy[0])
        total += float(heavy[0, :, 1] @ moved[0, :, 1])
    return Participation(gamma**2 / inertia, total / inertia)


def _chord(axis: Axis) -> Array:
    """Unit vector (X, Z) from start to end."""
    x, z, _ = axis.plan([axis.length])
    length = float(np.hypot(x[0], z[0]))
    if axis.closed or length < 1e-6 * axis.length:
        return np.array([0.0, 1.0])
    return np.array([x[0], z[0]]) / length


def _frame(axis: Axis, z: Array, chord: Array) -> Array:
    """(m, 3, 3) local components of unit vectors across, up and along."""
    _, _, heading = axis.plan(z)
    cos, sin = np.cos(heading), np.sin(heading)
    found = np.zeros((len(z), 3, 3))
    found[:, 1, 1] = 1.0
    for column, (x, along) in ((0, (chord[1], -chord[0])), (2, chord)):
        found[:, 0, column] = x * cos - along * sin
        found[:, 2, column] = x * sin + along * cos
    return found
