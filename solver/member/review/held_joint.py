"""Joints that hold a member: what acts on each under every combination, and how it shares that.

The arriving member is the member itself at a support, and the secondary beam where one frames in.
Actions are of the theory that leads.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ....geometry.errors import InputError, SolveError
from ....geometry.units import Units
from ...joint.detail import JointDetail, Vector
from ...joint.given_turn import TurnEffect, turn_effects
from ...joint.joint_actions import JointActions
from ...joint.joint_file import named_spec
from ...joint.joint_spec import JointSpec
from ...joint.library import joint_detail
from ...joint.sharing import JointShare, share
from ..beam.support_reaction import SupportReaction
from ..model.restraint import secondary_beam_stiffness
from ..model.secondary_beam import SecondaryBeam
from ..model.support import Support
from .assessment import Assessment
from .connection import connection_actions
from .secondary import SecondaryState, secondary_states

#: A couple that clearances raise by less than this is as good as the same.
_MORE = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class HeldJoint:
    """One joint where it stands.

    Attributes
    ----------
    holder : Support or SecondaryBeam
        What names it; the middle of its bolts stands at the support's point.
    spec, detail
        The joint, in mm and N.
    shares : tuple of JointShare
        One a combination that it can share; names are in their actions.
    failures : tuple of (combination, reason)
    turn : float
        Largest turn between a secondary beam, if it were pinned there, and the member; 0 at
        supports.
    effects : tuple of TurnEffect
        What other details make of that turn.
    worst : JointShare or None
        With the clearances of all joints standing where this one's couple is largest; None where
        that is no more than `shares` have, or nothing slips.
    """

    holder: Support | SecondaryBeam
    spec: JointSpec
    detail: JointDetail
    shares: tuple[JointShare, ...]
    failures: tuple[tuple[str, str], ...]
    turn: float
    effects: tuple[TurnEffect, ...]
    worst: JointShare | None = None

    @property
    def title(self) -> str:
        """Of the support or secondary beam."""
        return self.holder.title

    @property
    def at(self) -> float:
        """Along the member, in its units."""
        return self.holder.at

    @property
    def governing(self) -> JointShare | None:
        """The combination with the largest bolt force, or weld stress without bolts."""
        return max(self.shares, key=lambda s: (s.largest_bolt, s.largest_weld), default=None)


def held_joints(assessment: Assessment) -> tuple[HeldJoint, ...]:
    """Every support and secondary beam that names a joint."""
    request = assessment.request
    member, units = request.member, request.units
    found = []
    for support in member.supports:
        if support.joint:
            spec = named_spec(request.joints, support.joint)
            rows = connection_actions(assessment, support.title)
            start = support.at < member.length / 2
            detail = joint_detail(spec)
            acting = [
                at_end(row.combination, row.force, row.moment, start, detail, units) for row in rows
            ]
            worst = None
            slack = _slack(assessment, support.title)
            if slack is not None:
                name, all_of = slack
                worst = at_end(name, all_of.force, all_of.moment, start, detail, units)
            found.append(held(support, spec, acting, 0.0, (), worst))
    if any(isinstance(r, SecondaryBeam) and r.joint for r in member.restraints):
        other = assessment.deformed
        leads = assessment.solution if other is None else other.solution
        states = {s.title: s for s in secondary_states(leads)}
        for beam in member.restraints:
            if isinstance(beam, SecondaryBeam) and beam.joint:
                found.append(_of_beam(assessment, beam, states[beam.title]))
    return tuple(found)


def held(
    holder: Support | SecondaryBeam,
    spec: JointSpec,
    acting: Sequence[JointActions],
    turn: float,
    effects: tuple[TurnEffect, ...],
    worst: JointActions | None,
) -> HeldJoint:
    """One joint where it stands, shared under everything that acts on it."""
    detail = joint_detail(spec)
    shares, failures = [], []
    for actions in [*acting, *([worst] if worst is not None else [])]:
        try:
            shares.append(share(detail, actions))
        except (InputError, SolveError) as error:
            failures.append((actions.name, str(error)))
    last = next((s for s in shares if s.actions is worst), None)
    shares = [s for s in shares if s is not last]
    return HeldJoint(holder, spec, detail, tuple(shares), tuple(failures), turn, effects, last)


def _slack(assessment: Assessment, title: str) -> tuple[str, SupportReaction] | None:
    """Name of the worst state of clearances for a joint's couple, and all that it holds there."""
    found = assessment.clearance
    mine = [j for j in found.joints if j.title == title] if found is not None else []
    if not mine:
        return None
    (joint,) = mine[:1]
    c = joint.combination
    if abs(joint.worst[c]) <= (1 + _MORE) * float(np.abs(joint.centred).max()):
        return None
    return f"{assessment.solution.names[c]}, clearances at their worst", joint.concurrent


