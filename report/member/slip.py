"""Clearances in a member's table: the worst of where joints may stand in them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from ...solver.member.review.greatest import falling, greatest
from ...solver.member.review.movement_limits import TwistLimit
from ...solver.member.review.reactions import COMPONENTS, components
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero, number
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment
    from ...solver.member.review.clearance import ClearanceEnvelope, JointClearance
    from ...solver.member.review.judgement import LimitRow

#: Joints listed at most, those of the largest torque first.
_MOST = 12


def clearances(assessment: Assessment, units: MemberUnits) -> Passage:
    """The largest twist, and the torque and couple of every joint with clearance; nothing where
    there is none."""
    found = assessment.clearance
    if found is None:
        return []
    (c,) = greatest(found.worst)
    rows = [
        [
            f"largest twist ({units.unit('angle')})",
            *(units.value(float(v[c]), "angle") for v in (found.centred, found.worst,
                                                         found.preloaded)),
            found.names[c],
        ]
    ]  # fmt: skip
    order = falling(np.array([np.abs(j.worst).max() for j in found.joints]))
    ordered = [found.joints[k] for k in order]
    for joint in ordered[:_MOST]:
        rows += _joint(joint, found, units)
    table = HeadedRows(["quantity", "centred", "worst", "preloaded", "combination"], [], rows)
    words = [
        "Where a bolt stands in its hole nobody knows. Centred, as in the rest of this report, a "
        "joint turns by its clearance either way before it bears; it may also bear at once, or go "
        "the whole way, twice as far. The worst twist is that of all joints going the whole way, "
        "the worst torque of a joint that of it bearing at once while all others go the whole way.",
        _preloaded(found, units),
    ]
    if len(ordered) > _MOST:
        words.insert(0, f"... and {len(ordered) - _MOST} more joints.")
    exceeded = _exceeded(assessment)
    if exceeded:
        words.append(exceeded)
    if found.unsolved:
        words.append(
            f"{found.unsolved} of these states leave the member loose and are left out; check "
            "what holds its twist without those joints."
        )
    return [table, Sentences(words), _concurrent(ordered[:_MOST], found, units)]


def _concurrent(
    joints: Sequence[JointClearance], found: ClearanceEnvelope, units: MemberUnits
) -> HeadedRows:
    """All that each joint holds where its torque is worst."""
    quantities = ["force"] * 3 + ["moment"] * 3 + ["bimoment"]
    held = [components(j.concurrent) for j in joints]
    force = max((abs(v) for row in held for v in row[:3]), default=0.0)
    moment = max((abs(v) for row in held for v in row[3:6]), default=0.0)
    scales = [force] * 3 + [max(moment, force)] * 4
    rows = [
        [
            joint.title,
            *(
                units.value(near_zero(v, scale), q)
                for v, scale, q in zip(row, scales, quantities, strict=True)
            ),
            found.names[joint.combination],
        ]
        for joint, row in zip(joints, held, strict=True)
    ]
    heads = ["at its worst torque", *COMPONENTS, "combination"]
    return HeadedRows(heads, ["", *(units.unit(q) for q in quantities), ""], rows)


def _joint(joint: JointClearance, found: ClearanceEnvelope, units: MemberUnits) -> list[list[str]]:
    (c,) = greatest(np.abs(joint.worst))
    torques = [float(v[c]) for v in (joint.centred, joint.worst, joint.preloaded)]
    name = found.names[c]
    rows = [
        [
            f"torque at {joint.title} ({units.unit('moment')})",
            *(units.value(t, "moment") for t in torques),
            name,
        ]
    ]
    if joint.lever_arm is not None:
        couples = [units.value(abs(t) / joint.lever_arm, "force") for t in torques]
        rows.append([f"couple there ({units.unit('force')})", *couples, name])
    return rows


def _preloaded(found: ClearanceEnvelope, units: MemberUnits) -> str:
    (c,) = greatest(found.worst)
    least = float(found.preloaded[c] / found.worst[c]) if found.worst[c] > 0 else 1.0
    (row,) = greatest(np.array([np.abs(j.preloaded).max() for j in found.joints]))
    most = found.joints[row]
    (k,) = greatest(np.abs(most.preloaded))
    torque = units.text(abs(float(most.preloaded[k])), "moment")
    return (
        "Slip-critical (preloaded) joints do not move until their friction gives way: the twist is "
        f"then {number(100 * least, 3)} % of the worst, if each resists its torque by friction, at "
        f"most {torque} at {most.title} under {found.names[k]!r}, besides its other forces."
    )


def worst_use(assessment: Assessment, item: LimitRow) -> float | None:
    """Share of a twist limit that the worst state of clearances uses, where it is exceeded there
    and kept with joints centred; else None."""
    found = assessment.clearance
    if found is None or item.kind != "twist" or not item.row.passed:
        return None
    limit = (assessment.request.limits or (TwistLimit(),))[item.number - 1]
    if not isinstance(limit, TwistLimit):
        return None
    worst = max(
        (
            float(found.worst[c])
            for c, name in enumerate(found.names)
            if not limit.combinations or name in limit.combinations
        ),
        default=0.0,
    )
    return worst / item.row.allowed if worst > item.row.allowed else None


def slipping_limits(assessment: Assessment) -> list[str]:
    """A sentence beside the verdict on limits, where clearances may turn it."""
    limits = [item.row.limit for item in assessment.limits if worst_use(assessment, item)]
    return [
        f"That is so with joints centred in their clearances; in the worst state {limit} is "
        "exceeded."
        for limit in limits[:1]
    ]


def _exceeded(assessment: Assessment) -> str:
    """Twist limits that are kept with joints centred and exceeded in the worst state."""
    for item in assessment.limits:
        use = worst_use(assessment, item)
        if use is not None:
            degrees = number(float(np.degrees(item.row.allowed)), 3)
            return (
                f"The twist limit of {degrees} deg is judged with joints centred; "
                f"in the worst state it is exceeded ({number(100 * use, 3)} % of it)."
            )
    return ""


def clearance_record(assessment: Assessment) -> dict[str, Any] | None:
    """The same for JSON, with every combination."""
    found = assessment.clearance
    if found is None:
        return None

    def each(item: ClearanceEnvelope | JointClearance) -> dict[str, Any]:
        words = ("centred", "worst", "preloaded")
        return {
            name: {word: float(getattr(item, word)[c]) for word in words}
            for c, name in enumerate(found.names)
        }

    return {
        "twist": each(found),
        "joints": [
            {
                "joint": j.title,
                "slip": j.slip,
                "lever_arm": j.lever_arm,
                "torque": each(j),
                "at_its_worst": dict(zip(COMPONENTS, components(j.concurrent), strict=True))
                | {"combination": found.names[j.combination]},
            }
            for j in found.joints
        ],
        "states_left_out": found.unsolved,
    }
