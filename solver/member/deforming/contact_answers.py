"""What a factorised member answers to its loads and to a unit force of each contact: all that is
needed to shut and open contacts, so that the factor, which takes most of the memory, may go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from types import SimpleNamespace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from ..beam.contact import BOTH, Contact, shifts_of
from ..beam.engagement import engage
from ..beam.mesh import Mesh
from .forces import Forces
from .press import Press
from .system import DeformingSystem

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """To c loads.

    Attributes
    ----------
    values : (k, n, c)
        At the nodes.
    coefficients : (e, p + 1, n, c)
        Of the elements' shape functions.
    missing : (k, n, c)
        Forces that something else exerts on the nodes, see `DeformingSystem.missing`.
    """

    values: Array
    coefficients: Array
    missing: Array

    def plus(self, more: Answer, factors: Array) -> Answer:
        """With factors (m, c) times the m of another."""
        return Answer(
            self.values + more.values @ factors,
            self.coefficients + more.coefficients @ factors,
            self.missing + more.missing @ factors,
        )


@dataclass(frozen=True, slots=True, eq=False)
class Answers:
    """Of a pressed member to its loads, and to a unit force of each of m contacts.

    Attributes
    ----------
    bare : Answer
    pushed : Answer or None
        None where there are no contacts.
    rows : (m, k n)
        Directions of the contacts.
    press : (m,)
        Springs that press them.
    ends : (e, 2) int
        Nodes of the elements.
    """

    bare: Answer
    pushed: Answer | None
    rows: Array
    press: Array
    ends: NDArray[np.intp]


def answers_of(system: DeformingSystem, forces: Forces) -> Answers:
    """Solve for all loads and contacts."""
    m, c = len(system.rows), forces.nodal.shape[-1]
    # Both at once: a solve passes every node, for many right sides as for few.
    solved = system.solve(forces.nodal, forces.inner, forces.given, pushed=True)
    values, pushed = solved[..., :c], solved[..., c:]
    bare = Answer(
        values,
        system.whole(values, forces.inner),
        system.missing(values, forces.nodal, forces.inner),
    )
    if not m:
        return Answers(bare, None, system.rows, system.press, system.ends)
    none = np.zeros((*forces.inner.shape[:2], m))
    alone = Answer(pushed, system.whole(pushed, none), system.matrix.applied(pushed))
    return Answers(bare, alone, system.rows, system.press, system.ends)


def engaged(
    answers: Answers, contacts: Sequence[Contact], numbers: Sequence[int], mesh: Mesh, names: Any
) -> tuple[Answer, NDArray[np.intp], Array]:
    """The answer with contacts shut and open as each combination has them, their states (c, all)
    and forces (all, c); `numbers` are those of the contacts that are no rigid holds."""
    bare, pushed = answers.bare, answers.pushed
    k, n, c = bare.values.shape
    states = np.full((c, len(contacts)), BOTH, np.intp)
    push = np.zeros((len(contacts), c))
    if pushed is None:
        return bare, states, push
    flexible = answers.rows @ pushed.values.reshape(k * n, -1)
    press = Press(tuple(contacts[i] for i in numbers), flexible, answers.press)
    seen = answers.rows @ bare.values.reshape(k * n, -1)
    factors = np.zeros((len(numbers), c))
    shift = shifts_of(contacts, c)
    shim: Any = SimpleNamespace(
        contacts=tuple(contacts),
        holds=np.eye(len(contacts)),
        twist_per_torque=float(mesh.member.length / mesh.stiffness.torsion.mean()),
    )
    for j in range(c):
        kept: dict[tuple[int, ...], Array] = {}

        def answer(state: tuple[int, ...], j: int = j, kept: Any = kept) -> Any:
            own_state = [state[i] for i in numbers]
            s, d, r = press.answer(seen[:, j : j + 1], own_state, shift[numbers, j])
            motion, force = np.zeros((2, len(contacts), 1))
            motion[numbers], force[numbers] = d, r
            kept[state] = s
            return SimpleNamespace(push=force, motion=motion)

        state, found = engage(mesh, shim, names[j], answer, shift[:, j])
        states[j] = state
        push[:, j] = found.push[:, 0]
        factors[:, j] = kept[tuple(state)][:, 0]
    whole = bare.plus(pushed, factors)
    if not np.isfinite(whole.values).all():
        raise SolveError("the deforming member has no finite answer; check what holds it")
    return whole, states, push