def at_end(
    name: str, force: Vector, moment: Vector, start: bool, detail: JointDetail, units: Units
) -> JointActions:
    """What the member's end puts on its joint: the reverse of the reaction, in the joint's axes.

    The joint's x runs from the support into the member: along z at the start, against it at the
    end; y is up, so that its z is -x of the member at the start and x at the end. The support
    stands at the bolts.
    """
    way = 1.0 if start else -1.0
    return _scaled(
        name,
        (-way * force[2], -force[1], way * force[0]),
        (-way * moment[2], -moment[1], way * moment[0]),
        detail,
        units,
    )


def _of_beam(assessment: Assessment, beam: SecondaryBeam, state: SecondaryState) -> HeldJoint:
    """A secondary beam's shear and end moment on its joint, and the turn that its end makes."""
    request = assessment.request
    spec = named_spec(request.joints, beam.joint)
    detail, units = joint_detail(spec), request.units
    acting = [
        at_beam(name, float(state.force[c]), float(state.moment[c]), beam, detail, units)
        for c, name in enumerate(assessment.solution.names)
    ]  # fmt: skip
    worst = None
    slack = _slack(assessment, beam.title)
    if slack is not None:
        name, all_of = slack
        worst = at_beam(name, all_of.force[1], all_of.moment[2], beam, detail, units)
    turn = float(np.abs(_turns(assessment, beam, state)).max())
    return held(beam, spec, acting, turn, effects_of(spec, beam, turn, units), worst)


def effects_of(
    spec: JointSpec, beam: SecondaryBeam, turn: float, units: Units
) -> tuple[TurnEffect, ...]:
    """What other details of the joint make of a turn, with the beam's own bending behind them."""
    behind = secondary_beam_stiffness(
        beam.elastic_modulus, beam.second_moment, beam.length, beam.far_end
    ) * units.factor("moment", "N*mm")
    return turn_effects(spec, turn, behind)


def _turns(
    assessment: Assessment, beam: SecondaryBeam, state: SecondaryState
) -> np.typing.NDArray[np.float64]:
    """(c,) turn of the member less that of the beam's end were it pinned: from the moment where
    the joint makes one, else from the classical movements."""
    solution = assessment.solution
    load = np.array([beam.load_of(c.factors) for c in solution.mesh.member.combined])
    v = solution.movement(beam.place, [beam.at])[1][0]
    phi = solution.states_at(np.array([beam.at]))[1][0, 5]
    free = np.array([beam.free_turn(float(w)) for w in load])
    turn = phi + beam.leverage * v - free
    if beam.stiffness > 0:
        made = -state.moment / beam.stiffness
        turn = np.where(state.moment != 0, made + np.sign(made) * beam.slip, turn)
    return np.asarray(turn)


def at_beam(
    name: str, force: float, moment: float, beam: SecondaryBeam, detail: JointDetail, units: Units
) -> JointActions:
    """A beam's upward force and moment on the member, on its joint."""
    return _scaled(name, (0.0, force, 0.0), (0.0, 0.0, beam.sign * moment), detail, units)


def _scaled(
    name: str, force: Vector, moment: Vector, detail: JointDetail, units: Units
) -> JointActions:
    """Actions at the bolts, from a member's units to N and N mm."""
    f, m = units.factor("force", "N"), units.factor("moment", "N*mm")
    x, y, z = (f * v for v in force)
    a, b, c = (m * v for v in moment)
    return JointActions.at_hinge(name, (x, y, z), (a, b, c), detail.hinge)
