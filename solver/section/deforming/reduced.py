"""A section reduced to a few functions of z: all that the solver along the member needs.

u(x, y, z) = sum of columns W_k(x, y) a_k(z). Each column moves the section either in its plane or
along the member, so that the in-plane motion can be held without holding the axial one.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..mesh.location import locate
from ..mesh.section_mesh import Array, Ints, SectionMesh
from .distortion_rows import DistortionRows, distortion_rows
from .elasticity.elastic import Elastic
from .elasticity.fields import Fields
from .elasticity.part import part_of
from .elasticity.strain import strains
from .kinds import kinds_of
from .piece import piece_matrices
from .resultants import resultants
from .slow import SlowModes
from .span import Basis, rows_beyond


@dataclass(frozen=True, eq=False)
class ReducedSection:
    """The n unknown functions a(z) of a piece, and what they mean.

    Attributes
    ----------
    C, L, M : (n, n)
        Energy per length of the axis: 1/2 a'^T M a' + a'^T L a + 1/2 a^T C a. So
        M a'' + (L - L^T) a' - C a + f = 0.
    mass : (n, n)
        Kinetic energy per length 1/2 (da/dt)^T mass (da/dt); zero where a density is missing.
    rigid : (n, 6)
        Coefficients of unit translations along x, y, z and of unit rotations about the axes x, y, z
        through the section's origin: u_z = y, u_z = -x, (u_x, u_y) = (-y, x).
    planar : (n,) bool
        Which functions move the section in its plane; the others move it along the member.
    body : (n, 3)
        Work of a unit force per volume along x, y, z, per length of the axis.
    weight : (n, 3)
        Work of self-weight along x, y, z per unit of gravity; zero where a density is missing.
    names : tuple of str
        One a column.
    mode : (n,) int
        The slow mode each column comes from, from 1; 0 for rigid motions and Saint-Venant's
        solutions.
    rates : (m,) complex
        lambda of each slow mode, which varies along the member as exp(-+lambda z); one of +-lambda
        and of conjugates, by size.
    complete : float
        No mode with |lambda| below this is missing.
    fields : Fields
    elastic : Elastic
    curvature : float
        1 / R; positive where the centre lies on the side of -x.
    warping : (count,)
        Torsional warping about the shear centre.
    shapes : (n, m) complex
        Coefficients of the slow modes.
    kinds : tuple of str
        What each slow mode is, in words (see `kinds`).
    notes : tuple of str
        What a reader of results should know about the mesh.
    """

    C: Array
    L: Array
    M: Array
    mass: Array
    rigid: Array
    planar: NDArray[np.bool_]
    body: Array
    weight: Array
    names: tuple[str, ...]
    mode: Ints
    rates: NDArray[np.complex128]
    complete: float
    fields: Fields
    elastic: Elastic
    curvature: float = 0.0
    warping: Array | None = None
    shapes: NDArray[np.complex128] = field(default_factory=lambda: np.zeros((0, 0), complex))
    kinds: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @classmethod
    def of(
        cls,
        fields: Fields,
        elastic: Elastic,
        basis: Basis,
        slow: SlowModes,
        modes: int,
        warping: Array,
        *,
        place: int = 0,
        part: int = 0,
        notes: tuple[str, ...] = (),
    ) -> ReducedSection:
        """Integrate a basis over a straight piece.

        Parameters
        ----------
        slow : SlowModes
            Of the section; the first `modes` are in the basis.
        warping : (count,)
        place, part : int
            Which of the basis's rigid motions, and of its sections' modes, are those of the
            section.
        notes : tuple of str
        """
        own = replace(fields, coefficients=basis.coefficients)
        m = piece_matrices(own, elastic)
        return cls(
            m.C, m.L, m.M, m.mass, basis.rigid[place], basis.in_plane, m.body, m.weight,
            basis.names, basis.mode, slow.rate[:modes],
            float(np.abs(slow.rate[modes:]).min(initial=slow.complete)),
            own, elastic, 0.0, warping, basis.shapes[part],
            kinds_of(own, elastic.solid, basis.shapes[part], warping), notes,
        )  # fmt: skip

    def first(self, modes: int) -> ReducedSection:
        """The same section with its first slow modes alone."""
        later = self.rates[modes:]
        return replace(
            self.only(np.flatnonzero(self.mode <= modes)),
            rates=self.rates[:modes], shapes=self.shapes[self.mode <= modes][:, :modes],
            kinds=self.kinds[:modes], complete=float(np.abs(later).min(initial=self.complete)),
        )  # fmt: skip

    def only(self, kept: Ints) -> ReducedSection:
        """The same section with some of its functions."""
        both = np.ix_(kept, kept)
        own = replace(self.fields, coefficients=self.fields.coefficients[..., kept])
        return replace(
            self,
            C=self.C[both], L=self.L[both], M=self.M[both], mass=self.mass[both],
            rigid=self.rigid[kept], planar=self.planar[kept], body=self.body[kept],
            weight=self.weight[kept], names=tuple(self.names[k] for k in kept),
            mode=self.mode[kept], fields=own, shapes=self.shapes[kept],
        )  # fmt: skip

    @property
    def in_plane(self) -> Array:
        """(d, n) orthonormal rows: `in_plane @ a` is zero exactly where the in-plane motion is
        rigid, else the distortion, as root mean square displacements."""
        return self._beyond(self.planar, [0, 1, 5])

    @property
    def axial(self) -> Array:
        """(w, n) likewise for u_z: zero exactly where the section stays plane (warping is zero)."""
        return self._beyond(~self.planar, [2, 3, 4])

    def _beyond(self, which: NDArray[np.bool_], motions: list[int]) -> Array:
        own = rows_beyond(self.rigid[which][:, motions])
        out = np.zeros((len(own), self.size))
        out[:, which] = own
        return out

    @property
    def size(self) -> int:
        """Number of unknown functions."""
        return len(self.names)

    def displacement_rows(self, points: Array) -> Array:
        """(k, 3, n): the displacement at points (k, 2) is rows @ a.

        Raises
        ------
        InputError
            A point lies outside the material; names it.
        """
        points = np.asarray(points, dtype=float).reshape(-1, 2)
        return self.fields.displacements(*self.place_of(points))

    def stress_rows(self, points: Array) -> tuple[Array, Array]:
        """T0 and T1, each (k, 6, n): the stress at points (k, 2) is T0 @ a + T1 @ a', in the order
        xx, yy, zz, yz, xz, xy; raises as `displacement_rows`."""
        points = np.asarray(points, dtype=float).reshape(-1, 2)
        triangle, xi, eta = self.place_of(points)
        spots = self.fields.each(triangle, xi, eta)
        u, gradient = self.fields.at_each(spots)
        still, along = strains(u, gradient, spots.points, self.curvature, spots.speed)
        laws = self.elastic.of(triangle)
        return laws.stress(still)[:, 0], laws.stress(along)[:, 0]

    def resultant_rows(self) -> tuple[Array, Array]:
        """R0 and R1, each (7, n): N, V_x, V_y, M_x, M_y, T and B are R0 @ a + R1 @ a'.

        M_x = int sigma y, M_y = -int sigma x, T = int (x tau_yz - y tau_xz) about the section's
        origin, B = -int sigma omega with the torsional warping omega about the shear centre.
        """
        return self._resultants

    @cached_property
    def _resultants(self) -> tuple[Array, Array]:
        return resultants(self.fields, self.elastic, self.curvature, self.warping)

    @cached_property
    def distortion(self) -> DistortionRows | None:
        """The angle and bimoment of distortion, of sections whose outline a slow mode shears."""
        modes = list(zip(self.kinds, self.rates, self.shapes.T, strict=False))
        return distortion_rows(self.fields, self.elastic, self.in_plane, modes, self.curvature)

    def curved(self, radius: float) -> ReducedSection:
        """The same basis on a piece curved in plan.

        Parameters
        ----------
        radius : float
            Of the axis through the section's origin; its centre lies on the side of -x where the
            radius is positive, of +x where it is negative.

        Raises
        ------
        InputError
            The radius is smaller than the section's reach toward the centre.
        """
        x = self.fields.mesh.vertices[:, 0]
        reach = float(np.max(-x if radius > 0 else x))
        if not np.isfinite(radius) or radius == 0 or abs(radius) <= reach:
            raise InputError(
                f"radius {abs(radius):g} is not larger than the section's reach toward the centre "
                f"of the curve, {reach:g}; give a larger radius"
            )
        m = piece_matrices(self.fields, self.elastic, 1 / radius)
        return replace(
            self,
            C=m.C, L=m.L, M=m.M, mass=m.mass, body=m.body, weight=m.weight, curvature=1 / radius,
        )  # fmt: skip

    @cached_property
    def material(self) -> SectionMesh:
        """Its own triangles where they are: along a taper they move, and a section that shares its
        mesh with others fills a part of it."""
        mesh = self.fields.placed()
        return mesh if self.elastic.solid.all() else part_of(mesh, 2, self._filled).mesh

    @cached_property
    def _filled(self) -> Ints:
        return np.flatnonzero(self.elastic.solid)

    def within(self, points: Array) -> NDArray[np.bool_]:
        """Which of (k, 2) points lie in the material."""
        return np.asarray(locate(self.material, points)[0] >= 0)

    def place_of(self, points: Array) -> tuple[Ints, Array, Array]:
        """Triangle with material and (xi, eta) of each of (k, 2) points.

        Raises
        ------
        InputError
            A point lies outside the material; names it.
        """
        triangle, xi, eta = locate(self.material, points)
        if (triangle < 0).any():
            x, y = points[np.argmin(triangle)]
            raise InputError(
                f"point ({x:.6g}, {y:.6g}) lies outside the material of the section; "
                f"give a point of its material"
            )
        triangle = self._filled[triangle]
        if self.fields.toward is None:
            return triangle, xi, eta
        return (triangle, *self.fields.settled(triangle, xi, eta, points))
