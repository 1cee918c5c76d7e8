"""Joints of a member built in stages: what acts on each after every stage, in all.

Every stage and combination is one set of actions, from the totals of the reactions; the worst
state of clearances is not looked for, joints stand centred.
"""

from __future__ import annotations

from ...joint.joint_actions import JointActions
from ...joint.joint_file import named_spec
from ...joint.library import joint_detail
from ..beam.support_reaction import SupportReaction
from ..model.secondary_beam import SecondaryBeam
from ..model.support import Support
from ..review.held_joint import HeldJoint, at_beam, at_end, effects_of, held
from .assessment import StagedAssessment


def state_name(stage: str, combination: str) -> str:
    """Name of one set of actions."""
    return f"{stage}: {combination}"


def stage_joints(staged: StagedAssessment) -> tuple[HeldJoint, ...]:
    """Every support and secondary beam that names a joint, under every stage and combination."""
    member = staged.request.member
    found = []
    for support in member.supports:
        if support.joint:
            found.append(_of_support(staged, support))
    for beam in member.restraints:
        if isinstance(beam, SecondaryBeam) and beam.joint:
            found.append(_of_beam(staged, beam))
    return tuple(found)


def _of_support(staged: StagedAssessment, support: Support) -> HeldJoint:
    request = staged.request
    spec = named_spec(request.joints, support.joint)
    detail, start = joint_detail(spec), support.at < request.member.length / 2
    acting = [
        at_end(name, r.force, r.moment, start, detail, request.units)
        for name, r in _acting(staged, support.title)
    ]
    return held(support, spec, acting, 0.0, (), None)


def _of_beam(staged: StagedAssessment, beam: SecondaryBeam) -> HeldJoint:
    request = staged.request
    spec = named_spec(request.joints, beam.joint)
    detail = joint_detail(spec)
    rows = _acting(staged, beam.title)
    acting: list[JointActions] = [
        at_beam(name, r.force[1], r.moment[2], beam, detail, request.units) for name, r in rows
    ]
    most = max((abs(r.moment[2]) for _, r in rows), default=0.0)
    # Where the joint engages, its moment tells the turn between the member and the beam's end.
    turn = most / beam.stiffness + beam.slip if most and beam.stiffness > 0 else 0.0
    effects = effects_of(spec, beam, turn, request.units) if turn else ()
    return held(beam, spec, acting, turn, effects, None)


def _acting(staged: StagedAssessment, title: str) -> list[tuple[str, SupportReaction]]:
    """Totals of one support or beam, where it stands and something acts."""
    return [
        (state_name(result.stage.name, name), r)
        for result in staged.stages
        for name, rows in zip(staged.names, result.reactions, strict=True)
        for r in rows
        if r.title == title
    ]
