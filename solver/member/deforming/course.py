"""The member as a course of parts, each with its reduced section, straight or curved."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.reduced import ReducedSection
from .energy import Energy, Piece
from .exactness import without_rigid_energy
from .traction import unit_tractions

Array = NDArray[np.float64]


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
    taper : (section, start, end), optional
        The straight section at the end of the taper, and where the taper starts (there with
        `straight`) and ends.
    """

    start: float
    end: float
    straight: ReducedSection
    section: ReducedSection
    ratio: float = 1.0
    tapered: Callable[[float], ReducedSection] | None = None
    taper: tuple[ReducedSection, float, float] | None = None

    @property
    def piece(self) -> Piece:
        """Its energy per length of the axis."""
        own = self.section
        # The section counts its curvature positive on the side of -x.
        energy = without_rigid_energy(own, own.rigid, -own.curvature, self._rigid_rate())
        if self.ratio != 1:
            energy = energy.stretched(self.ratio)
        if self.tapered is None:
            return Piece(self.start, self.end, energy)
        at, rate = self.tapered, self._rigid_rate()

        def along(z: Array) -> Energy:
            every = []
            for station in z:
                here = at(float(station))
                exact = without_rigid_energy(here, here.rigid, -here.curvature, rate)
                every.append(exact.stretched(self.ratio))
            return Energy(
                np.stack([s.C for s in every]),
                np.stack([s.L for s in every]),
                np.stack([s.M for s in every]),
            )

        return Piece(self.start, self.end, energy, along)

    def at(self, z: float) -> ReducedSection:
        """The section that gives strains and stresses at a station."""
        return self.section if self.tapered is None else self.tapered(z)

    def shape(self, z: float) -> ReducedSection:
        """The section that tells points and what is rigid at a station."""
        return self.straight if self.tapered is None else self.tapered(z)

    def tractions(self, z: float) -> Array:
        """(n, 6) unit tractions at a station; see `traction`. In a taper they are those of its two
        ends in proportion, made exact for the rigid motions between."""
        first = unit_tractions(self.straight, self.straight.rigid)
        if self.tapered is None or self.taper is None:
            return first
        last, start, end = self.taper
        share = (z - start) / (end - start)
        mixed = (1 - share) * first + share * unit_tractions(last, last.rigid)
        rigid = (1 - share) * self.straight.rigid + share * last.rigid
        return np.asarray(mixed @ np.linalg.inv(rigid.T @ mixed))

    def _rigid_rate(self) -> Array | None:
        """Rate of these coefficients along the line through the section's origin."""
        if self.taper is None:
            return None
        last, start, end = self.taper
        return np.asarray((last.rigid - self.straight.rigid) / ((end - start) * self.ratio))


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """All parts in order along the member, on one common set of n functions."""

    parts: tuple[MemberPart, ...]

    @property
    def size(self) -> int:
        """Number n of functions."""
        return self.parts[0].section.size

    @property
    def length(self) -> float:
        """Length of the axis."""
        return self.parts[-1].end

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
                    tapered=tapered and (lambda z, at=tapered: at(z).first(modes)),
                    taper=taper and (fewer(taper[0]), *taper[1:]),
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
                piece = Piece(piece.start, piece.end, energy)
            found.append(piece)
        return found


def arc_ratio(curvature: float, line_x: float) -> float:
    """Length along the section's origin per length of the axis, whose curvature is positive where
    its centre lies on the side of +x: 1 + kappa x of the axis' point."""
    return 1 + curvature * line_x


def curved_parts(
    spans: Sequence[tuple[float, float, float]], section: ReducedSection, line_x: float
) -> list[MemberPart]:
    """Parts of one section over (start, end, curvature) of the axis.

    The reduced section counts its radius to its own origin, positive with the centre on the side of
    -x; the axis through `line_x` counts it positive on the side of +x.
    """
    made: dict[float, ReducedSection] = {0.0: section}
    found = []
    for start, end, curvature in spans:
        ratio = arc_ratio(curvature, line_x)
        if curvature not in made:
            made[curvature] = section.curved(-(1 / curvature + line_x))
        found.append(MemberPart(start, end, section, made[curvature], ratio))
    return found
