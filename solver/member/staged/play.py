"""Joints with play, and bearings that only push, from one stage to the next.

What such a joint holds follows from all that it has turned, whatever the way there: a stage is
solved with the joint's turn so far as its start, and with what it held before as a load, so that
what it then holds is the whole. It may turn back, cross its play and bear on the other side.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from ..beam.support_reaction import SupportReaction
from ..model.load import Load, PointLoad
from ..model.member import Member
from ..model.restraint import TwistSpring
from ..model.secondary_beam import SecondaryBeam

Slipping = TwistSpring | SecondaryBeam


@dataclass(frozen=True, slots=True)
class JointState:
    """What a joint has turned and holds before a stage.

    Attributes
    ----------
    turned : float
        The member's twist there since the joint was made, or what a secondary beam's connection
        has turned against the end of its beam.
    held : SupportReaction or None
    moved : tuple of float
        How far up the member stands over each bearing; negative where it presses.
    places : tuple of (x, y)
        Where each bearing touches the section.
    """

    turned: float
    held: SupportReaction | None = None
    moved: tuple[float, ...] = ()
    places: tuple[tuple[float, float], ...] = ()


States = Mapping[str, JointState]


def has_play(member: Member) -> bool:
    """Whether any joint has play or any bearing may lift."""
    return any(
        s.twist_slip > 0 or any(not b.holds_down for b in s.bearings) for s in member.supports
    ) or any(isinstance(r, Slipping) and r.slip > 0 for r in member.restraints)


def continued(member: Member, states: States, case: str) -> Member:
    """The member for a further stage under one combination.

    Parameters
    ----------
    member : Member
        With its own loads, of which none is of `case`.
    states : mapping of titles
        Of the joints that stood before.
    case : str
        Load case of what they held.
    """
    supports, loads = [], list[Load]()
    for support in member.supports:
        state = states.get(support.title)
        if state is None:
            supports.append(support)
            continue
        if support.twist_slip > 0:
            loads += _twisting(support.title, support.at, state, case)
        bearings = support.bearings
        if bearings and state.moved:
            bearings = tuple(
                b if b.holds_down else replace(b, moved=m)
                for b, m in zip(bearings, state.moved, strict=True)
            )
            loads += _pressing(support.title, support.at, bearings, state, case)
        turned = state.turned if support.twist_slip > 0 else 0.0
        supports.append(support.with_(turned=turned, bearings=bearings))
    restraints = []
    for item in member.restraints:
        state = states.get(item.title)
        if state is None or not isinstance(item, Slipping) or item.slip <= 0:
            restraints.append(item)
            continue
        loads += _twisting(item.title, item.at, state, case, item)
        restraints.append(replace(item, turned=state.turned))
    return member.with_(
        supports=tuple(supports), restraints=tuple(restraints), loads=(*member.loads, *loads)
    )


def added(member: Member, reaction: SupportReaction, states: States) -> SupportReaction:
    """What a stage adds to a reaction whose joints with play were solved as a whole.

    Parameters
    ----------
    member : Member
        As `continued` made it.
    """
    state = states.get(reaction.title)
    if state is None or state.held is None:
        return reaction
    support = next((s for s in member.supports if s.title == reaction.title), None)
    beam = next((r for r in member.restraints if r.title == reaction.title), None)
    push, torque = 0.0, 0.0
    bearings = reaction.bearings
    if support is not None and support.twist_slip > 0:
        torque = state.held.moment[2]
    elif isinstance(beam, Slipping) and beam.slip > 0:
        torque = state.held.moment[2]
        push = torque * beam.leverage if isinstance(beam, SecondaryBeam) else 0.0
    elif support is not None and any(not b.holds_down for b in support.bearings):
        made = []
        for bearing, now, before in zip(
            support.bearings, reaction.bearings, state.held.bearings, strict=True
        ):
            force = 0.0 if bearing.holds_down else before.force
            push += force
            torque += (bearing.x - reaction.point[0]) * force
            made.append(replace(now, force=now.force - force))
        bearings = tuple(made)
    f, m = reaction.force, reaction.moment
    arm = reaction.point[0] - member.section_at(reaction.at).shear_centre[0]
    less = torque + arm * push
    lever = abs(reaction.torque) / reaction.couple if reaction.couple else None
    whole = reaction.torque - less
    return replace(
        reaction,
        force=(f[0], f[1] - push, f[2]),
        moment=(m[0], m[1], m[2] - torque),
        torque=whole,
        couple=abs(whole) / lever if lever else reaction.couple,
        bearings=bearings,
    )


def _twisting(
    title: str, at: float, state: JointState, case: str, item: object = None
) -> list[Load]:
    """The reverse of the torque that a joint held, and of the push its beam held with it."""
    if state.held is None or not state.held.moment[2]:
        return []
    torque = state.held.moment[2]
    push = torque * item.leverage if isinstance(item, SecondaryBeam) else 0.0
    place = state.held.point
    return [
        PointLoad(
            at, (0.0, -push, 0.0), place, (0.0, 0.0, -torque), case=case, name=f"{title} so far"
        )
    ]


def _pressing(
    title: str, at: float, bearings: tuple[object, ...], state: JointState, case: str
) -> list[Load]:
    """The reverse of what bearings that only push held, at their places."""
    assert state.held is not None
    return [
        PointLoad(
            at,
            (0.0, -now.force, 0.0),
            place,
            case=case,
            name=f"{title} so far",
        )
        for bearing, now, place in zip(bearings, state.held.bearings, state.places, strict=True)
        if not getattr(bearing, "holds_down", True) and now.force
    ]
