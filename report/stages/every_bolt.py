"""Joints of a staged member: what governs each, and every bolt after every stage."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from ...solver.member.staged.stage_joint import stage_joints
from ..joint.measure import JointMeasure
from ..member.joint_passage import joint_passage
from ..text.blocks import HeadedRows, Passage, Sentences

if TYPE_CHECKING:
    from ...solver.joint.sharing import BoltShare
    from ...solver.member.review.held_joint import HeldJoint
    from ...solver.member.staged.assessment import StagedAssessment

#: Rows of bolts listed at most for one joint of the file.
_MOST = 24


@lru_cache(maxsize=2)
def found_stage_joints(staged: StagedAssessment) -> tuple[HeldJoint, ...]:
    """Shared once for table, figures and record of the same member."""
    return stage_joints(staged)


def stage_joint_passage(staged: StagedAssessment) -> Passage:
    """As for a member that is loaded at once, then all bolts by stage and combination."""
    found = found_stage_joints(staged)
    if not found:
        return []
    request = staged.request
    measure = JointMeasure(request.units)
    words = [
        "What acts on a joint after a stage is all that the stages so far brought. Bolts stand in "
        "the middle of their holes; for other states of the clearances solve the member with all "
        "that stands in the end, loaded at once."
    ]
    passage = [*joint_passage(found, request.joints, request.units), Sentences(words)]
    for spec in request.joints:
        passage += _every_bolt([h for h in found if h.spec is spec], measure)
    return passage


def _every_bolt(found: Sequence[HeldJoint], measure: JointMeasure) -> Passage:
    """Resultants of shear and tension of all bolts, a place and state a row."""
    shares = [(held.title, one) for held in found for one in held.shares]
    groups = len(shares[0][1].bolts) if shares else 0
    passage: list[HeadedRows | Sentences] = []
    for k in range(groups):
        place = shares[0][1].bolts[k].place
        rows = [[title, s.actions.name, *_forces(s.bolts[k], measure)] for title, s in shares]
        heads = [f"bolt {n + 1}" for n in range(len(place.points))]
        unit = measure.unit("force")
        passage += [
            Sentences([f"{found[0].spec.name!r}, {place.name}, shear and tension together:"]),
            HeadedRows(
                ["at", "stage: combination", *heads], ["", "", *[unit] * len(heads)], rows[:_MOST]
            ),
        ]
        if len(rows) > _MOST:
            passage.append(Sentences([f"... and {len(rows) - _MOST} more; --joints lists all."]))
    return passage


def _forces(group: BoltShare, measure: JointMeasure) -> list[str]:
    both = np.hypot(group.shear, group.tension)
    return [measure.value(float(f), "force", 4, 1e3 * float(both.max())) for f in both]
