"""A random member as plain figures (sections, line, supports, loads), so that images are exact."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from soapfilm.geometry.section import Section
from soapfilm.solver.member.beam.analysis import solve
from soapfilm.solver.member.beam.solution import Solution
from soapfilm.solver.member.deforming.analysis import solve_deforming
from soapfilm.solver.member.deforming.gathering import course_of
from soapfilm.solver.member.deforming.solution import DeformingSolution
from soapfilm.solver.member.model.axis import Arc, Axis, Kink, Straight, Transition
from soapfilm.solver.member.model.diaphragm import Diaphragm
from soapfilm.solver.member.model.hinge import Hinge
from soapfilm.solver.member.model.imposed import Settlement, Temperature
from soapfilm.solver.member.model.load import Combination, LineLoad, PointLoad
from soapfilm.solver.member.model.member import Member, Restraint, Segment
from soapfilm.solver.member.model.solved_section import SolvedSection, solved_section
from soapfilm.solver.member.model.support import Support

Array = NDArray[np.float64]
Point = tuple[float, float, float]
Bend = tuple[float, float, float]

#: Accuracy of the sections' torsion constants.
ACCURACY = 1e-4
#: Load cases: all loads together, and two unit forces.
ALL, ONE, OTHER = "all", "one", "other"


@dataclass(frozen=True, slots=True)
class Stretch:
    """From `start` to `end`, the number of its section, and of the one that it tapers to."""

    start: float
    end: float
    section: int
    taper: int | None = None


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of one movement by a closed form: along x, y or about z ("twist") under all
    loads, at a place, to a share of itself."""

    what: str
    place: Point
    value: float
    within: float


@dataclass(frozen=True, slots=True)
class Torque:
    """What twists a single span between forks: a torque at `at`, and one per length all along."""

    at: float
    single: float
    along: float


@dataclass(frozen=True, slots=True)
class MemberCase:
    """One member of the campaign.

    Attributes
    ----------
    sections : tuple of Section
    pieces : tuple of (length, curvature at its start, at its end)
        Curvature is positive with the centre on the side of +x, and linear along a piece.
    stretches : tuple of Stretch
    supports, restraints, diaphragms, loads : tuples
        Places are points (x, y), loads belong to case `ALL`.
    points : tuple of (x, y, z)
        Of the material: where movements are asked.
    forces : two of (point, direction)
        Unit forces of cases `ONE` and `OTHER`.
    known : tuple of Known
    alike : float or None
        How far, relative to the largest, both theories may part; None where they may as they like.
    kinks : tuple of Kink
    hinges : tuple of Hinge
    imposed : tuple of Temperature or Settlement
        Of case `ALL`.
    torque : Torque or None
        All that acts, where the twist is known in closed form.
    combinations : tuple of Combination
        Without any, every case by itself.
    """

    sections: tuple[Section, ...]
    pieces: tuple[Bend, ...]
    stretches: tuple[Stretch, ...]
    supports: tuple[Support, ...]
    loads: tuple[PointLoad | LineLoad, ...]
    points: tuple[Point, ...]
    forces: tuple[tuple[Point, int], ...]
    restraints: tuple[Restraint, ...] = ()
    diaphragms: tuple[Diaphragm, ...] = ()
    known: tuple[Known, ...] = ()
    alike: float | None = None
    kinks: tuple[Kink, ...] = ()
    hinges: tuple[Hinge, ...] = ()
    imposed: tuple[Temperature | Settlement, ...] = ()
    torque: Torque | None = None
    combinations: tuple[Combination, ...] = ()

    @property
    def length(self) -> float:
        """Along the axis."""
        return float(sum(length for length, _, _ in self.pieces))

    @property
    def curved(self) -> bool:
        """Whether any piece is an arc or a clothoid."""
        return any(first or last for _, first, last in self.pieces)


@dataclass(frozen=True, slots=True, eq=False)
class SolvedMember:
    """A case by both theories."""

    case: MemberCase
    deforming: DeformingSolution
    classical: Solution
    sections: dict[str, SolvedSection]

    def moved(self, points: Sequence[Point], column: str = ALL) -> Array:
        """(k, 3) movements by the theory whose sections deform."""
        c = self.deforming.column(column)
        return np.array([self.deforming.displacement([p[:2]], [p[2]])[0, 0, :, c] for p in points])

    def shifted(self, points: Sequence[Point], column: str = ALL) -> Array:
        """(k, 2) movements across and up by the classical theory."""
        c = self.classical.column(column)
        found = []
        for x, y, z in points:
            across, up = self.classical.movement((x, y), z)
            found.append((across[0, c], up[0, c]))
        return np.array(found)


def member_of(case: MemberCase, known: Sequence[SolvedSection]) -> Member:
    """The member of a case with its solved sections."""
    segments = [
        Segment(
            s.start,
            s.end,
            known[s.section].constants,
            None if s.taper is None else known[s.taper].constants,
        )
        for s in case.stretches
    ]
    unit = [
        PointLoad(p[2], tuple(float(k == way) for k in range(3)), p[:2], case=name)
        for (p, way), name in zip(case.forces, (ONE, OTHER), strict=False)
    ]
    return Member(
        axis_of(case),
        tuple(segments),
        case.supports,
        case.restraints,
        (*case.loads, *unit),
        diaphragms=case.diaphragms,
        hinges=case.hinges,
        imposed=case.imposed,
        combinations=case.combinations,
    )


def axis_of(case: MemberCase) -> Axis:
    """Its line."""
    return Axis(tuple(_piece(*bend) for bend in case.pieces), kinks=case.kinks)


def _piece(length: float, first: float, last: float) -> Straight | Arc | Transition:
    if first != last:
        return Transition(length, first, last)
    return Arc(length, 1 / first) if first else Straight(length)


def sections_of(case: MemberCase) -> tuple[SolvedSection, ...]:
    """Its sections, solved."""
    return tuple(solved_section(s, f"section {n}", ACCURACY) for n, s in enumerate(case.sections))


def solved(case: MemberCase, known: Sequence[SolvedSection] = ()) -> SolvedMember:
    """Solve a case by both theories; `known` are its sections, where they have been solved."""
    known = known or sections_of(case)
    member = member_of(case, known)
    named = {one.name: one for one in known}
    classical = solve(member)
    return SolvedMember(case, solve_deforming(member, course_of(member, named)), classical, named)
