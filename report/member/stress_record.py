"""The largest stresses of a member for JSON: by sections that deform where they run, the classical
values beside."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ...solver.member.review.greatest import greatest

if TYPE_CHECKING:
    from ...solver.member.deforming.envelope import DeformingStress
    from ...solver.member.review.assessment import Assessment
    from ...solver.member.review.deformed import Deformed
    from ...solver.member.review.stress import MemberStress

#: What "theory" says.
DEFORM, KEEP = "sections that deform", "sections that keep their shape"
_UNSETTLED = (
    "the peak still changes with the modes: it stands beside a step, a load or a support; look at "
    "it there by a solid model"
)


def stress_record(assessment: Assessment) -> dict[str, Any] | None:
    """The leading values; under "classical" those of sections that keep their shape.

    Where the classical theory stands alone it leads, and "theory" says so. A peak that does not
    settle is None, and "unsettled" says why.
    """
    if assessment.stress is None:
        return None
    classical = _classical(assessment.stress)
    if assessment.deformed is None:
        return {"theory": KEEP, "unsettled": None, **classical, "classical": classical}
    return {"theory": DEFORM, **_deforming(assessment.deformed), "classical": classical}


def stress_stations(assessment: Assessment) -> dict[str, Any] | None:
    """Stresses of sections that deform along the member, one table a combination; both sides of
    every node of its elements, but for what is left out. None where the peak does not settle."""
    if assessment.deformed is None or not assessment.deformed.settled:
        return None
    found = assessment.deformed.stress
    record: dict[str, Any] = {"z": found.z.tolist()}
    for c, name in enumerate(found.names):
        record[name] = {
            word: getattr(found, "mises" if word == "von Mises" else word)[:, c].tolist()
            for word in ("von Mises", "shear", "tension", "compression")
        }
    return record


def _deforming(other: Deformed) -> dict[str, Any]:
    found, settled = other.stress, other.settled
    row, column = greatest(found.mises)
    station = float(found.z[row])
    return {
        "unsettled": None if settled else _UNSETTLED,
        "near loads and supports": None if other.unsettled_near is None else _UNSETTLED,
        "von Mises": float(found.mises[:, column].max()) if settled else None,
        "at": station,
        "combination": found.names[column],
        "section": other.solution.member.section_at(station).name,
        "point": found.points[row, column].tolist(),
        "relative_change": other.change.stress,
        "holds_near_sharp_corners": not found.corners_left_out,
        "largest": {name: _largest(found, c, settled) for c, name in enumerate(found.names)},
    }


def _largest(found: DeformingStress, c: int, settled: bool) -> dict[str, float | None]:
    if not settled:
        return dict.fromkeys(("von Mises", "shear", "tension", "compression"))
    return {
        "von Mises": float(found.mises[:, c].max()),
        "shear": float(found.shear[:, c].max()),
        "tension": float(found.tension[:, c].max()),
        "compression": float(found.compression[:, c].min()),
    }


def _classical(stress: MemberStress) -> dict[str, Any]:
    peak = stress.peak
    return {
        "von Mises": peak.value,
        "at": peak.station,
        "combination": peak.combination,
        "section": peak.section,
        "point": list(peak.at),
        "relative_change": peak.change,
        "holds_near_sharp_corners": peak.bounded,
        "largest": {
            name: {
                "von Mises": stress.largest_mises(c),
                "shear": float(stress.shear[:, c].max()),
                "tension": float(stress.tension[:, c].max()),
                "compression": float(stress.compression[:, c].min()),
            }
            for c, name in enumerate(stress.names)
        },
    }
