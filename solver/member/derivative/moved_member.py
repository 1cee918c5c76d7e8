"""A solved member moved to first order with a number of its file.

Its equations are A x = b (see `beam.system`), both depending on the number p: with the residual
r(p) = A(p) x - b(p) of the solution x that is known,

    A x' = - r'(0).

Only the residual is differenced, of matrices that are exact at every p; A is factorised once, for
all numbers. One pair of triangular solutions a number then gives the derivative of everything the
member does at once, where the transposed equations would take one for each result: what is asked of
the member is asked of x + p x' at p, by the functions that read it always.

In second order the matrix holds what the first-order forces do (`beam.geometric`), and these move
too: the same twice over.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import SolveError
from ...section.derivative.difference import STEPS, derivative
from ..beam.contact import OPEN, Contact, shifts_of
from ..beam.factor import Factor, factorised
from ..beam.geometric import geometric_matrix
from ..beam.loading import Loading
from ..beam.mesh import Mesh, mesh_of
from ..beam.preparation import active_contacts, combined_loading
from ..beam.solution import Solution
from ..beam.support_reaction import reactions_of
from ..beam.system import States, System, system_of
from ..beam.twopoint import Elements, elements_of
from ..model.member import Member

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Posed:
    """The equations of a member without their solution."""

    mesh: Mesh
    elements: Elements
    contacts: tuple[Contact, ...]
    loading: Loading
    system: System

    @classmethod
    def like(cls, member: Member, other: Mesh) -> Posed:
        """Of a member whose numbers differ a little from those of another's mesh.

        Raises
        ------
        SolveError
            Stations, contacts or kinds of elements differ: no derivative exists there.
        """
        mesh = mesh_of(member, like=other)
        elements = elements_of(mesh)
        contacts = tuple(active_contacts(mesh, elements)[0])
        loading = combined_loading(mesh, elements)
        return cls(mesh, elements, contacts, loading, system_of(mesh, elements, contacts))

    @cached_property
    def _matrices(self) -> dict[tuple[int, ...], Any]:
        return {}

    def matrix(self, engaged: tuple[int, ...], geometric: Any = None) -> Any:
        """See `System.matrix`; the first order's is that of all who shut the same contacts."""
        if geometric is not None:
            return self.system.matrix(engaged, geometric)
        if engaged not in self._matrices:
            self._matrices[engaged] = self.system.matrix(engaged)
        return self._matrices[engaged]

    def right(self, engaged: Sequence[int], c: int) -> Array:
        """(rows + m, 1) right-hand side of a combination."""
        own = self.loading.columns([c])
        shift = shifts_of(self.contacts, len(self.loading.names))[:, c : c + 1]
        return self.system.right(engaged, own.start, own.end, own.nodal, shift)

    def geometric(self, c: int, states: States) -> Any:
        """(7k, 7k) what the forces of a combination do in second order."""
        own = self.loading.columns([c])
        return geometric_matrix(self.mesh, self.elements, own, self.contacts, states)

    def collected(self, c: int, unknowns: Array, geometric: Any = None) -> States:
        """States of a combination from its unknowns (n, 1)."""
        return self.system.collected(unknowns, self.loading.nodal[..., c : c + 1], geometric)


@dataclass(frozen=True, eq=False)
class FactoredMember:
    """A solved member with its equations factorised, for the derivatives to all numbers.

    Attributes
    ----------
    solution : Solution
    posed : Posed
        Its own equations.
    """

    solution: Solution
    posed: Posed

    @classmethod
    def of(cls, solution: Solution) -> FactoredMember:
        """A solved member made ready."""
        mesh, elements, contacts = solution.mesh, solution.elements, solution.contacts
        loading = combined_loading(mesh, elements)
        system = system_of(mesh, elements, contacts)
        return cls(solution, Posed(mesh, elements, contacts, loading, system))

    def engaged(self, c: int) -> tuple[int, ...]:
        """State of each contact in a combination."""
        return tuple(self.solution.engaged[c].tolist())

    @cached_property
    def _patterns(self) -> dict[tuple[int, ...], Factor]:
        return {}

    def factor(self, state: tuple[int, ...]) -> Factor:
        """Of the first order, with the given state of each contact."""
        if state not in self._patterns:
            self._patterns[state] = factorised(self.posed.system, state)
        return self._patterns[state]

    @cached_property
    def first(self) -> list[Array]:
        """Unknowns (n, 1) of the first order, by combination."""
        states = [self.engaged(c) for c in range(len(self.solution.names))]
        return [self.factor(s).unknowns(self.posed.right(s, c)) for c, s in enumerate(states)]

    @cached_property
    def second(self) -> list[tuple[Factor, Array]]:
        """Factors and unknowns of the second order, by combination."""
        found = []
        for c, unknowns in enumerate(self.first):
            matrix = self.posed.geometric(c, self.posed.collected(c, unknowns))
            factor = factorised(self.posed.system, self.engaged(c), matrix)
            found.append((factor, factor.unknowns(self.posed.right(self.engaged(c), c))))
        return found

    def stretch(self, member: Member) -> float:
        """The largest relative change of an element's length in a member beside this one."""
        return stretch(self.solution.mesh, mesh_of(member, like=self.solution.mesh))

    def moved(self, members: Sequence[Member], step: float) -> MovedMember:
        """The member moved with a number.

        Parameters
        ----------
        members : sequence of Member
            With the number changed by `difference.STEPS` times the step.
        step : float

        Raises
        ------
        SolveError
            The number makes or unmakes a node, a contact or a kind of element.
        """
        posed = [Posed.like(member, self.solution.mesh) for member in members]
        for one in posed:
            _check_alike(self.posed, one)
        names = range(len(self.solution.names))
        first = [
            self._rate(self.factor(self.engaged(c)), posed, c, self.first[c], [None] * 4, step)
            for c in names
        ]
        moved = MovedMember(self, tuple(posed), step, tuple(first), ())
        if self.solution.order == "first":
            return moved
        second = []
        for c in names:
            factor, unknowns = self.second[c]
            matrices = tuple(moved.geometric(c, n) for n in range(len(STEPS)))
            second.append((matrices, self._rate(factor, posed, c, unknowns, matrices, step)))
        return replace(moved, second=tuple(second))

    def _rate(
        self,
        factor: Factor,
        posed: Sequence[Posed],
        c: int,
        unknowns: Array,
        geometric: Sequence[Any],
        step: float,
    ) -> Array:
        """x' (n, 1) of a combination."""
        state = self.engaged(c)
        residuals = [
            one.matrix(state, matrix) @ unknowns - one.right(state, c)
            for one, matrix in zip(posed, geometric, strict=True)
        ]
        return factor.unknowns(-derivative(residuals, step))


