"""What a member with deforming sections answers: motion, stress and resultants at any station and
point, and what its supports and diaphragms must hold."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ....geometry.errors import InputError
from ..beam.contact import Contact
from ..model.load import Place
from ..model.member import Member
from .amplitude import Amplitudes
from .brace import Brace
from .course import Course
from .forces import Forces
from .grip import Grips
from .holds import Holds
from .strained import ImposedStrains

Array = NDArray[np.float64]

#: Order of the six stresses.
STRESSES = ("xx", "yy", "zz", "yz", "xz", "xy")


@dataclass(frozen=True, slots=True, eq=False)
class NodeForces:
    """What holds exert on the n functions at each node: `values` (k, n, c) at `nodes`."""

    nodes: Array
    values: Array


@dataclass(frozen=True, slots=True, eq=False)
class Resultants:
    """Classical resultants by integration of the stress, each (m, c) at stations `z` (m,).

    M_x and M_y about the centroid, V_x and V_y and the torque T at the shear centre, B about it.
    """

    z: Array
    N: Array
    V_x: Array
    V_y: Array
    M_x: Array
    M_y: Array
    T: Array
    B: Array


@dataclass(frozen=True, slots=True, eq=False)
class DeformingSolution:
    """A solved member with deforming sections.

    Attributes
    ----------
    names : tuple of str
        Combinations, in the order of every last axis.
    states : (c, contacts)
        Of every contact, see `contact`.
    push : (contacts, c)
        Force of every contact that is not a rigid hold.
    held : NodeForces
        Sum of what all holds exert at each node.
    braces : tuple of (node, Brace)
    strained : ImposedStrains
        What temperature and shrinkage take away from the stress of the strains.
    order_change : float
        Change from the order before in the norm of energy, see `order_change`.
    passed : mapping of element to two (n, c)
        What acts on the node before and the node beyond of every hinge and kink.
    again : function
        The same member and loads with its contacts changed in their clearances alone.
    """

    member: Member
    course: Course
    grips: Grips
    field: Amplitudes
    forces: Forces
    contacts: tuple[Contact, ...]
    states: NDArray[np.intp]
    holds: Holds
    push: Array
    held: NodeForces
    braces: tuple[tuple[int, Brace], ...]
    names: tuple[str, ...]
    strained: ImposedStrains
    notes: tuple[str, ...] = ()
    order_change: float = 0.0
    passed: Mapping[int, tuple[Array, Array]] = dataclasses.field(default_factory=dict)
    again: Callable[[Sequence[Contact]], DeformingSolution] | None = None

    def functions(self, z: ArrayLike, side: str = "right") -> tuple[Array, Array, Array]:
        """Stations (m,), a and a' (m, n, c)."""
        z = np.atleast_1d(np.asarray(z, float))
        length = self.member.length
        outside = z[(z < -1e-9 * length) | (z > length * (1 + 1e-9)) | ~np.isfinite(z)]
        if len(outside):
            raise InputError(f"station {outside[0]:g} lies outside the member (0 to {length:g})")
        _, a, rate = self.field.at(z, side)
        return z, a, rate

    def displacement(self, points: ArrayLike, z: ArrayLike, side: str = "right") -> Array:
        """(m, k, 3, c) at points (k, 2) of the material and stations z (m,)."""
        points = np.asarray(points, float).reshape(-1, 2)
        z, a, _ = self.functions(z, side)
        found = np.empty((len(z), len(points), 3, a.shape[-1]))
        for part, tapered, own in self._by_part(z, side):
            section = part.at(tapered)
            rows = section.displacement_rows(points)
            found[own] = np.einsum("kdn,mnc->mkdc", rows, a[own], optimize=True)
        return found

    def stress(self, points: ArrayLike, z: ArrayLike, side: str = "right") -> Array:
        """(m, k, 6, c) stresses xx, yy, zz, yz, xz, xy at points of the material and stations."""
        points = np.asarray(points, float).reshape(-1, 2)
        z, a, rate = self.functions(z, side)
        found = np.empty((len(z), len(points), 6, a.shape[-1]))
        for part, tapered, own in self._by_part(z, side):
            still, along = part.at(tapered).stress_rows(points)
            found[own] = np.einsum("kdn,mnc->mkdc", still, a[own], optimize=True)
            found[own] += np.einsum("kdn,mnc->mkdc", along / part.ratio, rate[own], optimize=True)
        taken = self.strained.stress(points, z, side, a.shape[-1])
        if taken is not None:
            found[:, :, :3] -= taken[:, :, None]
        return found

    def resultants(self, z: ArrayLike, side: str = "right") -> Resultants:
        """N, V, M, T and B by integration of the stress."""
        z, a, rate = self.functions(z, side)
        raw = np.empty((len(z), 7, a.shape[-1]))
        for part, tapered, own in self._by_part(z, side):
            still, along = part.at(tapered).resultant_rows()
            raw[own] = np.einsum("rn,mnc->mrc", still, a[own])
            raw[own] += np.einsum("rn,mnc->mrc", along / part.ratio, rate[own])
        raw -= self.strained.resultants(z, side, a.shape[-1])
        n, v_x, v_y, m_x, m_y, t, b = np.moveaxis(raw, 1, 0)
        sections = [self.member.section_at(float(s)) for s in z]
        c_x, c_y = np.array([s.centroid for s in sections]).T[:, :, None]
        s_x, s_y = np.array([s.shear_centre for s in sections]).T[:, :, None]
        return Resultants(
            z, n, v_x, v_y, m_x - c_y * n, m_y + c_x * n, t - s_x * v_y + s_y * v_x, b
        )

    def twist(self, z: ArrayLike, side: str = "right") -> Array:
        """(m, c) mean rotation of the section about z: that on which a torque works."""
        z, a, _ = self.functions(z, side)
        rows = np.stack([self.grips.moment(float(s), side)[2] for s in z])
        return np.asarray(np.einsum("mn,mnc->mc", rows, a))

    def movement(
        self, point: str | Place | tuple[float, float], z: ArrayLike, side: str = "right"
    ) -> tuple[Array, Array]:
        """Movement across and up (m, c) of a place of the section; see `grip` for places off the
        material."""
        where = Place(point) if isinstance(point, str) else point
        z, a, _ = self.functions(z, side)
        rows = np.stack([self.grips.force(float(s), where, side)[:2] for s in z])
        moved = np.einsum("mdn,mnc->mdc", rows, a)
        return moved[:, 0], moved[:, 1]

    def distortion(self, z: ArrayLike, side: str = "right") -> Array:
        """(m, c) root mean square over the section of the in-plane motion that is not rigid."""
        z, a, _ = self.functions(z, side)
        found = np.empty((len(z), a.shape[-1]))
        for part, tapered, own in self._by_part(z, side):
            rows = part.at(tapered).in_plane
            found[own] = np.linalg.norm(np.einsum("dn,mnc->mdc", rows, a[own]), axis=1)
        return found

    def distortion_angle(self, z: ArrayLike, side: str = "right") -> tuple[Array, Array]:
        """(m, c) the angle by which the outline shears and the bimoment of distortion, -E I_D times
        its second derivative where walls are thin (see `distortion_rows`); nan along tapers and in
        sections that no slow mode shears."""
        z, a, rate = self.functions(z, side)
        found = np.full((2, len(z), a.shape[-1]), np.nan)
        for part, _, own in self._by_part(z, side):
            rows = None if part.tapered else part.section.distortion
            if rows is not None:
                found[0, own] = rows.angle @ a[own]
                found[1, own] = rows.still @ a[own] + rows.along / part.ratio @ rate[own]
        return found[0], found[1]

    def column(self, name: str) -> int:
        """Index of a combination."""
        if name not in self.names:
            raise InputError(
                f"combination {name!r} was not solved; solved are {', '.join(self.names)}"
            )
        return self.names.index(name)

    def _by_part(self, z: Array, side: str):  # type: ignore[no-untyped-def]
        """Parts with their stations; stations of a tapered part one by one."""
        index = np.array([self.course.index(float(s), side) for s in z])
        for k in np.unique(index):
            part = self.course.parts[k]
            own = np.flatnonzero(index == k)
            if part.tapered is None:
                yield part, 0.0, own
            else:
                for one in own:
                    yield part, float(z[one]), np.array([one])
