"""From a member and its course of sections to the solution of its deforming sections."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..beam.contact import OPEN, Contact
from ..beam.mesh import Mesh, mesh_of
from ..beam.preparation import active_contacts
from ..beam.twopoint import elements_of as classical_elements
from ..model.member import Member
from ..model.restraint import Deck
from .amplitude import Amplitudes
from .brace import Brace, braces_on
from .contact_answers import Answers, answers_of, engaged
from .course import Course
from .element import Element, elements_of, null_element
from .forces import Forces, forces_of
from .grip import Grips
from .holds import Holds, holds_of, with_decks
from .node_places import nodes_of
from .order_change import change_between, work_of
from .passing import Passing, doubled, in_arcs, passings_of
from .solution import DeformingSolution, NodeForces
from .strained import ImposedStrains
from .system import DeformingSystem, Links, system_of
from .warmed import warmed

Array = NDArray[np.float64]

#: Orders tried one after the other, until the answer stands still.
ORDERS = (5, 7, 9, 11)

#: Change from one order to the next, in the norm of energy, that is good enough: stresses change by
#: about as much, displacements by its square.
ACCURACY = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """A member on its nodes: what does not change with the order."""

    member: Member
    course: Course
    grips: Grips
    mesh: Mesh
    contacts: list[Contact]
    nodes: Array
    holds: Holds
    braces: tuple[tuple[int, Brace], ...]
    strained: ImposedStrains
    notes: tuple[str, ...] = ()
    passings: Mapping[int, Passing] = field(default_factory=dict)


def solve_deforming(
    member: Member,
    course: Course,
    *,
    accuracy: float = ACCURACY,
    orders: Sequence[int] = ORDERS,
    nodes: Array | None = None,
) -> DeformingSolution:
    """Solve every combination of a member whose sections deform, first order.

    Parameters
    ----------
    member : Member
    course : Course
        Its reduced sections along the axis.
    accuracy : float
        Change from one order to the next in the norm of energy, see `order_change`.
    orders : sequence of int
        Tried one after the other; one alone leaves the change unknown (infinite).
    nodes : (k,), optional
        Where they are known, see `nodes_of`.

    Raises
    ------
    InputError
        A mechanism, or loads that lift the member off, in words.
    SolveError
        No trustworthy answer.
    """
    if not member.cases:
        raise InputError("the member carries no load; add one, or a self-weight")
    member = in_arcs(member)
    frame = frame_of(member, course, nodes_of(member, course) if nodes is None else nodes)
    loaded = bool(member.loads or member.tendons or frame.strained.actions)
    found: DeformingSolution | None = None
    work: Array | None = None
    change = np.inf
    for order in orders:
        found = None  # the order before is not held beside the next one
        found = solved(frame, assembled(frame, order, loaded=loaded), order)
        before, work = work, work_of(found)
        if before is not None:
            change = change_between(before, work)
        if change <= accuracy:
            break
    assert found is not None
    return replace(found, order_change=change)


def frame_of(member: Member, course: Course, nodes: Array) -> Frame:
    """What holds a member, at its nodes (k,); a second one is put at every hinge and kink.

    Raises
    ------
    InputError
        A mechanism, in words.
    """
    member = in_arcs(member)
    mesh = mesh_of(member)
    contacts, notes = active_contacts(mesh, classical_elements(mesh))
    grips = Grips(member, course)
    nodes = doubled(member, nodes)
    passings = passings_of(member, course, grips.tractions, nodes)
    stations = [float(mesh.nodes[c.node]) for c in contacts]
    holds = holds_of(member, contacts, stations, grips, nodes)
    parted = {node for e in passings for node in (e, e + 1)}
    holds = replace(holds, clamped=holds.clamped | parted)
    braces = braces_on(member, course, nodes)
    strained = ImposedStrains(member, course)
    return Frame(
        member,
        course,
        grips,
        mesh,
        contacts,
        nodes,
        holds,
        braces,
        strained,
        tuple(notes),
        passings,
    )


def assembled(
    frame: Frame,
    order: int,
    state: Sequence[int] | None = None,
    elements: Sequence[Element] = (),
    *,
    loaded: bool = True,
) -> DeformingSystem:
    """The factorised member; with a state of every contact, those that are shut hold it and the
    others are left out, else they are pressed by springs. Its `elements`, where they are known;
    whether they are `loaded` between their ends."""
    member, course = frame.member, frame.course
    elements = elements or _elements(frame, order, loaded)
    held = dict(frame.holds.held)
    springs: dict[int, Array] = {}

    def hold(node: int, rows: Array) -> None:
        own = held.get(node)
        held[node] = rows if own is None else np.vstack([own, rows])

    for node, brace in frame.braces:
        if brace.stiffness is None:
            hold(node, brace.rows)
        else:
            springs[node] = springs.get(node, 0.0) + brace.energy
    contacts = list(frame.holds.rows.values())
    if state is not None:
        contacts = []
        for number, (node, row) in frame.holds.rows.items():
            softness = frame.contacts[number].softness
            if state[number] == OPEN:
                continue
            if softness:
                springs[node] = springs.get(node, 0.0) + np.outer(row, row) / softness
            else:
                hold(node, row[None])
    ties = {e: passing.rows for e, passing in frame.passings.items()}
    links = Links(held, springs, contacts, ties)
    return system_of(elements, course.size, links, closed=member.axis.closed)


def _elements(frame: Frame, order: int, loaded: bool) -> list[Element]:
    """All elements of a frame, with decks and what hinges and kinks pass on."""
    decks = any(isinstance(r, Deck) for r in frame.member.restraints)
    elements = elements_of(order, frame.nodes, frame.course.pieces, keep=decks, loaded=loaded)
    if decks:
        elements = with_decks(elements, frame.member, frame.grips, frame.nodes, order)
    for e, passing in frame.passings.items():
        elements[e] = null_element(order, passing.energy)
    return elements


def solved(
    frame: Frame, system: DeformingSystem, order: int, more: Array | None = None
) -> DeformingSolution:
    """All combinations at one order, with `more` (e, (p + 1) n, c) forces on the elements."""
    member, course, nodes = frame.member, frame.course, frame.nodes
    forces = forces_of(member, course, frame.grips, frame.strained, nodes, order)
    forces = forces if more is None else replace(forces, inner=forces.inner + more)
    given, pressed = warmed(frame.holds, frame.braces, frame.strained, nodes, forces.given)
    forces = replace(forces, nodal=forces.nodal + pressed, given=given)
    answers = answers_of(system, forces)
    return _answered(frame.contacts, frame=frame, answers=answers, forces=forces)


def _answered(
    contacts: Sequence[Contact], *, frame: Frame, answers: Answers, forces: Forces
) -> DeformingSolution:
    """The solution with contacts that may differ from the frame's in their clearances."""
    member, course, nodes = frame.member, frame.course, frame.nodes
    frame = replace(frame, contacts=list(contacts))
    numbers = list(frame.holds.rows)
    found, states, push = engaged(answers, frame.contacts, numbers, frame.mesh, forces.names)
    values, missing = found.values, found.missing.copy()
    passed = {}
    for e, passing in frame.passings.items():
        before, beyond = (int(k) for k in answers.ends[e])
        own = passing.energy @ np.concatenate([values[before], values[beyond]])
        half = len(own) // 2
        passed[e] = missing[before] - own[:half], missing[beyond] - own[half:]
        missing[before] = missing[before] + passing.back @ missing[beyond]
        missing[beyond] = 0.0
    return DeformingSolution(
        member,
        course,
        frame.grips,
        Amplitudes(nodes, found.coefficients),
        forces,
        tuple(frame.contacts),
        states,
        frame.holds,
        push,
        NodeForces(nodes, missing),
        frame.braces,
        forces.names,
        frame.strained,
        frame.notes,
        passed=passed,
        again=partial(_answered, frame=frame, answers=answers, forces=forces),
    )
