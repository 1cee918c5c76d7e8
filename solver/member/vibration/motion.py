"""What moves in a mode: shares of its kinetic energy, and the name that follows from them.

At every station the section's mean rigid motion r is fitted by mass, r = (R^T m R)^-1 R^T m a,
about the section's centre of mass. Its part r_i (R^T m a)_i is the share of each of the six
motions, and what a has beyond R r is warping (along the member) or distortion (in the section's
plane). Shares add up to the whole.

- vertical: u_y and the rotation about x that goes with it; lateral: u_x and the rotation about y;
- axial: u_z; torsional: the rotation about z, and warping; distortional: the rest.

A mode bears the name of a motion that has at least 80 % of its kinetic energy (this project's
choice); else it is coupled, and the two largest are named.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .moving_member import MassAlong, MovingMember

Array = NDArray[np.float64]

#: Names of motions, in the order of `EnergyShares.shares`.
MOTIONS = ("vertical", "lateral", "torsional", "axial", "distortional")

#: Share of the kinetic energy from which one motion gives the mode its name.
PURE = 0.8

#: Motion that each rigid component counts for: x, y, z, about x, y, z.
_COUNTS = (1, 0, 3, 0, 1, 2)
_TORSIONAL, _DISTORTIONAL = 2, 4


@dataclass(frozen=True, slots=True, eq=False)
class EnergyShares:
    """What moves in c modes.

    Attributes
    ----------
    shares : (c, 5)
        Of the kinetic energy, by `MOTIONS`; small negative ones come from masses off the section's
        centre.
    """

    shares: Array

    def name(self, mode: int) -> str:
        """ "vertical", ..., or "coupled vertical-torsional"."""
        return name_of(self.shares[mode])


def name_of(shares: Array) -> str:
    """The name of a mode by its shares (5,)."""
    order = np.argsort(-shares, kind="stable")
    if shares[order[0]] >= PURE:
        return MOTIONS[int(order[0])]
    first, second = sorted(int(k) for k in order[:2])
    return f"coupled {MOTIONS[first]}-{MOTIONS[second]}"


def motion_of(member: MovingMember, modes: Array) -> EnergyShares:
    """Shares of modes (e, p + 1, n, c)."""
    shares = np.zeros((modes.shape[-1], len(MOTIONS)))
    for one, own in zip(member.along, modes, strict=True):
        a = np.einsum("gi,inc->gnc", one.value, own)
        shares += np.einsum("g,gcm->cm", one.weight, _split(member, one, one.mass, a))
    if member.points:
        values = member.at_nodes(modes)
        for node, mass in member.points.items():
            one = member.along[min(node, len(member.along) - 1)]
            shares += _split(member, one, mass[None], values[node][None])[0]
    return EnergyShares(shares / shares.sum(axis=1, keepdims=True))


def _split(member: MovingMember, one: MassAlong, mass: Array, a: Array) -> Array:
    """(g, c, 5) energies a^T m a of functions a (g, n, c) by motion."""
    rigid, mean = _mean(one, a)
    heavy = mass @ a
    rigid_part = mean * (rigid.transpose(0, 2, 1) @ heavy)
    rest = (a - rigid @ mean) * heavy
    out = np.zeros((len(a), a.shape[-1], len(MOTIONS)))
    for component, motion in enumerate(_COUNTS):
        out[..., motion] += rigid_part[:, component]
    out[..., _DISTORTIONAL] += rest[:, member.planar].sum(axis=1)
    out[..., _TORSIONAL] += rest[:, ~member.planar].sum(axis=1)
    return out


def _mean(one: MassAlong, a: Array) -> tuple[Array, Array]:
    """Rigid motions (g, n, 6) about the centre of mass, and their share (g, 6, c) in a."""
    rigid = centred(one)
    if len(rigid) != len(a):
        rigid = np.broadcast_to(rigid[:1], (len(a), *rigid.shape[1:]))
    # The section's own mass tells its mean motion; what it carries moves along.
    weigh = rigid.transpose(0, 2, 1) @ (one.mass if len(one.mass) == len(a) else one.mass[:1])
    return rigid, np.asarray(np.linalg.solve(weigh @ rigid, weigh @ a), float)


def track_of(member: MovingMember, modes: Array) -> tuple[Array, Array]:
    """Stations (m,) and the mean rigid motion (m, 6, c) of the sections there: translations x, y, z
    of their centres of mass and rotations."""
    z, mean = [], []
    for one, own in zip(member.along, modes, strict=True):
        a = np.einsum("gi,inc->gnc", one.value, own)
        z.append(one.z)
        mean.append(_mean(one, a)[1])
    return np.concatenate(z), np.concatenate(mean)


def leading(shares: Array) -> int:
    """Which component of the mean motion leads in a mode: 0 u_x, 1 u_y, 2 u_z, 5 rotation."""
    return (1, 0, 5, 2, 5)[int(np.argmax(shares))]


def nodes_of(z: Array, values: Array) -> Array:
    """Stations at which a motion along the member changes its sign, its ends and touches of zero
    left out."""
    large = np.abs(values) > 0.02 * np.abs(values).max()
    z, values = z[large], values[large]
    turn = np.flatnonzero(np.sign(values[1:]) != np.sign(values[:-1]))
    step = values[turn + 1] - values[turn]
    return np.asarray(z[turn] - values[turn] * (z[turn + 1] - z[turn]) / step)


def centred(one: MassAlong) -> Array:
    """(g or 1, n, 6) rigid motions with their rotations about the centre of mass."""
    rigid = one.rigid
    mass = one.mass
    if len(rigid) != len(mass):
        count = max(len(rigid), len(mass))
        rigid = np.broadcast_to(rigid, (count, *rigid.shape[1:]))
        mass = np.broadcast_to(mass, (count, *mass.shape[1:]))
    six = rigid.transpose(0, 2, 1) @ mass @ rigid
    x, y = six[:, 1, 5] / six[:, 1, 1], -six[:, 0, 5] / six[:, 0, 0]
    found = np.array(rigid)
    # A rotation about z through (x, y) moves the origin by (y, -x); about x: u_z = y; about y: -x.
    found[:, :, 5] += y[:, None] * rigid[:, :, 0] - x[:, None] * rigid[:, :, 1]
    found[:, :, 3] -= y[:, None] * rigid[:, :, 2]
    found[:, :, 4] += x[:, None] * rigid[:, :, 2]
    return found
