"""From a member to its solution: mesh, elements, contacts, one factorisation, engagement, checks."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from ...geometry.errors import InputError, SolveError
from .contact import Contact, contacts_of, deflection_row, support_point
from .engagement import engage
from .equilibrium import residual
from .geometric import geometric_matrix
from .loading import Loading, loading_of
from .mechanism import check_held
from .mesh import TAPER_PARTS, Mesh, mesh_of
from .model import Member
from .reaction import reactions_of
from .solution import Solution
from .stability import FLAG_ABOVE, REFUSE_ABOVE, CriticalLoad, critical_load
from .system import Factor, States, System, system_of, warping_nodes
from .twopoint import Elements, elements_of

Array = NDArray[np.float64]

# Loads and reactions must cancel to this share of their size, or the answer is not given.
BALANCE = 1e-10

# Elements per span for second-order terms: their error falls with the fourth power.
SECOND_ORDER_PARTS = 16


def solve(
    member: Member,
    *,
    order: Literal["first", "second"] = "first",
    stations: Iterable[float] = (),
    taper_parts: int = TAPER_PARTS,
    longest: float = math.inf,
) -> Solution:
    """Solve every combination of a member (every load case, if it has no combinations).

    Parameters
    ----------
    order : "first" or "second"
        Second order puts the internal forces of the first into equilibrium on the moved member, with loads at their
        height (linearised: once, without iterating on the forces). It says nothing about stability by itself: see
        `critical_loads` and `judged`.
    stations : positions
        Further nodes; results are exact at any station without them.
    taper_parts : int
        Pieces of a tapered stretch.
    longest : float
        Longest element.

    Raises
    ------
    InputError
        A mechanism, or loads that lift the member off, in words.
    SolveError
        No trustworthy answer.
    """
    if not member.loads:
        raise InputError("the member carries no load; add one, or a self-weight")
    if order == "second":
        longest = min(longest, _fine(member))
    mesh = mesh_of(member, extra=stations, longest=longest, taper_parts=taper_parts)
    elements = elements_of(mesh)
    contacts, notes = _contacts(mesh, elements)
    loading = _combined(mesh, elements)
    system = system_of(mesh, elements, contacts)

    engaged, states = _solved(mesh, system, loading)
    tight = None
    if any(0 < min(c.below, c.above) < math.inf for c in contacts):
        bare = [_without_play(c) for c in contacts]
        tight = _solved(mesh, system_of(mesh, elements, bare), loading)[1]
    if order == "second":
        states, loading = _second_order(system, elements, loading, engaged, states)
        tight = None
    balance = residual(mesh, elements, loading, contacts, states)
    worst = float(balance.max())
    if not worst < BALANCE:
        name = loading.names[int(balance.argmax())]
        raise SolveError(
            f"combination {name!r}: loads and reactions miss equilibrium by {worst:.1e} of their size; "
            "check for stiffnesses that are many orders of magnitude apart"
        )
    reactions = tuple(
        reactions_of(mesh, contacts, engaged[c], states.push[:, c]) for c in range(len(loading.names))
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
        (*notes, *_remarks(member, engaged, contacts)),
        tight,
    )


def critical_loads(member: Member, *, parts: int = SECOND_ORDER_PARTS) -> tuple[CriticalLoad, ...]:
    """Elastic critical load factor of every combination, with `parts` elements in the shortest span at least."""
    first = solve(member, longest=_fine(member, parts))
    system = system_of(first.mesh, first.elements, first.contacts)
    found = []
    for c, name in enumerate(first.names):
        engaged = tuple(int(s) for s in first.engaged[c])
        matrix = geometric_matrix(
            first.mesh,
            first.elements,
            first.loading.columns([c]),
            first.contacts,
            _column(first.states, c),
        )
        found.append(critical_load(system, engaged, matrix, name))
    return tuple(found)


def judged(
    solution: Solution,
    critical: Iterable[CriticalLoad],
    *,
    flag_above: float = FLAG_ABOVE,
    refuse_above: float = REFUSE_ABOVE,
) -> Solution:
    """The solution with its stability verdict in the notes.

    Raises
    ------
    SolveError
        A first-order answer above `refuse_above` of a critical load, or any answer at or above it.
    """
    notes = list(solution.notes)
    for load in critical:
        percent = f"{100 * load.share:.0f} % of its elastic critical load (factor {load.factor:.3g})"
        if load.factor <= 1:
            raise SolveError(
                f"combination {load.name!r} is at {percent}: the member buckles; "
                "brace it, lower the load's height, or take a stiffer section"
            )
        verdict = load.verdict(flag_above, refuse_above)
        if solution.order == "first" and verdict == "refused":
            raise SolveError(
                f"combination {load.name!r} is at {percent}: a first-order twist would be about "
                f"{load.amplification:.2f} times too small; solve in second order"
            )
        if solution.order == "first" and verdict == "flagged":
            notes.append(
                f"combination {load.name!r} is at {percent}: second-order twist is about "
                f"{load.amplification:.2f} times the value shown"
            )
    return replace(solution, notes=tuple(notes))


def _fine(member: Member, parts: int = SECOND_ORDER_PARTS) -> float:
    spans = member.spans or ((0.0, member.length),)
    return min(b - a for a, b in spans) / parts


def _combined(mesh: Mesh, elements: Elements) -> Loading:
    member = mesh.member
    cases = loading_of(mesh)
    bare = ~warping_nodes(mesh, elements)
    if np.any(cases.nodal[bare, 6]):
        raise InputError("a bimoment is applied where the section does not warp; give C_w or drop it")
    factors = np.array(
        [[c.factors.get(case, 0.0) for c in member.combined] for case in member.cases], float
    )
    return cases.combined(tuple(c.name for c in member.combined), factors)


def _contacts(mesh: Mesh, elements: Elements) -> tuple[list[Contact], list[str]]:
    """Contacts of the model, less those without meaning, plus a hold along the length where nobody chose one."""
    member = mesh.member
    warping = warping_nodes(mesh, elements)
    notes = []
    contacts = []
    for contact in contacts_of(mesh):
        if contact.freedom == "warping" and not warping[contact.node]:
            notes.append(f"{contact.owner}: warping is held where the section does not warp; no effect")
        else:
            contacts.append(contact)
    if member.supports and all(s.z is None for s in member.supports):
        first = min(member.supports, key=lambda s: s.at)
        point = support_point(mesh, first)
        row = deflection_row("z", point)
        node = mesh.node_of(first.at)
        contacts.append(Contact(node, row, 0.0, 0.0, 0.0, first.title, "z", point))
        notes.append(f"held along its length at {first.title}, as no support says otherwise")
    check_held(mesh, contacts, [2] * len(contacts))
    return contacts, notes


def _without_play(contact: Contact) -> Contact:
    play = 0 < contact.below < math.inf
    return replace(contact, below=0.0, above=0.0) if play else contact


def _solved(mesh: Mesh, system: System, loading: Loading) -> tuple[list[tuple[int, ...]], States]:
    """Contact states and answers of every combination; each pattern of contacts is factorised once."""
    known: dict[tuple[int, ...], Factor] = {}

    def factor(state: tuple[int, ...]) -> Factor:
        if state not in known:
            known[state] = system.factorised(state)
        return known[state]

    count = len(loading.names)
    if not any(c.one_sided for c in system.contacts):
        state = tuple(2 for _ in system.contacts)
        answer = factor(state).solve(loading.start, loading.end, loading.nodal)
        return [state] * count, answer
    engaged, answers = [], []
    for c in range(count):
        one = loading.columns([c])
        loads = (one.start, one.end, one.nodal)

        def solver(state: tuple[int, ...], loads: Any = loads) -> States:
            return factor(state).solve(*loads)

        state, answer = engage(mesh, system, loading.names[c], solver)
        engaged.append(state)
        answers.append(answer)
    return engaged, _joined(answers)


def _second_order(
    system: System,
    elements: Elements,
    loading: Loading,
    engaged: list[tuple[int, ...]],
    states: States,
) -> tuple[States, Loading]:
    """Answers with the geometric matrix, and loads to which its nodal forces are added."""
    answers, extra = [], np.zeros_like(loading.nodal)
    for c in range(len(loading.names)):
        one = loading.columns([c])
        matrix = geometric_matrix(system.mesh, elements, one, system.contacts, _column(states, c))
        found = system.factorised(engaged[c], matrix).solve(one.start, one.end, one.nodal)
        answers.append(found)
        extra[..., c] = -(matrix @ found.motion.reshape(-1, 1)).reshape(loading.nodal.shape[:2])
    return _joined(answers), replace(loading, nodal=loading.nodal + extra)


def _column(states: States, c: int) -> States:
    return States(*(getattr(states, word)[..., c : c + 1] for word in States.__slots__))


def _joined(answers: list[States]) -> States:
    return States(
        *(np.concatenate([getattr(a, word) for a in answers], axis=-1) for word in States.__slots__)
    )


def _remarks(
    member: Member, engaged: list[tuple[int, ...]], contacts: list[Contact]
) -> list[str]:
    remarks = []
    for combination, state in zip(member.combined, engaged, strict=True):
        for contact, s in zip(contacts, state, strict=True):
            if contact.freedom.startswith("bearing") and s == 0:
                remarks.append(
                    f"combination {combination.name!r}: {contact.freedom} of {contact.owner} lifts off"
                )
            elif contact.freedom == "twist" and contact.one_sided and s == 2:
                remarks.append(
                    f"combination {combination.name!r}: {contact.owner} carries no torque, so within its play "
                    "the twist is undetermined; shown at the middle"
                )
    widths = [s.section.width for s in member.stretches if s.section.width]
    radii = [abs(1 / p.curvature) for p in member.axis.pieces if p.curvature]
    if widths and radii and min(radii) < 5 * max(widths):
        remarks.append(
            f"plan radius {min(radii):g} is less than five widths of the section: the longer outer and shorter inner "
            "fibres, which beam theory leaves out, change stresses by about width / (2 radius)"
        )
    return remarks
