"""What a solved member answers: state, actions and movement at any station, for every combination.

Signs: M_x and M_y are right-handed moment vectors on the face that looks along +z, about the
centroid: sigma = M_x y / I_x - M_y x / I_y for principal axes, so a sagging beam has M_x < 0
(`sagging` gives -M_x). V_x, V_y act on the same face at the shear centre, T about it, positive from
x toward y; T = T_t + T_w with T_t = G J tau and T_w = dB/dz. tau is the rate of twist, phi' for a
straight member and phi' - kappa theta_x in a curve; B = -E C_w f' with f the amount of warping,
which is tau unless the section gives a secondary torsion constant (see `stiffness`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ....geometry.errors import InputError
from ....geometry.notebook_table import notebook_table
from ..model.load import Place
from ..review.greatest import greatest
from .contact import Contact
from .loading import Loading
from .mesh import Mesh
from .stability import CriticalLoad
from .support_reaction import SupportReaction
from .system import States
from .twopoint import Elements, interior_states

Array = NDArray[np.float64]

ACTIONS = ("N", "M_x", "M_y", "V_x", "V_y", "T_t", "T_w", "B")


@dataclass(frozen=True, slots=True)
class Stations:
    """Results at m stations for c combinations; every array is (m, c) unless said otherwise.

    Attributes
    ----------
    z : (m,)
    u, v : movement of the shear centre across and up
    w : movement of the centroid along
    phi, tau : twist and rate of twist
    theta_x, theta_y : rotations about x and y
    N, M_x, M_y, V_x, V_y, T, T_t, T_w, B : actions, see the module
    names : the combinations
    """

    z: Array
    u: Array
    v: Array
    w: Array
    phi: Array
    tau: Array
    theta_x: Array
    theta_y: Array
    N: Array
    M_x: Array
    M_y: Array
    V_x: Array
    V_y: Array
    T: Array
    T_t: Array
    T_w: Array
    B: Array
    names: tuple[str, ...]

    @property
    def sagging(self) -> Array:
        """-M_x: positive where the lower fibres are in tension."""
        return -self.M_x

    @property
    def actions(self) -> Array:
        """(m, c, 8) in the order N, M_x, M_y, V_x, V_y, T_t, T_w, B: what a section's unit fields
        take."""
        return np.stack([getattr(self, word) for word in ACTIONS], axis=-1)

    def __repr__(self) -> str:
        rows = [f"{len(self.z)} stations, combinations {', '.join(self.names)}"]
        for word in ("v", "phi", "M_x", "V_y", "T", "B"):
            values = getattr(self, word)
            rows.append(f"  {word:4s} from {values.min():12.5g} to {values.max():12.5g}")
        return "\n".join(rows)


@dataclass(frozen=True, slots=True)
class Solution:
    """A solved member.

    Attributes
    ----------
    names : tuple of str
        Combinations, in the order of every last axis.
    reactions : tuple per combination of tuple of `SupportReaction`
    residual : (c,)
        Largest of the six sums of loads and reactions, relative to the loads' own size; below 1e-10
        or the solve is refused.
    order : "first" or "second"
    notes : tuple of str
        What should be said beside the results.
    critical : tuple of `CriticalLoad`
        One for each combination where stability was looked at, else empty.
    """

    mesh: Mesh
    elements: Elements
    loading: Loading
    states: States
    contacts: tuple[Contact, ...]
    engaged: NDArray[np.intp]
    names: tuple[str, ...]
    reactions: tuple[tuple[SupportReaction, ...], ...]
    residual: Array
    order: str
    notes: tuple[str, ...]
    without_play: States | None = None
    critical: tuple[CriticalLoad, ...] = ()

    def states_at(
        self, z: ArrayLike, *, side: str = "right", states: States | None = None
    ) -> tuple[NDArray[np.intp], Array]:
        """Element (m,) and state Y (m, 14, c) about the axis point at stations z, exact between
        nodes too.

        At a station where something jumps, `side` "right" gives the value just after it, "left"
        just before.
        """
        z = np.atleast_1d(np.asarray(z, float))
        length = self.mesh.member.length
        outside = z[(z < -1e-9 * length) | (z > length * (1 + 1e-9)) | ~np.isfinite(z)]
        if len(outside):
            raise InputError(f"station {outside[0]:g} lies outside the member (0 to {length:g})")
        states = states or self.states
        element, s = self.mesh.locate(z, side)
        found = interior_states(
            self.elements,
            element,
            s,
            (states.start[element], states.end[element]),
            (self.loading.start[element], self.loading.end[element]),
        )
        found[:, 7:13] += self.loading.locked[element]
        return element, found

    def at(self, z: ArrayLike, *, side: str = "right") -> Stations:
        """Results at stations z (m,)."""
        z = np.atleast_1d(np.asarray(z, float))
        element, y = self.states_at(z, side=side)
        return self._stations(z, element, y)

    def diagram(self, per_element: int = 9, count: int | None = None) -> Stations:
        """Results along the whole member for drawing: both sides of every node, and points between.

        `count` asks for about so many stations in all instead of `per_element` in each element.
        """
        mesh = self.mesh
        n = len(mesh.length)
        if count is not None:
            share = mesh.length / mesh.member.length
            points = np.maximum(2, np.round(share * count).astype(int) + 1)
        else:
            points = np.full(n, max(2, per_element))
        points[mesh.joint >= 0] = 0
        element = np.repeat(np.arange(n), points)
        rank = np.arange(len(element)) - np.repeat(np.cumsum(points) - points, points)
        return self.within(element, rank / (points[element] - 1))

    def within(self, element: NDArray[np.intp], share: Array) -> Stations:
        """Results at shares (m,) of the lengths of elements (m,)."""
        mesh = self.mesh
        s = mesh.length[element] * share
        y = interior_states(
            self.elements,
            element,
            s,
            (self.states.start[element], self.states.end[element]),
            (self.loading.start[element], self.loading.end[element]),
        )
        y[:, 7:13] += self.loading.locked[element]
        return self._stations(mesh.nodes[element] + s, element, y)

    def movement(
        self, point: str | Place | tuple[float, float], z: ArrayLike
    ) -> tuple[Array, Array]:
        """Movement across and up (m, c) of a point of the section: deflection plus twist times
        arm."""
        z = np.atleast_1d(np.asarray(z, float))
        member = self.mesh.member
        where = Place(point) if isinstance(point, str) else point
        r = np.array([member.locate(where, member.section_at(float(s))) for s in z])
        x, y = (r - np.asarray(member.line)).T[:, :, None]
        _, state = self.states_at(z)
        return state[:, 0] - y * state[:, 5], state[:, 1] + x * state[:, 5]

    def play_twist(self, z: ArrayLike) -> Array:
        """Part of phi (m, c) that slip adds: with it less without it."""
        z = np.atleast_1d(np.asarray(z, float))
        _, now = self.states_at(z)
        if self.without_play is None:
            return np.zeros_like(now[:, 5])
        _, tight = self.states_at(z, states=self.without_play)
        return np.asarray(now[:, 5] - tight[:, 5])

    def column(self, name: str) -> int:
        """Index of a combination."""
        if name not in self.names:
            raise InputError(
                f"combination {name!r} was not solved; solved are {', '.join(self.names)}"
            )
        return self.names.index(name)

    def _stations(self, z: Array, element: NDArray[np.intp], y: Array) -> Stations:
        stiffness = self.elements.stiffness.take(self.elements.of[element])
        c_x, c_y = stiffness.centroid.T[:, :, None]
        s_x, s_y = stiffness.shear_centre.T[:, :, None]
        u, v, w, theta_x, theta_y, phi, warping = np.moveaxis(y[:, :7], 1, 0)
        v_x, v_y, n, m_x, m_y, t, b = np.moveaxis(y[:, 7:], 1, 0)
        torque = t - s_x * v_y + s_y * v_x
        share, torsion = stiffness.share[:, None], stiffness.torsion[:, None]
        saint_venant = (1 - share) * torque + torsion * warping
        return Stations(
            z,
            u - s_y * phi,
            v + s_x * phi,
            w + c_y * theta_x - c_x * theta_y,
            phi,
            share * saint_venant / torsion,
            theta_x,
            theta_y,
            n,
            m_x - c_y * n,
            m_y + c_x * n,
            v_x,
            v_y,
            torque,
            saint_venant,
            torque - saint_venant,
            b,
            self.names,
        )

    def __repr__(self) -> str:
        member = self.mesh.member
        table = self.diagram(count=200)
        worst = np.degrees(np.abs(table.phi).max(axis=0))
        drop = np.abs(table.v).max(axis=0)
        rows = [f"{member.name}: {len(self.mesh.length)} elements, {self.order} order"]
        rows += [
            f"  {name}: twist {t:.4g} deg, deflection {d:.4g}, out of balance {r:.1e}"
            for name, t, d, r in list(zip(self.names, worst, drop, self.residual, strict=True))[:6]
        ]
        return "\n".join(rows)

    def _repr_html_(self) -> str:
        table = self.diagram(count=200)
        twist = np.degrees(np.abs(table.phi).max(axis=0))
        bimoment = np.abs(table.B).max(axis=0)
        rows = [
            (name, "twist, bimoment", f"{t:.4g} deg, {b:.4g}")
            for name, t, b in zip(self.names, twist, bimoment, strict=True)
        ]
        return notebook_table(self.mesh.member.name, rows)


def govern(values: Array, z: Array, names: Sequence[str]) -> tuple[float, float, str]:
    """Value of largest size in (m, c), its station and its combination."""
    row, column = greatest(np.abs(values))
    return float(values[row, column]), float(z[row]), names[column]
