"""An outcome of a member as plain numbers: for rows of studies and for records."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...member.beam.support_reaction import SupportReaction
    from ...member.file.request import MemberRequest
    from .member_outcome import MemberOutcome

#: Results of which the classical value is told beside the deforming one.
BESIDE = ("twist_deg", "displacement", "deflection", "stress", "limit_used")


def record(found: MemberOutcome) -> dict[str, float | None]:
    """Plain numbers of an outcome: twist in degrees, and how far the limits are used."""
    return {
        "mass": found.mass,
        "twist_deg": math.degrees(found.twist),
        "displacement": found.movement,
        "deflection": found.deflection,
        "stress": found.stress,
        "limit_used": found.ratio if found.rows else None,
        "critical_factor": found.critical_factor,
    }


def theory_record(found: MemberOutcome) -> dict[str, float | str | None]:
    """Which theory the numbers are of, why, and the classical ones beside them."""
    beside = {} if found.classical is None else record(found.classical)
    return {
        "theory": found.theory,
        "classical_alone_because": found.alone or None,
        "theories_part": found.reason or None,
        "change_by_last_modes": found.change,
        **{f"{word}_classical": beside.get(word) for word in BESIDE},
        "critical_factor_classical": found.classical_factor,
    }


def used_and_held(
    found: MemberOutcome, request: MemberRequest, order: Sequence[int]
) -> dict[str, float]:
    """The use of each limit (`order` tells its number in the file), and the largest and smallest
    upward reaction and the largest torque of each support over all combinations; both are numbered
    from 1.

    A limit that is judged in every span counts with the span that uses it most; one on a frequency
    tells that frequency too.
    """
    result: dict[str, float] = {}
    for row in found.rows:
        key = f"limit_{order[row.number - 1]}_used"
        result[key] = max(result.get(key, 0.0), row.row.ratio)
        if row.kind == "frequency":
            result[f"limit_{order[row.number - 1]}_hertz"] = row.row.value
    held = support_extremes(found)
    for n, support in enumerate(request.member.supports, 1):
        for word, value in held.get(support.title, {}).items():
            result[f"support_{n}_{word}"] = value
    return result


def support_extremes(found: MemberOutcome) -> dict[str, dict[str, float]]:
    """The largest and smallest upward reaction of every support and restraint, and its largest
    torque, over all combinations, by its title."""
    rows: dict[str, list[SupportReaction]] = {}
    for combination in found.reactions:
        for reaction in combination:
            rows.setdefault(reaction.title, []).append(reaction)
    return {
        title: {
            "up_most": max(r.force[1] for r in held),
            "up_least": min(r.force[1] for r in held),
            "torque": max((r.torque for r in held), key=abs),
        }
        for title, held in rows.items()
    }


def used_of(found: MemberOutcome) -> dict[str, float]:
    """How far an outcome uses each limit, by its number and words, stability last."""
    return {f"{n} {check.limit}": check.ratio for n, check in enumerate(found.everything)}
