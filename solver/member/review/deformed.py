"""What deforming sections change: a member by both theories, side by side, and in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError, SolveError
from ..beam.reaction import SupportReaction
from ..beam.solution import Solution
from ..deforming.analysis import solve_deforming
from ..deforming.course import Course
from ..deforming.envelope import DeformingStress, stress_envelope
from ..deforming.gathering import course_of
from ..deforming.reactions import DiaphragmForce, diaphragm_forces, reactions
from ..deforming.solution import DeformingSolution
from ..model.solved_section import SolvedSection
from .greatest import greatest
from .stress import MemberStress

Array = NDArray[np.float64]

#: Stations at which motions of both theories are compared.
STATIONS = 121

#: Share of the slow modes that the answer is compared with, to tell what the next ones change.
FEWER = 0.6

#: Difference of the theories below which nothing is said of it, and share of the largest
#: displacement from which distortion is called the reason.
ALIKE, DISTORTS = 0.03, 0.05

#: Share of the largest value of its kind below which a combination decides nothing.
COUNTS = 0.2

Reason = Literal["alike", "local", "distortion", "other"]


@dataclass(frozen=True, slots=True)
class Pair:
    """A largest magnitude by both theories: deforming sections first."""

    deforming: float
    classical: float
    at: float

    @property
    def ratio(self) -> float:
        """Deforming over classical; infinite where the classical value is zero."""
        if self.classical == 0:
            return 1.0 if self.deforming == 0 else np.inf
        return self.deforming / self.classical


@dataclass(frozen=True, slots=True)
class BothTheories:
    """One combination: twist (mean rotation of the section), deflection (of the corner that goes up
    or down most), von Mises stress (None without an outline)."""

    name: str
    twist: Pair
    deflection: Pair
    stress: Pair | None


@dataclass(frozen=True, slots=True)
class Parting:
    """Where and why the theories part.

    Attributes
    ----------
    reason : "alike", "local", "distortion" or "other"
        Alike within `ALIKE`; motions alike and stress apart; the section distorts; or warping,
        shear lag, shear deformation and tapers.
    twist, deflection, stress : float
        Deforming over classical, of the combination where it is farthest from 1.
    at : float
        Station of the largest of them.
    distorts_at : float
        Station of the largest distortion.
    sides : (left, right)
        How far the outermost corners go down there.
    """

    reason: Reason
    twist: float
    deflection: float
    stress: float
    at: float
    distorts_at: float
    sides: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Deformed:
    """A member's answers with deforming sections.

    Attributes
    ----------
    solution : DeformingSolution
    stress : DeformingStress
    rows : tuple of BothTheories
        One a combination.
    parting : Parting
        Where and why the theories part.
    distortion : float
        Largest root mean square in-plane motion of a section that is not rigid.
    distortion_at : float
    change : float
        What the last slow modes changed of twist, deflection and stress, the largest, relative.
    reactions : tuple per combination of tuple of SupportReaction
    diaphragms : tuple of DiaphragmForce
    """

    solution: DeformingSolution
    stress: DeformingStress
    rows: tuple[BothTheories, ...]
    parting: Parting
    distortion: float
    distortion_at: float
    change: float
    reactions: tuple[tuple[SupportReaction, ...], ...]
    diaphragms: tuple[DiaphragmForce, ...]


def deformed(
    classical: Solution, stress: MemberStress | None, sections: Mapping[str, SolvedSection]
) -> Deformed | str:
    """Solve with deforming sections beside the classical solution; why not, where it cannot be."""
    member = classical.mesh.member
    try:
        course = course_of(member, sections)
        solution = solve_deforming(member, course)
        envelope = stress_envelope(solution, sections)
        change = _change(solution, envelope, course, sections)
    except (InputError, SolveError) as error:
        return str(error)
    z = np.linspace(0.0, member.length, STATIONS)
    rows = _rows(solution, envelope, classical, stress, z)
    amplitude = solution.distortion(z)
    row, _ = greatest(amplitude)
    worst, where = float(amplitude.max()), float(z[row])
    return Deformed(
        solution,
        envelope,
        rows,
        _parting(solution, rows, worst, where),
        worst,
        where,
        change,
        tuple(reactions(solution, c) for c in range(len(solution.names))),
        diaphragm_forces(solution),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Corners:
    """Outermost vertices of the sections that some stations share.

    `rows` (k, 3, n) give their motion, `points` (m, k, 2) their places at the stations numbered
    `own` (m,).
    """

    rows: Array
    points: Array
    own: NDArray[np.intp]


def corners_of(solution: DeformingSolution, z: Array) -> list[Corners]:
    """Corners of every part at stations z; along a taper they move with it."""
    from scipy.spatial import ConvexHull

    index = np.array([solution.course.index(float(s)) for s in z])
    found = []
    for k in np.unique(index):
        part, own = solution.course.parts[k], np.flatnonzero(index == k)
        section = part.straight
        used = np.unique(section.fields.mesh.triangles[section.elastic.solid])
        first = section.fields.mesh.vertices[used]
        hull = ConvexHull(first).vertices
        points = np.broadcast_to(first[hull], (len(own), len(hull), 2))
        if part.taper is not None:
            last = part.taper.last.fields.mesh.vertices[used][hull]
            share = part.taper.share(z[own])[:, None, None]
            points = (1 - share) * first[hull] + share * last
        found.append(Corners(section.fields.coefficients[used[hull]], points, own))
    return found


def deflections(solution: DeformingSolution, z: Array) -> Array:
    """(m, c) largest |u_y| of the outermost corners."""
    _, a, _ = solution.functions(z)
    found = np.zeros((len(z), len(solution.names)))
    for corners in corners_of(solution, z):
        moved = np.einsum("kn,mnc->mkc", corners.rows[:, 1], a[corners.own])
        found[corners.own] = np.abs(moved).max(axis=1)
    return found


def _rows(
    solution: DeformingSolution,
    envelope: DeformingStress,
    classical: Solution,
    stress: MemberStress | None,
    z: Array,
) -> tuple[BothTheories, ...]:
    twist = np.abs(solution.twist(z))
    before = np.abs(classical.at(z).phi)
    down = deflections(solution, z)
    plain = _classical_deflections(solution, classical, z)
    rows = []
    for c, name in enumerate(solution.names):
        peak = None
        if stress is not None:
            row = int(envelope.mises[:, c].argmax())
            peak = Pair(
                float(envelope.mises[row, c]), stress.largest_mises(c), float(envelope.z[row])
            )
        rows.append(
            BothTheories(
                name,
                _pair(twist[:, c], before[:, c], z),
                _pair(down[:, c], plain[:, c], z),
                peak,
            )
        )
    return tuple(rows)


def _pair(now: Array, before: Array, z: Array) -> Pair:
    row = int(now.argmax())
    return Pair(float(now[row]), float(before.max()), float(z[row]))


def _classical_deflections(solution: DeformingSolution, classical: Solution, z: Array) -> Array:
    table, member = classical.at(z), classical.mesh.member
    centre = np.array([member.section_at(float(s)).shear_centre[0] for s in z])
    found = np.zeros((len(z), len(solution.names)))
    for corners in corners_of(solution, z):
        own = corners.own
        arm = (corners.points[..., 0] - centre[own, None])[..., None]
        moved = table.v[own][:, None] + arm * table.phi[own][:, None]
        found[own] = np.abs(moved).max(axis=1)
    return found


def _change(
    solution: DeformingSolution,
    envelope: DeformingStress,
    course: Course,
    sections: Mapping[str, SolvedSection],
) -> float:
    """Relative change of the largest twist, deflection and stress by the last modes."""
    fewer = round(FEWER * course.modes)
    if fewer < 1:
        return float("nan")
    other = solve_deforming(solution.member, course.first(fewer))
    z = np.linspace(0.0, solution.member.length, 41)
    pairs = [
        (np.abs(solution.twist(z)).max(), np.abs(other.twist(z)).max()),
        (deflections(solution, z).max(), deflections(other, z).max()),
        (envelope.mises.max(), stress_envelope(other, sections).mises.max()),
    ]
    # A twist of rounding's size has no relative change.
    size = float(pairs[1][0]) / max(_reach(solution), 1e-300)
    pairs[0] = (max(pairs[0][0], size * 1e-3), max(pairs[0][1], size * 1e-3))
    return float(max(abs(a - b) / a if a > 0 else 0.0 for a, b in pairs))


def _reach(solution: DeformingSolution) -> float:
    (corners,) = corners_of(solution, np.zeros(1))
    return float(np.ptp(corners.points[0], axis=0).max())


def _parting(
    solution: DeformingSolution, rows: tuple[BothTheories, ...], worst: float, where: float
) -> Parting:
    """Where and why the theories part."""
    ratio = {"twist": 1.0, "deflection": 1.0, "stress": 1.0}
    at = dict.fromkeys(ratio, 0.0)
    kinds = {word: [getattr(row, word) for row in rows] for word in ratio}
    for word, pairs in kinds.items():
        known = [pair for pair in pairs if pair is not None]
        top = max((pair.deforming for pair in known), default=0.0)
        for pair in known:
            # Values far below the largest of their kind decide nothing.
            if pair.deforming < COUNTS * top or not 0 < pair.ratio < np.inf:
                continue
            if abs(np.log(pair.ratio)) > abs(np.log(ratio[word])):
                ratio[word], at[word] = pair.ratio, pair.at
    largest = max(row.deflection.deforming for row in rows)
    sides = _sides(solution, where)
    moved = [word for word in ("twist", "deflection") if abs(ratio[word] - 1) >= ALIKE]
    reason: Reason = "other"
    if not moved:
        reason = "alike" if abs(ratio["stress"] - 1) < ALIKE else "local"
    elif worst > DISTORTS * largest:
        reason = "distortion"
    far = max(ratio, key=lambda word: abs(np.log(ratio[word])))
    return Parting(
        reason, ratio["twist"], ratio["deflection"], ratio["stress"], at[far], where, sides
    )


def _sides(solution: DeformingSolution, z: float) -> tuple[float, float]:
    """Downward movement of the outermost corners to the left and right, in the combination that
    distorts most."""
    (corners,) = corners_of(solution, np.array([z]))
    ends = [int(corners.points[0, :, 0].argmin()), int(corners.points[0, :, 0].argmax())]
    (c,) = greatest(solution.distortion([z])[0])
    _, a, _ = solution.functions([z])
    left, right = -(corners.rows[ends, 1] @ a[0, :, c])
    return float(left), float(right)
