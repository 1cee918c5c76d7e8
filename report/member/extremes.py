"""The largest results of every combination, and of every support, for tables and records."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...solver.member.model.solved_section import SolvedSection
from ...solver.member.review.assessment import Assessment
from ...solver.member.review.greatest import greatest

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PeakValue:
    """A value of largest size, with its sign, and its station."""

    value: float
    station: float


@dataclass(frozen=True, slots=True)
class PointMovement:
    """The largest displacement of a point, with its parts at that station.

    `moved` = `deflection` of the shear centre + twist times arm, and distortion where sections
    deform; `classical` is then what the classical theory has in place of `moved`, anywhere. `play`
    is what slip adds to the twist there (an angle).
    """

    point: str
    direction: str
    moved: PeakValue
    deflection: float
    combination: str
    play: float
    classical: float | None = None


def named_sections(assessment: Assessment) -> dict[str, SolvedSection]:
    """The member's sections without those that a taper made between them."""
    return {name: s for name, s in assessment.request.sections.items() if not s.made}


def largest(assessment: Assessment, word: str, combination: int) -> PeakValue:
    """Largest size of a column of the stations ("v", "phi", "M_x", ...), sagging for M_x."""
    table = assessment.table
    values = getattr(table, word)[:, combination]
    (row,) = greatest(np.abs(values))
    return PeakValue(float(values[row]), float(table.z[row]))


def governing_twist(assessment: Assessment) -> int:
    """The combination with the largest twist."""
    return greatest(np.abs(assessment.table.phi).max(axis=0))[0]


def telling_combination(assessment: Assessment) -> int:
    """The combination that a figure shows: of the most used twist limit, or the most twisted."""
    rows = [item.row for item in assessment.limits if item.kind == "twist"]
    if not rows or assessment.customary:
        return governing_twist(assessment)
    return assessment.solution.column(max(rows, key=lambda row: row.ratio).combination)


def play_share(assessment: Assessment, combination: int) -> float:
    """What slip adds to the largest twist of a combination."""
    at = largest(assessment, "phi", combination).station
    return float(assessment.solution.play_twist(at)[0, combination])


def point_movements(assessment: Assessment) -> list[PointMovement]:
    """Displacements across and up of every named point, the larger of combinations and stations, by
    the theory that judges limits."""
    solution, deformed = assessment.solution, assessment.deformed
    judging = solution if deformed is None else deformed.solution
    z = np.unique(assessment.table.z)
    centre = judging.movement("shear_centre", z)
    rows = []
    for point in solution.mesh.member.points:
        moved, plain = judging.movement(point, z), solution.movement(point, z)
        for axis, direction in enumerate(("across", "up")):
            row, column = greatest(np.abs(moved[axis]))
            station = float(z[row])
            rows.append(
                PointMovement(
                    point,
                    direction,
                    PeakValue(float(moved[axis][row, column]), station),
                    float(centre[axis][row, column]),
                    solution.names[int(column)],
                    float(solution.play_twist(station)[0, column]),
                    None if deformed is None else greatest_value(plain[axis]),
                )
            )
    return rows


def greatest_value(values: Array) -> float:
    """That of largest size, with its sign."""
    return float(values[greatest(np.abs(values))])


def span_of(values: Sequence[float]) -> tuple[float, float]:
    """Smallest and largest."""
    return min(values), max(values)
