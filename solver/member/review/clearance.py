"""Clearances as an envelope: where a joint stands within its clearance nobody knows.

A joint that slips by s either way when it is centred may also bear at once, or go the whole way 2 s
before it bears. The worst twist comes when every joint goes the whole way; the worst torque at one
joint when it bears at once and all others go the whole way. A slip-critical (preloaded) joint does
not move until friction gives way: the member without clearance.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError, SolveError
from ..beam.analysis import with_contacts
from ..beam.combining import without_play
from ..beam.contact import TURNING, Contact
from ..beam.solution import Solution
from ..beam.support_reaction import SupportReaction
from ..deforming.reactions import reactions
from ..deforming.solution import DeformingSolution
from .brought import brought_by, with_beams

Array = NDArray[np.float64]

#: Joints that are tried one by one; of more, none bears alone.
MOST = 60

#: Stations at which the twist is looked for.
STATIONS = 101


@dataclass(frozen=True, slots=True, eq=False)
class JointClearance:
    """Torque of one joint with clearance; arrays are (c,).

    Attributes
    ----------
    title : str
    slip : float
        Angle either way when centred.
    lever_arm : float or None
    centred, worst, preloaded : torque with all joints centred; with this one bearing at once and
        the others slipping wholly (or where that is more, in another state); without slip
    combination : int
        Number of that with the largest worst torque.
    concurrent : SupportReaction
        All that the joint holds in that state under that combination.
    """

    title: str
    slip: float
    lever_arm: float | None
    centred: Array
    worst: Array
    preloaded: Array
    combination: int
    concurrent: SupportReaction


@dataclass(frozen=True, slots=True, eq=False)
class ClearanceEnvelope:
    """What clearances leave open.

    Attributes
    ----------
    names : tuple of str
        The combinations.
    joints : tuple of JointClearance
    centred, worst, preloaded : (c,)
        Largest twist with all joints centred, in the worst state, and without slip.
    unsolved : int
        States in which the member would be loose, or found no answer: they are left out.
    """

    names: tuple[str, ...]
    joints: tuple[JointClearance, ...]
    centred: Array
    worst: Array
    preloaded: Array
    unsolved: int


Leads = Solution | DeformingSolution
Answer = tuple[Array, Array]
"""Largest twist (c,) and contact forces (m, c)."""


def clearance_envelope(
    solution: Solution, deforming: DeformingSolution | None = None
) -> ClearanceEnvelope | None:
    """By the theory that leads; None where no joint has clearance."""
    leads = solution if deforming is None else deforming
    contacts = leads.contacts
    tight = without_play(contacts)
    slack = [n for n, c in enumerate(contacts) if c.freedom in TURNING and c.below > 0]
    if tight is None or not slack:
        return None
    solve = _solver(leads)
    # The tight member is one of the states: every joint bears at once.
    solved = [leads, solve(tight)]
    directions = np.sign(_answer(solved[1])[1])
    states = [_shifted(contacts, slack, directions, None)]
    if len(slack) <= MOST:
        states += [_shifted(contacts, slack, directions, n) for n in slack]
    unsolved = 0
    for state in states:
        try:
            solved.append(solve(state))
        except (InputError, SolveError):
            unsolved += 1
    answers = [_answer(one) for one in solved]
    twists = np.array([twist for twist, _ in answers])
    every = np.array([push for _, push in answers])
    centred, held = answers[0], answers[1]
    member = solution.mesh.member
    arms = {s.title: s.lever_arm for s in member.supports}
    joints = []
    for n in slack:
        owner, size = contacts[n].owner, np.abs(every[:, n])
        state_number, c = (int(k) for k in np.unravel_index(int(size.argmax()), size.shape))
        joints.append(
            JointClearance(
                owner,
                contacts[n].below,
                arms.get(owner),
                centred[1][n],
                _largest(every[:, n]),
                held[1][n],
                c,
                _holding(solved[state_number], owner, c),
            )
        )
    worst = twists.max(axis=0)
    return ClearanceEnvelope(leads.names, tuple(joints), centred[0], worst, held[0], unsolved)


def _shifted(
    contacts: Sequence[Contact],
    slack: Sequence[int],
    directions: Array,
    bears: int | None,
) -> list[Contact]:
    """All joints at the far end of their clearance, but for one that bears at once."""
    found = list(contacts)
    for n in slack:
        contact, way = contacts[n], directions[n] * contacts[n].below
        # Pushed up, it stands at the lower end: moving the range down lets it slip farther.
        own = np.array(contact.shift or np.zeros(len(way)))
        moved = own + (way if n == bears else -way)
        found[n] = replace(contact, shift=tuple(moved.tolist()))
    return found


def _solver(leads: Leads) -> Callable[[Sequence[Contact]], Leads]:
    if isinstance(leads, Solution):
        return lambda contacts: with_contacts(leads, contacts)
    again = leads.again
    assert again is not None
    return again


def _holding(leads: Leads, title: str, c: int) -> SupportReaction:
    """All that one joint holds, with what a secondary beam brings down."""
    if isinstance(leads, Solution):
        member, rows = leads.mesh.member, leads.reactions[c]
    else:
        member, rows = leads.member, reactions(leads, c)
    return next(r for r in with_beams(rows, brought_by(member), c) if r.title == title)


def _answer(leads: Leads) -> Answer:
    if isinstance(leads, Solution):
        twist = leads.diagram(count=STATIONS).phi
        return np.abs(twist).max(axis=0), leads.states.push
    z = np.linspace(0.0, leads.member.length, STATIONS)
    return np.abs(leads.twist(z)).max(axis=0), leads.push


def _largest(values: Array) -> Array:
    """(c,) of (states, c) that of largest size."""
    return np.asarray(values[np.abs(values).argmax(axis=0), np.arange(values.shape[1])])
