"""The member as a course of parts, each with its reduced section, straight or curved."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.reduced import ReducedSection
from ...section.deforming.taper import interpolation
from .energy import Energy, Piece
from .exactness import without_rigid_energy

Array = NDArray[np.float64]
SectionAt = Callable[[float], ReducedSection]
"""The reduced section at a station of a taper."""


@dataclass(frozen=True, slots=True, eq=False)
class Taper:
    """How the matrices of a tapered part change.

    Attributes
    ----------
    last : ReducedSection
        The straight section at its end.
    start, end : float
        Where the taper starts and ends along the axis; the part may be a piece of it.
    shares : (s,)
        Places in 0..1 at which the matrices are known, Chebyshev's.
    C, L, M : (s, n, n)
        There, per length of the line through the section's origin.
    weight : (s, n, 3)
        Work of self-weight there, likewise.
    """

    last: ReducedSection
    start: float
    end: float
    shares: Array
    C: Array
    L: Array
    M: Array
    weight: Array

    def share(self, z: Array) -> Array:
        """How far along the taper stations lie, 0..1."""
        return np.asarray((z - self.start) / (self.end - self.start))

    def matrices(self, z: Array) -> Energy:
        """(m, n, n) at stations."""
        return Energy(*self._between(z, self.C, self.L, self.M))

    def weights(self, z: Array) -> Array:
        """(m, n, 3) work of self-weight at stations, as `ReducedSection` has it."""
        return self._between(z, self.weight)[0]

    def _between(self, z: Array, *known: Array) -> list[Array]:
        """What is known at `shares`, at stations (m,)."""
        mix = np.stack([interpolation(self.shares, float(s)) for s in self.share(z)])
        return [(mix @ a.reshape(len(a), -1)).reshape(len(z), *a.shape[1:]) for a in known]

    def first(self, last: ReducedSection, kept: NDArray[np.bool_]) -> Taper:
        """Of some functions alone."""
        both = np.ix_(np.ones(len(self.shares), bool), kept, kept)
        c, cross, m = (matrix[both] for matrix in (self.C, self.L, self.M))
        return replace(self, last=last, C=c, L=cross, M=m, weight=self.weight[:, kept])


@dataclass(frozen=True, slots=True, eq=False)
class MemberPart:
    """A part of the member with one section, or one family of tapered sections.

    Attributes
    ----------
    start, end : float
        Along the member's axis.
    straight : ReducedSection
        As if the axis were straight: what unit tractions and points are asked of.
    section : ReducedSection
        On the curved axis; the same where it is straight.
    ratio : float
        Length along the line through the section's origin per length of the axis.
    tapered : function, optional
        The reduced section at a station z; where it is left out, `section` all along.
    taper : Taper, optional
        It starts with `straight`.
    """

    start: float
    end: float
    straight: ReducedSection
    section: ReducedSection
    ratio: float = 1.0
    tapered: SectionAt | None = None
    taper: Taper | None = None

    @property
    def piece(self) -> Piece:
        """Its energy per length of the axis."""
        own = self.section
        # The section counts its curvature positive on the side of -x.
        energy = without_rigid_energy(own, own.rigid, -own.curvature, self._rigid_rate())
        if self.ratio != 1:
            energy = energy.stretched(self.ratio)
        if self.tapered is None:
            return Piece(self.start, self.end, energy, planar=own.planar)
        taper, rate = self.taper, self._rigid_rate()
        assert taper is not None

        def along(z: Array) -> Energy:
            share = taper.share(z)[:, None, None]
            rigid = (1 - share) * self.straight.rigid + share * taper.last.rigid
            found = taper.matrices(z)
            return without_rigid_energy(found, rigid, -own.curvature, rate).stretched(self.ratio)

        return Piece(self.start, self.end, energy, along)

    def at(self, z: float) -> ReducedSection:
        """The section that gives strains and stresses at a station."""
        return self.section if self.tapered is None else self.tapered(z)

    def rigid(self, z: float) -> Array:
        """Coefficients (n, 6) of the rigid motions of the section at a station."""
        if self.taper is None:
            return self.straight.rigid
        share = float(np.clip(self.taper.share(np.array(z)), 0.0, 1.0))
        return (1 - share) * self.straight.rigid + share * self.taper.last.rigid

    def shape(self, z: float) -> ReducedSection:
        """The section that tells points and what is rigid at a station."""
        return self.straight if self.tapered is None else self.tapered(z)

    def _rigid_rate(self) -> Array | None:
        """Rate of these coefficients along the line through the section's origin."""
        if self.taper is None:
            return None
        length = (self.taper.end - self.taper.start) * self.ratio
        return np.asarray((self.taper.last.rigid - self.straight.rigid) / length)


def _fewer(tapered: SectionAt, modes: int) -> SectionAt:
    """The sections of a taper with their first slow modes alone."""
    return lambda z: tapered(z).first(modes)


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """All parts in order along the member, on one common set of n functions."""

    parts: tuple[MemberPart, ...]

    def grouped(self, parts: Iterable[int]) -> list[int]:
        """Numbers of parts, those of one section one after another, so that what their sections
        share need not be kept for long."""
        first: dict[int, int] = {}
        return sorted(parts, key=lambda k: first.setdefault(id(self.parts[k].section), k))

    @property
    def size(self) -> int:
        """Number n of functions."""
        return self.parts[0].section.size

    @property
    def length(self) -> float:
        """Length of the axis."""
        return self.parts[-1].end

    @property
    def notes(self) -> tuple[str, ...]:
        """What a reader should know about the mesh of its sections."""
        every = (note for part in self.parts for note in part.straight.notes)
        return tuple(dict.fromkeys(every))

    def index(self, z: float, side: str = "right") -> int:
        """Number of the part at a station; at a joint the one that follows, or with `side` "left"
        the one before."""
        least = 1e-9 * self.length
        for k, part in enumerate(self.parts):
            if z < part.end - (least if side == "right" else -least):
                return k
        return len(self.parts) - 1

    def part(self, z: float, side: str = "right") -> MemberPart:
        """The part at a station."""
        return self.parts[self.index(z, side)]

    def first(self, modes: int) -> Course:
        """The same member with the first slow modes of each section alone."""
        known: dict[int, ReducedSection] = {}

        def fewer(section: ReducedSection) -> ReducedSection:
            if id(section) not in known:
                known[id(section)] = section.first(modes)
            return known[id(section)]

        parts = []
        for part in self.parts:
            tapered, taper = part.tapered, part.taper
            parts.append(
                replace(
                    part,
                    straight=fewer(part.straight),
                    section=fewer(part.section),
                    tapered=tapered and _fewer(tapered, modes),
                    taper=taper and taper.first(fewer(taper.last), part.section.mode <= modes),
                )
            )
        return Course(tuple(parts))

    @property
    def modes(self) -> int:
        """Number of slow modes."""
        return int(self.parts[0].section.mode.max())

    @property
    def pieces(self) -> list[Piece]:
        """Energies; parts of one section share one object."""
        made: dict[tuple[int, float], Energy] = {}
        found = []
        for part in self.parts:
            piece = part.piece
            if part.tapered is None:
                key = (id(part.section), part.ratio)
                energy = made.setdefault(key, piece.energy)
                piece = Piece(piece.start, piece.end, energy, planar=piece.planar)
            found.append(piece)
        return found


def arc_ratio(curvature: float, line_x: float) -> float:
    """Length along the section's origin per length of the axis, whose curvature is positive where
    its centre lies on the side of +x: 1 + kappa x of the axis' point."""
    return 1 + curvature * line_x
