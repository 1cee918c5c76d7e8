"""Joints with play, and bearings that only push, from one stage to the next.

What has been taken up stays taken up as long as the movement goes on; what is left of a play may
still be. Where a joint turns back, or a bearing lifts, the history would have to be followed load
by load: that is refused, in words.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from ....geometry.errors import SolveError
from ..beam.support_reaction import SupportReaction
from ..model.member import Member
from ..model.restraint import TwistSpring
from ..model.secondary_beam import SecondaryBeam

#: Share of a play by which rounding may miss it.
_TAKEN = 1e-6

Turned = Callable[[str, float], float]
"""Turn of a joint by its title and station since it was made: the member's twist, or what a
secondary beam's connection turns against the end of its beam."""

Slipping = TwistSpring | SecondaryBeam


def has_play(member: Member) -> bool:
    """Whether any joint has play or any bearing may lift."""
    return any(
        s.twist_slip > 0 or any(not b.holds_down for b in s.bearings) for s in member.supports
    ) or any(isinstance(r, Slipping) and r.slip > 0 for r in member.restraints)


def settled(member: Member, stood: Sequence[str], turned: Turned) -> Member:
    """The member for a further stage: of those joints that stood before, what play is left."""
    supports = tuple(
        s
        if s.title not in stood
        else s.with_(
            twist_slip=_left(s.twist_slip, turned(s.title, s.at)),
            bearings=tuple(replace(b, holds_down=True) for b in s.bearings),
        )
        for s in member.supports
    )
    restraints = tuple(
        replace(r, slip=_left(r.slip, turned(r.title, r.at)))
        if isinstance(r, Slipping) and r.title in stood
        else r
        for r in member.restraints
    )
    return member.with_(supports=supports, restraints=restraints)


def check_settled(
    member: Member,
    stood: Sequence[str],
    before: Turned,
    after: Turned,
    held: Sequence[SupportReaction],
    where: str,
) -> None:
    """What `settled` took for granted, once the stage is solved.

    Parameters
    ----------
    member : Member
        As it is described, with its whole plays.
    before, after : functions
        Turn since each joint was made, before and after this stage.
    held : sequence of SupportReaction
        Totals of all stages so far.
    where : str
        Stage and combination.

    Raises
    ------
    SolveError
        A joint that turns back, a bearing that lifts.
    """
    plays = [(s.title, s.at, s.twist_slip) for s in member.supports]
    plays += [(r.title, r.at, r.slip) for r in member.restraints if isinstance(r, Slipping)]
    for title, at, slip in plays:
        if title not in stood or slip <= 0:
            continue
        old, new = before(title, at), after(title, at)
        taken = abs(old) >= slip * (1 - _TAKEN)
        torque = sum(r.moment[2] for r in held if r.title == title)
        # What is borne pushes against the twist: a torque of its sign would have to pull.
        if (old * new < 0 and abs(new - old) > _TAKEN * slip) or (taken and torque * old > 0):
            raise SolveError(
                f"{where}: {title} turns back, so that its play opens again; stages follow a play "
                "that is taken up once: give this joint no clearance, or judge this stage alone"
            )
    pushing = {(s.title, b.x): b for s in member.supports for b in s.bearings if not b.holds_down}
    for r in held:
        for bearing in r.bearings:
            if (r.title, bearing.x) in pushing and (bearing.lifted or bearing.force < 0):
                raise SolveError(
                    f"{where}: the bearing of {r.title} at x = {bearing.x:g} lifts "
                    f"({bearing.force:.4g}); hold it down (holds_down = true), or judge this stage "
                    "alone"
                )


def _left(slip: float, turned: float) -> float:
    left = slip - abs(turned)
    return left if left > _TAKEN * slip else 0.0
