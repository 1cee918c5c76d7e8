"""Secondary beams in a member's table: what each brings, and what its connection does to it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from ...solver.member.review.secondary import SecondaryState, secondary_states
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero, number
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment

#: Beams listed at most.
_MOST = 16


def states(assessment: Assessment) -> tuple[SecondaryState, ...]:
    """By the theory that leads."""
    other = assessment.deformed
    return secondary_states(assessment.solution if other is None else other.solution)


def secondary_beams(assessment: Assessment, units: MemberUnits) -> Passage:
    """One line a beam, under the combination with the largest moment at its connection; nothing
    without beams."""
    found = states(assessment)
    if not found:
        return []
    names = assessment.solution.names
    size = max(float(np.abs([s.span_moment, s.moment]).max()) for s in found)
    rows = []
    for s in found[:_MOST]:
        c = int(np.abs(s.moment).argmax()) if np.any(s.moment) else int(np.abs(s.force).argmax())
        moments = [near_zero(float(v[c]), 1e3 * size) for v in
                   (s.moment, s.end_moment, s.span_moment, s.pinned_span_moment)]  # fmt: skip
        bows = (s.deflection[c], s.pinned_deflection[c])
        rows.append(
            [
                s.title,
                names[c],
                units.value(float(s.force[c]), "force"),
                *(units.value(m, "moment") for m in moments),
                *(units.value(float(b), "displacement") for b in bows),
                units.value(float(s.far_force[c]), "force"),
            ]
        )
    force, moment, bow = (units.unit(q) for q in ("force", "moment", "displacement"))
    table = HeadedRows(
        ["secondary beam", "combination", "R_y", "M_z", "end moment", "span moment", "if pinned",
         "deflection", "if pinned", "far end"],
        ["", "", force, *[moment] * 4, bow, bow, force],
        rows,
    )  # fmt: skip
    words = [
        "R_y and M_z act on the member at the connection, M_z positive from x toward y. The end "
        "moment is that of the beam there, its span moment the largest, sagging positive; its "
        "deflection is from the line between its ends. Beside them stands what a pinned connection "
        "would leave; the far end is the reaction of its other support."
    ]
    if len(found) > _MOST:
        words.insert(0, f"... and {len(found) - _MOST} more beams.")
    return [table, Sentences(words)]


def gains(found: Sequence[SecondaryState], units: MemberUnits) -> str:
    """What moment connections do to the beams, in a sentence."""
    if not found:
        return ""
    span, pinned = (
        max(float(np.max(getattr(s, word))) for s in found)
        for word in ("span_moment", "pinned_span_moment")
    )
    bow, loose = (
        max(float(np.abs(getattr(s, word)).max()) for s in found)
        for word in ("deflection", "pinned_deflection")
    )
    ends = [float(v) for s in found for v in (s.end_moment.min(), s.end_moment.max())]
    return (
        f"Moment-connected, the secondary beams have span moments up to "
        f"{units.text(span, 'moment', 3)} ({units.text(pinned, 'moment', 3)} pinned), deflections "
        f"up to {units.text(bow, 'displacement', 3)} "
        f"({units.text(loose, 'displacement', 3)} pinned), and moments of "
        f"{number(min(ends) * units.factor('moment'), 3)} to "
        f"{units.text(max(ends), 'moment', 3)} at their connections (sagging positive)."
    )


def secondary_records(assessment: Assessment) -> list[dict[str, Any]]:
    """The same for JSON, with every combination."""
    words = ("force", "moment", "end_moment", "far_moment", "span_moment", "pinned_span_moment",
             "deflection", "pinned_deflection", "far_force")  # fmt: skip
    return [
        {
            "secondary_beam": s.title,
            "at": s.at,
            "combinations": {
                name: {word: float(getattr(s, word)[c]) for word in words}
                for c, name in enumerate(assessment.solution.names)
            },
        }
        for s in states(assessment)
    ]