@dataclass(frozen=True, slots=True, eq=False)
class MovedMember:
    """What a number does to a solved member.

    Attributes
    ----------
    base : FactoredMember
    posed : tuple of Posed
        With the number changed by `difference.STEPS` times the step.
    step : float
    first : tuple of (n, 1)
        x' of the first order by combination.
    second : tuple of (matrices, (n, 1))
        `geometric` at every step and x' of the second order; empty where the first was asked for.
    """

    base: FactoredMember
    posed: tuple[Posed, ...]
    step: float
    first: tuple[Array, ...]
    second: tuple[tuple[tuple[Any, ...], Array], ...]

    def states(self, c: int, n: int) -> States:
        """First-order states of a combination at a step, to first order in it."""
        return self.posed[n].collected(c, self._at(self.base.first[c], self.first[c], n))

    def geometric(self, c: int, n: int) -> Any:
        """(7k, 7k) what they do in second order."""
        return self.posed[n].geometric(c, self.states(c, n))

    def _at(self, unknowns: Array, rate: Array, n: int) -> Array:
        return unknowns + STEPS[n] * self.step * rate

    def solutions(self) -> tuple[Solution, ...]:
        """The member's answers at every step, to first order in it: what is read from them
        differs by its derivative."""
        return tuple(self._solution(n) for n in range(len(STEPS)))

    def _solution(self, n: int) -> Solution:
        posed, base = self.posed[n], self.base.solution
        each = []
        for c in range(len(base.names)):
            if self.second:
                matrices, rate = self.second[c]
                unknowns = self._at(self.base.second[c][1], rate, n)
                each.append(posed.collected(c, unknowns, matrices[n]))
            else:
                each.append(self.states(c, n))
        states = States(
            *(np.concatenate([getattr(s, w) for s in each], axis=-1) for w in States.__slots__)
        )
        reactions = tuple(
            reactions_of(posed.mesh, posed.contacts, base.engaged[c], states.push[:, c])
            for c in range(len(base.names))
        )
        return replace(
            base, mesh=posed.mesh, elements=posed.elements, loading=posed.loading, states=states,
            contacts=posed.contacts, reactions=reactions, without_play=None, critical=(),
        )  # fmt: skip


def stretch(one: Mesh, other: Mesh) -> float:
    """The largest relative change of an element's length from one mesh to another like it."""
    some = one.length > 0
    return float((np.abs(other.length[some] / one.length[some] - 1)).max())


def _check_alike(one: Posed, other: Posed) -> None:
    """Whether equations stand for the same things row by row."""
    elements, others = one.elements, other.elements
    kinds = [c.freedom for c in one.contacts], [c.freedom for c in other.contacts]
    nodes = [c.node for c in one.contacts], [c.node for c in other.contacts]
    if (
        kinds[0] != kinds[1]
        or nodes[0] != nodes[1]
        or one.loading.names != other.loading.names
        or not np.array_equal(elements.kinds, others.kinds)
        or not np.array_equal(one.mesh.joint, other.mesh.joint)
    ):
        raise SolveError("the member's parts or their kinds differ beside the file's value")


def touching(solution: Solution) -> list[str]:
    """Owners of one-sided contacts that are about to open or close: what moves there has another
    derivative to either side."""
    found = []
    for c, name in enumerate(solution.names):
        push = solution.states.push[:, c]
        size = float(np.abs(push).max(initial=0.0))
        for n, contact in enumerate(solution.contacts):
            shut = solution.engaged[c][n] != OPEN
            if contact.one_sided and shut and abs(push[n]) < _TOUCHING * size:
                found.append(f"{contact.owner} ({name})")
    return list(dict.fromkeys(found))


#: A contact that carries less than this share of the largest one is about to open.
_TOUCHING = 1e-6
