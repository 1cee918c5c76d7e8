"""What a member does, as studies see it; of one built in stages the worst of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ...member.file.request import MemberRequest
from ...member.influence.worst_place import standing_request
from ...member.staged.assessment import assess_stages
from .member_outcome import CLASSICAL, DEFORMING, MemberOutcome, loaded_at_once, member_mass


def outcome(request: MemberRequest) -> MemberOutcome:
    """Solve a member, built in stages or loaded at once, and hold it against its limits; moving
    loads where limits and moments ask for them. Reactions are left out then: the arrangements are
    not the worst of every one.

    Raises
    ------
    InputError, SolveError
        As its solution does.
    """
    if request.stages:
        return staged_outcome(request)
    if request.travels:
        return replace(loaded_at_once(standing_request(request)), reactions=())
    return loaded_at_once(request)


def staged_outcome(request: MemberRequest) -> MemberOutcome:
    """The largest twist, movement and stress after any stage; limits name theirs; reactions are
    those in all of the last stage in which a support stands. Critical loads are not looked at.

    Raises
    ------
    InputError, SolveError
        As `assess_stages` does.
    """
    staged = assess_stages(request)
    stages = staged.stages
    stresses = [s.stress for s in stages if s.stress is not None]
    rows = tuple(
        replace(item, row=replace(item.row, limit=f"{stage.name}: {item.row.limit}"))
        for stage, item in staged.limits
    )
    reactions = []
    for c in range(len(staged.names)):
        standing = {r.title: r for s in stages for r in s.reactions[c]}
        reactions.append(tuple(standing.values()))
    return MemberOutcome(
        ", ".join(request.sections),
        member_mass(request),
        max(float(np.abs(s.twist).max()) for s in stages),
        max(float(np.hypot(*s.moved["shear_centre"]).max()) for s in stages),
        max((float(s.mises.max()) for s in stresses), default=None),
        not any(s.corners_left_out for s in stresses),
        rows,
        tuple(reactions),
        theory=CLASSICAL if staged.alone else DEFORMING,
        alone="" if request.keep_shape else staged.alone,
    )
