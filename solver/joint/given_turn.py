"""What each detail of a joint makes of a turn that is given: slip, couple, bolt forces."""

from __future__ import annotations

import math
from dataclasses import dataclass

from .detail import JointDetail
from .joint_actions import JointActions
from .joint_spec import JointSpec
from .library import other_details
from .plain_stress import plain_stresses
from .sharing import JointShare, share

#: Of the roughest class of surface, EN 1993-1-8 Table 3.7 and AISC 360 J3.8 (from memory).
_MOST_FRICTION = 0.5


@dataclass(frozen=True, slots=True)
class TurnEffect:
    """One detail at a given turn between the arriving member and the support about z.

    Attributes
    ----------
    words : str
        What was changed.
    stiffness, slip : float
        Moment per angle (N mm) and angle either way, from the middle of the holes.
    moment : float or None
        Couple that the joint makes then (N mm); None where nothing in it gives way, or where it
        would slip, or a part pass its ultimate strength: an elastic figure means nothing there.
    bolt : float or None
        Largest resultant on a bolt from that couple alone (N).
    weld : float or None
        Largest stress in a weld from it alone (MPa).
    beyond : str
        "fails first" where a strength would be passed, "slips first" where preloaded bolts would
        need more friction than any class of surface gives, else "".
    """

    words: str
    stiffness: float
    slip: float
    moment: float | None
    bolt: float | None
    weld: float | None
    beyond: str = ""


def turn_effects(spec: JointSpec, turn: float, behind: float = math.inf) -> tuple[TurnEffect, ...]:
    """The joint as it stands and with other details, each at the same turn (radians).

    `behind` is the stiffness of what stands behind the joint and gives way with it, such as the
    arriving beam (N mm per radian).

    The turn is held as it is: a joint that pushes harder reduces the turn of a real member, which
    only solving the member again tells.

    Raises
    ------
    InputError
        Where the joint itself cannot be laid out.
    """
    return tuple(_effect(words, detail, abs(turn), behind) for words, detail in other_details(spec))


def _effect(words: str, detail: JointDetail, turn: float, behind: float) -> TurnEffect:
    stiffness, slip = detail.rotational_stiffness, detail.rotation_slip
    if stiffness <= 0:
        return TurnEffect(words, 0.0, slip, 0.0, 0.0, 0.0)
    both = 1 / (1 / stiffness + 1 / behind)
    if math.isinf(both):
        return TurnEffect(words, stiffness, slip, None, None, None)
    moment = both * max(turn - slip, 0.0)
    if moment <= 0:
        return TurnEffect(words, stiffness, slip, 0.0, 0.0, 0.0)
    acting = JointActions.at_hinge("turn", (0.0, 0.0, 0.0), (0.0, 0.0, moment), detail.hinge)
    found = share(detail, acting)
    beyond = _beyond(found)
    if beyond:
        return TurnEffect(words, stiffness, slip, None, None, None, beyond)
    return TurnEffect(words, stiffness, slip, moment, found.largest_bolt, found.largest_weld)


def _beyond(found: JointShare) -> str:
    """What ends the elastic figures, if anything does."""
    rows = plain_stresses(found)
    if any(not r.unit and r.stress > _MOST_FRICTION for r in rows):
        return "slips first"
    passed = any(r.strength is not None and r.stress > r.strength for r in rows)
    return "fails first" if passed else ""
