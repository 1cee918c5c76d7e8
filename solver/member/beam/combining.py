"""Answers of all combinations: one factorisation for each pattern of contacts that occurs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from ....geometry.errors import SolveError
from .contact import BOTH, Contact, shifts_of
from .engagement import engage
from .factor import Factor, factorised
from .geometric import geometric_matrix
from .loading import Loading
from .mesh import Mesh
from .stability import CriticalLoad, critical_load
from .system import States, System

Engaged = list[tuple[int, ...]]


def first_order(mesh: Mesh, system: System, loading: Loading) -> tuple[Engaged, States]:
    """Contact states and answers of every combination."""
    known: dict[tuple[int, ...], Factor] = {}

    def factor(state: tuple[int, ...]) -> Factor:
        if state not in known:
            known[state] = factorised(system, state)
        return known[state]

    count = len(loading.names)
    shift = shifts_of(system.contacts, count)
    if not any(c.one_sided for c in system.contacts):
        state = tuple(BOTH for _ in system.contacts)
        answer = factor(state).solve(loading.start, loading.end, loading.nodal, shift)
        return [state] * count, answer
    engaged, answers = [], []
    for c in range(count):
        one = loading.columns([c])
        loads = (one.start, one.end, one.nodal, shift[:, c : c + 1])

        def solver(state: tuple[int, ...], loads: Any = loads) -> States:
            return factor(state).solve(*loads)

        state, answer = engage(mesh, system, loading.names[c], solver, shift[:, c])
        engaged.append(state)
        answers.append(answer)
    return engaged, joined(answers)


def second_order(
    system: System, loading: Loading, engaged: Engaged, states: States
) -> tuple[States, Loading, tuple[CriticalLoad, ...]]:
    """Answers with the geometric matrix of the first-order forces, loads to which its nodal forces
    are added, and the critical loads; at or above one there is no answer."""
    mesh, elements = system.mesh, system.elements
    answers, critical = [], []
    extra = np.zeros_like(loading.nodal)
    shift = shifts_of(system.contacts, len(loading.names))
    for c, name in enumerate(loading.names):
        one = loading.columns([c])
        matrix = geometric_matrix(mesh, elements, one, system.contacts, column(states, c))
        critical.append(critical_load(system, engaged[c], matrix, name))
        if critical[-1].factor <= 1:
            raise SolveError(critical[-1].buckles)
        found = factorised(system, engaged[c], matrix).solve(
            one.start, one.end, one.nodal, shift[:, c : c + 1]
        )
        answers.append(found)
        extra[..., c] = -(matrix @ found.motion.reshape(-1, 1)).reshape(loading.nodal.shape[:2])
    return joined(answers), replace(loading, nodal=loading.nodal + extra), tuple(critical)


def without_play(contacts: Sequence[Contact]) -> list[Contact] | None:
    """The same contacts with their play taken out; None if there is none."""
    if not any(_plays(c) for c in contacts):
        return None
    return [replace(c, below=0.0, above=0.0) if _plays(c) else c for c in contacts]


def _plays(contact: Contact) -> bool:
    return 0 < contact.below < math.inf


def column(states: States, c: int) -> States:
    """The answer of one combination."""
    return States(*(getattr(states, word)[..., c : c + 1] for word in States.__slots__))


def joined(answers: Sequence[States]) -> States:
    """Answers of single combinations put side by side."""
    return States(
        *(np.concatenate([getattr(a, word) for a in answers], axis=-1) for word in States.__slots__)
    )
