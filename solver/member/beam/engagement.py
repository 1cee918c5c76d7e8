"""Which contacts are engaged: play taken up, bearings lifted, found by trying and mending.

Starting from all contacts tight, a contact that pulls where it can only push is opened, and one
that has moved beyond its play is closed, until none is left to mend. All at once at first; if that
wanders, one at a time, which ends for the symmetric positive systems that springs and beams make
(Murty's rule). Where that leads to members that nothing holds, few states are tried one by one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import chain, product

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError, SolveError
from .contact import ABOVE, BELOW, BOTH, OPEN, TURNING, Contact
from .mechanism import missing_holds
from .mesh import Mesh
from .system import States, System

Array = NDArray[np.float64]

# Forces and movements below this share of the largest count as none.
NONE = 1e-9

# Twist by the torques at hand, as a share of the play, below which there is no torque to speak of.
IDLE = 1e-10

# Rounds of mending all at once, and then one at a time per contact.
TOGETHER, SINGLE = 12, 20

# States of all contacts that are looked at one by one before a member is said to be loose.
SOUGHT = 256


def engage(
    mesh: Mesh,
    system: System,
    name: str,
    solve: Callable[[tuple[int, ...]], States],
    shift: Array | None = None,
) -> tuple[tuple[int, ...], States]:
    """States of the contacts, and the answer, for one combination.

    Parameters
    ----------
    name : str
        Combination, for messages.
    solve : function
        Solves with given states of the contacts; may remember what it has factorised.
    shift : (m,), optional
        Movement at which each contact carries nothing.
    """
    contacts = system.contacts
    state = tuple(BOTH for _ in contacts)
    answer = solve(state)
    if not any(c.one_sided for c in contacts):
        return state, answer
    rounds = TOGETHER + SINGLE * len(contacts)
    visited = {state}
    for turn in range(rounds):
        wanted = _mended(contacts, state, answer, system, shift)
        changes = [n for n, (a, b) in enumerate(zip(state, wanted, strict=True)) if a != b]
        if not changes:
            return state, answer
        # All at once if that keeps the member held; else the first change alone that does.
        steps = [changes] if turn < TOGETHER else []
        trials = [_changed(state, wanted, step) for step in (*steps, *([n] for n in changes))]
        # What leaves one end of its play turns freely until it, or another, meets an end.
        met = (t for t in _met_ends(contacts, trials) if t not in visited)
        tried = (t for t in chain(trials, met) if not missing_holds(mesh, contacts, t))
        held = next(tried, None)
        if held is None:
            found = _sought(mesh, system, solve, shift)
            if found is None:
                raise InputError(_loose_words(mesh, contacts, trials[0], name))
            return found
        state = held
        visited.add(state)
        answer = solve(state)
    raise SolveError(
        f"combination {name!r}: which bearings uplift and which slip is taken up could not be "
        f"settled in {rounds} rounds; solve with holds_down or without slip for the linear answer"
    )


def _sought(
    mesh: Mesh, system: System, solve: Callable[[tuple[int, ...]], States], shift: Array | None
) -> tuple[tuple[int, ...], States] | None:
    """The state that asks for no other, among all that keep the member held, where they are few:
    every way to it may lead over states that do not."""
    contacts = system.contacts
    choices = [
        (BOTH,) if not c.one_sided else (BELOW, OPEN) if np.isinf(c.above) else (OPEN, BELOW, ABOVE)
        for c in contacts
    ]
    if math.prod(len(c) for c in choices) > SOUGHT:
        return None
    for state in product(*choices):
        if missing_holds(mesh, contacts, state):
            continue
        answer = solve(state)
        if _mended(contacts, state, answer, system, shift) == state:
            return state, answer
    return None


def _mended(
    contacts: Sequence[Contact],
    state: Sequence[int],
    answer: States,
    system: System,
    shift: Array | None,
) -> tuple[int, ...]:
    """States that the answer asks for."""
    push = answer.push[:, 0]
    seen = np.asarray(system.holds.T @ answer.motion.reshape(-1, answer.motion.shape[-1]))[:, 0]
    if shift is not None:
        seen = seen - shift
    wanted = []
    for n, (contact, now) in enumerate(zip(contacts, state, strict=True)):
        if not contact.one_sided:
            wanted.append(BOTH)
            continue
        alike = [m for m, c in enumerate(contacts) if _kind(c) == _kind(contact)]
        least_push = NONE * max(np.abs(push[alike]).max(), 1e-300)
        if contact.freedom in TURNING:
            # A torque that would not turn the member by a trace of its play is none.
            least_push = max(least_push, IDLE * contact.below / system.twist_per_torque)
        least_move = NONE * max(np.abs(seen[alike]).max(), contact.below, 1e-300)
        wanted.append(_next(contact, now, push[n], seen[n], least_push, least_move))
    return tuple(wanted)


def _next(c: Contact, now: int, push: float, seen: float, least: float, near: float) -> int:
    if now == OPEN:
        if seen < -c.below - near:
            return BELOW
        return ABOVE if seen > c.above + near else OPEN
    if push > least:
        # Pushed up or along +c: it stands at the lower end of its play.
        return BELOW if now in (BOTH, BELOW) else OPEN
    if push < -least:
        if now == BELOW or not np.isfinite(c.above):
            return OPEN
        return ABOVE
    return now


def _met_ends(
    contacts: Sequence[Contact], trials: Sequence[tuple[int, ...]]
) -> Iterator[tuple[int, ...]]:
    """The trials with one open play that has two ends closed at either of them."""
    for trial in trials:
        for n, contact in enumerate(contacts):
            if trial[n] == OPEN and np.isfinite(contact.above) and np.isfinite(contact.below):
                for end in (ABOVE, BELOW):
                    yield (*trial[:n], end, *trial[n + 1 :])


def _kind(contact: Contact) -> str:
    return "turn" if contact.freedom in TURNING else "push"


def _changed(state: Sequence[int], wanted: Sequence[int], which: Sequence[int]) -> tuple[int, ...]:
    return tuple(wanted[n] if n in which else s for n, s in enumerate(state))


def _loose_words(mesh: Mesh, contacts: Sequence[Contact], state: Sequence[int], name: str) -> str:
    off = [f"{c.freedom} of {c.owner}" for c, s in zip(contacts, state, strict=True) if s == OPEN]
    missing = missing_holds(mesh, contacts, state)
    turn = "roll over" if {"twist", "tip"} & set(missing) else "become a mechanism"
    return (
        f"combination {name!r}: the member would {turn}, because {' and '.join(off)} would uplift "
        "or hang free; widen the bearings, hold them down, or hold the twist elsewhere"
    )
