"""Clearances in a member's table: the worst of where joints may stand in them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from ...solver.member.review.movement_limits import TwistLimit
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import number
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment
    from ...solver.member.review.clearance import ClearanceEnvelope, JointClearance

#: Joints listed at most, those of the largest torque first.
_MOST = 12


def clearances(assessment: Assessment, units: MemberUnits) -> Passage:
    """The largest twist, and the torque and couple of every joint with clearance; nothing where
    there is none."""
    found = assessment.clearance
    if found is None:
        return []
    c = int(found.worst.argmax())
    rows = [
        [
            f"largest twist ({units.unit('angle')})",
            *(units.value(float(v[c]), "angle") for v in (found.centred, found.worst,
                                                         found.preloaded)),
            found.names[c],
        ]
    ]  # fmt: skip
    ordered = sorted(found.joints, key=lambda j: -np.abs(j.worst).max())
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
    exceeded = _exceeded(assessment, found)
    if exceeded:
        words.append(exceeded)
    if found.unsolved:
        words.append(
            f"{found.unsolved} of these states leave the member loose and are left out; check "
            "what holds its twist without those joints."
        )
    return [table, Sentences(words)]


def _joint(joint: JointClearance, found: ClearanceEnvelope, units: MemberUnits) -> list[list[str]]:
    c = int(np.abs(joint.worst).argmax())
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
    c = int(found.worst.argmax())
    least = float(found.preloaded[c] / found.worst[c]) if found.worst[c] > 0 else 1.0
    most = max(found.joints, key=lambda j: np.abs(j.preloaded).max())
    k = int(np.abs(most.preloaded).argmax())
    torque = units.text(abs(float(most.preloaded[k])), "moment")
    return (
        "Slip-critical (preloaded) joints do not move until their friction gives way: the twist is "
        f"then {number(100 * least, 3)} % of the worst, if each resists its torque by friction, at "
        f"most {torque} at {most.title} under {found.names[k]!r}, besides its other forces."
    )


def _exceeded(assessment: Assessment, found: ClearanceEnvelope) -> str:
    """Twist limits that are kept with joints centred and exceeded in the worst state."""
    for limit in assessment.request.limits or (TwistLimit(),):
        if not isinstance(limit, TwistLimit):
            continue
        columns = [
            c for c, name in enumerate(found.names)
            if not limit.combinations or name in limit.combinations
        ]  # fmt: skip
        allowed = np.radians(limit.degrees)
        worst = max((float(found.worst[c]) for c in columns), default=0.0)
        centred = max((float(found.centred[c]) for c in columns), default=0.0)
        if worst > allowed >= centred:
            return (
                f"The twist limit of {number(limit.degrees, 3)} deg is judged with joints centred; "
                f"in the worst state it is exceeded ({number(100 * worst / allowed, 3)} % of it)."
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
            {"joint": j.title, "slip": j.slip, "lever_arm": j.lever_arm, "torque": each(j)}
            for j in found.joints
        ],
        "states_left_out": found.unsolved,
    }
