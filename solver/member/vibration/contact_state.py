"""In which state contacts vibrate: bearings that only push stand shut, slip is open or taken up.

Vibration is a small motion about the state of rest. A bearing pressed by the permanent load follows
it both ways; a connection with slip holds only where the state of rest has taken its slip up.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from ..beam.contact import BOTH, OPEN, Contact
from ..beam.mechanism import check_held
from ..beam.mesh import Mesh

Array = NDArray[np.float64]


def states_of(mesh: Mesh, contacts: Sequence[Contact], *, slip_open: bool) -> tuple[int, ...]:
    """State of each contact.

    Raises
    ------
    InputError
        With slip open the member is a mechanism; names the motion.
    """
    state = tuple(OPEN if slip_open and _slips(c) else BOTH for c in contacts)
    if OPEN in state:
        check_held(mesh, contacts, state)
    return state


def contact_notes(contacts: Sequence[Contact], *, slip_open: bool) -> list[str]:
    """What was taken for granted, in words."""
    notes = []
    pushing = sum(c.one_sided and not _slips(c) for c in contacts)
    if pushing:
        notes.append(
            "bearings that only push are taken as shut both ways: the permanent load must press "
            "them more than the vibration lifts them"
        )
    if any(_slips(c) for c in contacts):
        notes.append(
            "connections with slip are taken as open: they hold nothing (--slip taken-up for the "
            "other state)"
            if slip_open
            else "connections with slip are taken as taken up, and hold both ways (--slip open for "
            "the other state, which is the softer one)"
        )
    return notes


def joined(
    contacts: Sequence[Contact], state: Sequence[int], rows: Mapping[int, tuple[int, Array]]
) -> tuple[dict[int, list[Array]], dict[int, Array]]:
    """Rows (n,) held rigidly, and energies (n, n) of springs, by node.

    Parameters
    ----------
    rows : mapping of contact number to (node, (n,))
    """
    held: dict[int, list[Array]] = {}
    springs: dict[int, Array] = {}
    for number, (node, row) in rows.items():
        contact = contacts[number]
        if state[number] == OPEN:
            continue
        if contact.softness > 0:
            springs[node] = springs.get(node, 0.0) + np.outer(row, row) / contact.softness
        else:
            held.setdefault(node, []).append(row)
    return held, springs


def _slips(contact: Contact) -> bool:
    return contact.below > 0
