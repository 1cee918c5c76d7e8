"""The largest twist and stress of a member by the theory that its limits are judged by."""

from __future__ import annotations

from dataclasses import dataclass

from ...solver.member.review.assessment import Assessment
from ...solver.member.review.greatest import greatest
from ..text.number import near_zero
from .extremes import governing_twist, largest
from .rounding import rounding_scales


@dataclass(frozen=True, slots=True)
class Governing:
    """A largest magnitude, where it stands, and the classical one beside it.

    `classical` is None where the classical theory stands alone: then the value is its own.
    """

    value: float
    station: float
    combination: str
    classical: float | None = None


def largest_twist(assessment: Assessment) -> Governing:
    """The largest twist (rad), without its sign; 0 where it is rounding."""
    names = assessment.solution.names
    column = governing_twist(assessment)
    found = largest(assessment, "phi", column)
    value = near_zero(abs(found.value), rounding_scales(assessment)["phi"])
    plain = Governing(value, found.station, names[column])
    other = assessment.deformed
    if other is None:
        return plain
    z = assessment.table.z
    twist = abs(other.solution.twist(z))
    row, column = greatest(twist)
    value = float(twist[row, column]) if any(r.twist.deforming for r in other.rows) else 0.0
    return Governing(value, float(z[row]), names[column], plain.value)


def largest_stress(assessment: Assessment) -> Governing | None:
    """The peak von Mises stress; None where a section is known by its figures alone, or the peak
    does not settle."""
    if assessment.stress is None:
        return None
    peak = assessment.stress.peak
    other = assessment.deformed
    if other is not None and not other.settled:
        return None
    if other is None:
        return Governing(peak.value, peak.station, peak.combination)
    mises = other.stress.mises
    row, column = greatest(mises)
    return Governing(
        float(mises[row, column]),
        float(other.stress.z[row]),
        other.stress.names[column],
        peak.value,
    )
