"""From a member to its solution: mesh, elements, contacts, engagement, reactions, checks."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Literal

import numpy as np

from ....geometry.errors import InputError, SolveError
from ..model.member import Member
from ..review.remark import remarks
from .combining import column, first_order, second_order, without_play
from .contact import Contact
from .equilibrium import residual
from .factor import Factor, factorised
from .geometric import geometric_matrix
from .mesh import TAPER_PARTS, Mesh, mesh_of
from .preparation import active_contacts, combined_loading
from .solution import Solution
from .stability import (
    FLAG_ABOVE,
    REFUSE_ABOVE,
    CriticalLoad,
    critical_load,
    stability_notes,
    tightened,
)
from .support_reaction import reactions_of
from .system import system_of
from .twopoint import elements_of

# Loads and reactions must cancel to this share of their size, or the answer is not given.
BALANCE = 1e-10

# Elements per span for critical loads: their error falls with the fourth power, and is on the high
# side.
CRITICAL_PARTS = 16

#: Length of an element, by that over which warping dies out, from which its twist is nearly a line.
DIES_OUT = 2.0

# Elements per span for second-order answers: twist is then good to 1e-5, but what the second order
# adds to moments acts at nodes, so its share of M_x, M_y, T, B is good to about 3e-4 of that share.
SECOND_ORDER_PARTS = 64

# Elements of a whole member for either: supports side by side must not ask for more.
MOST_PARTS = 1000


def solve(
    member: Member,
    *,
    order: Literal["first", "second"] = "first",
    stations: Iterable[float] = (),
    taper_parts: int = TAPER_PARTS,
    longest: float = math.inf,
    like: Mesh | None = None,
) -> Solution:
    """Solve every combination of a member (every load case, if it has no combinations).

    Parameters
    ----------
    order : "first" or "second"
        Second order puts the internal forces of the first into equilibrium on the moved member,
        with loads at their height (linearised: once, without iterating on the forces), and refuses
        members at or above their critical load. First order says nothing about stability; see
        `with_critical_loads`.
    stations : positions
        Further nodes; results are exact at any station without them.
    taper_parts : int
        Pieces of a tapered segment.
    longest : float
        Longest element.
    like : Mesh, optional
        With the parts that every piece between stations is to have.

    Raises
    ------
    InputError
        A mechanism, or loads that uplift the member, in words.
    SolveError
        No trustworthy answer.
    """
    if not member.cases:
        raise InputError("the member carries no load; add one, or a self-weight")
    if order == "second":
        longest = min(longest, fine_length(member, SECOND_ORDER_PARTS))
    mesh = mesh_of(member, extra=stations, longest=longest, taper_parts=taper_parts, like=like)
    elements = elements_of(mesh)
    contacts, notes = active_contacts(mesh, elements)
    loading = combined_loading(mesh, elements)
    system = system_of(mesh, elements, contacts)

    engaged, states = first_order(mesh, system, loading)
    critical: tuple[CriticalLoad, ...] = ()
    tight = None
    bare = without_play(contacts)
    if bare is not None:
        bare_system = system_of(mesh, elements, bare)
        bare_engaged, tight = first_order(mesh, bare_system, loading)
        if order == "second":
            tight = second_order(bare_system, loading, bare_engaged, tight)[0]
    if order == "second":
        states, loading, critical = second_order(system, loading, engaged, states)
    balance = residual(mesh, elements, loading, contacts, states)
    if not float(balance.max()) < BALANCE:
        raise SolveError(
            f"combination {loading.names[int(balance.argmax())]!r}: loads and reactions miss "
            f"equilibrium by {balance.max():.1e} of their size; "
            "check for stiffnesses that are many orders of magnitude apart"
        )
    reactions = tuple(
        reactions_of(mesh, contacts, engaged[c], states.push[:, c])
        for c in range(len(loading.names))
    )
    return Solution(
        mesh,
        elements,
        loading,
        states,
        tuple(contacts),
        np.array(engaged, dtype=np.intp).reshape(len(loading.names), len(contacts)),
        loading.names,
        reactions,
        balance,
        order,
        (*notes, *remarks(member, engaged, contacts, states.push)),
        tight,
        critical,
    )


def with_contacts(solution: Solution, contacts: Sequence[Contact]) -> Solution:
    """The same member and loads with contacts changed in their clearances alone.

    Raises
    ------
    InputError, SolveError
        As `solve`.
    """
    mesh, elements = solution.mesh, solution.elements
    loading = combined_loading(mesh, elements)
    system = system_of(mesh, elements, contacts)
    engaged, states = first_order(mesh, system, loading)
    if solution.order == "second":
        states, loading, _ = second_order(system, loading, engaged, states)
    reactions = tuple(
        reactions_of(mesh, contacts, engaged[c], states.push[:, c])
        for c in range(len(loading.names))
    )
    return replace(
        solution,
        loading=loading,
        states=states,
        contacts=tuple(contacts),
        engaged=np.array(engaged, dtype=np.intp).reshape(len(loading.names), len(contacts)),
        reactions=reactions,
    )


def critical_loads(member: Member, *, parts: int = CRITICAL_PARTS) -> tuple[CriticalLoad, ...]:
    """Elastic critical load factor of every combination.

    `parts` elements are taken in the shortest span at least. Where sections do not warp, or their
    warping dies out within an element, twist is linear in an element and the factor's error falls
    with the square of its length: a second solve on half of it takes that error out (Richardson).
    """
    first = solve(member, longest=fine_length(member, parts))
    found = _critical(first)
    if twist_bends(first) or not any(math.isfinite(c.factor) for c in found):
        return found
    finer = _critical(solve(member, longest=fine_length(member, 2 * parts)))
    return tuple(
        replace(fine, factor=(4 * fine.factor - coarse.factor) / 3)
        if math.isfinite(fine.factor) and math.isfinite(coarse.factor)
        else fine
        for coarse, fine in zip(found, finer, strict=True)
    )


def twist_bends(first: Solution) -> bool:
    """Whether twist is no line in any element."""
    mesh = first.mesh
    rate = mesh.stiffness.rate[mesh.kind] * mesh.length
    return bool(first.elements.warps.all() and (rate < DIES_OUT).all())


def _critical(first: Solution) -> tuple[CriticalLoad, ...]:
    """Critical loads of every combination on the mesh of a first-order solution."""
    system = system_of(first.mesh, first.elements, first.contacts)
    known: dict[tuple[int, ...], Factor] = {}
    found = []
    for c, name in enumerate(first.names):
        engaged = tuple(first.engaged[c].tolist())
        state = tightened(engaged)
        if state not in known:
            known[state] = factorised(system, state)
        matrix = geometric_matrix(
            first.mesh,
            first.elements,
            first.loading.columns([c]),
            first.contacts,
            column(first.states, c),
        )
        found.append(critical_load(system, engaged, matrix, name, known[state]))
    return tuple(found)


def with_critical_loads(
    solution: Solution,
    *,
    flag_above: float = FLAG_ABOVE,
    refuse_above: float = REFUSE_ABOVE,
    parts: int = CRITICAL_PARTS,
) -> Solution:
    """The solution with its critical loads, and with what they say about it in its notes.

    Raises
    ------
    SolveError
        For a first-order answer above the share `refuse_above` of a critical load, or any answer at
        or above it.
    """
    critical = solution.critical or critical_loads(solution.mesh.member, parts=parts)
    notes = stability_notes(critical, solution.order, flag_above, refuse_above)
    return replace(solution, notes=(*solution.notes, *notes), critical=critical)


def fine_length(member: Member, parts: int) -> float:
    """Longest element that leaves so many parts in every span worth dividing.

    Two supports side by side make no span that buckles, yet would cut the whole member into tens of
    thousands of elements.
    """
    spans = member.spans or ((0.0, member.length),)
    return max(min(b - a for a, b in spans) / parts, member.length / MOST_PARTS)
