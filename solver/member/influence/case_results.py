"""What each load case by itself makes of the results asked for, all contacts shut, so that they add
up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..beam.analysis import solve
from ..beam.solution import Solution
from ..beam.support_reaction import SupportReaction
from ..deforming.analysis import solve_deforming
from ..deforming.forces import forces_of
from ..deforming.node_places import nodes_of
from ..deforming.passing import acting_side, in_arcs
from ..deforming.reactions import reactions
from ..model.load import Combination
from ..model.member import SAME_STATION, Member
from ..model.restraint import TwistSpring
from ..model.secondary_beam import SecondaryBeam
from ..review.reactions import COMPONENTS, components
from .analysis import TRAVELLING, Influence
from .asked import DISPLACEMENTS, ROTATIONS, AskedResult, seat_weights
from .deforming_adjoint import DeformingField, moved_row

Array = NDArray[np.float64]


def case_results(found: Influence) -> tuple[tuple[str, ...], Array]:
    """Load cases of the member and what each makes of all results (cases, c).

    Raises
    ------
    InputError
        Secondary beams that carry loads of their own: what they turn does not add up.
    """
    cases = found.member.cases
    if not cases:
        return (), np.zeros((0, len(found.asked)))
    for item in found.member.restraints:
        if isinstance(item, SecondaryBeam) and item.loads:
            raise InputError(
                f"{item.title}: envelopes add up load cases, and a secondary beam with loads of "
                "its own does not; give the loads to the member"
            )
    if isinstance(found.field, DeformingField):
        if found.member.imposed and any(one.kind == "stress" for one in found.asked):
            raise InputError(
                "stresses of temperature, shrinkage and settlement are not in envelopes; ask for "
                "M_x, T or N instead, or see soapfilm member"
            )
        table = _by_adjoint(found.field, cases)
        moved = {a.case for a in found.member.imposed}
        if moved:
            numbers = [k for k, case in enumerate(cases) if case in moved]
            names = [cases[k] for k in numbers]
            table[numbers] = _solved(found.field, found.member, found.asked, names)
        return cases, table
    return cases, _directly(found.member, found.asked)


def _by_adjoint(field: DeformingField, cases: tuple[str, ...]) -> Array:
    """A result is the work of the loads on its adjoint field."""
    frame, order = field.frame, field.amplitudes.order
    member = frame.member.with_(
        combinations=(), loads=[x for x in frame.member.loads if x.case != TRAVELLING]
    )
    forces = forces_of(member, frame.course, frame.grips, frame.strained, frame.nodes, order)
    own = field.amplitudes.coefficients
    e, p, n, c = own.shape
    inner = forces.inner.reshape(e * p * n, -1)
    found = inner.T @ own.reshape(e * p * n, c)
    at_nodes = own[:, 0] if len(forces.nodal) == e else np.concatenate([own[:, 0], own[-1:, 1]])
    found += np.einsum("knj,knc->jc", forces.nodal, at_nodes)
    order_of = [forces.names.index(case) for case in cases]
    return np.asarray(found[order_of])


def _solved(
    field: DeformingField, member: Member, asked: tuple[AskedResult, ...], cases: list[str]
) -> Array:
    """(cases, c) by a solution of their own: neither the ground that moves is a load, nor are
    diaphragms that warm or shrink with the member."""
    course, whole = field.frame.course, shut(member)
    alone = whole.with_(
        combinations=[Combination(case, {case: 1.0}) for case in cases],
        loads=[load for load in whole.loads if load.case in cases],
        imposed=[action for action in whole.imposed if action.case in cases],
        tendons=[tendon for tendon in whole.tendons if tendon.case in cases],
    )
    solution = solve_deforming(
        alone, course, orders=(field.amplitudes.order,), nodes=nodes_of(in_arcs(whole), course)
    )
    held = [reactions(solution, c) for c in range(len(cases))]
    found = []
    for one in asked:
        side = "left" if one.at >= member.length * (1 - SAME_STATION) else "right"
        if one.kind in ("reaction", "bearing"):
            found.append(_held(held, one))
        elif one.kind in ("action", "seat"):
            found.append(_through(solution.resultants([one.at], side), member, one))
        else:
            row, side = moved_row(field.frame, one), acting_side(member, one.at)
            found.append(np.einsum("n,nc->c", row, solution.functions([one.at], side)[1][0]))
    return np.array(found).T


def _held(held: Sequence[Sequence[SupportReaction]], one: AskedResult) -> Array:
    """(c,) of reactions of all combinations."""
    rows = [next(r for r in those if r.title == one.owner) for those in held]
    if one.kind == "bearing":
        return np.array([r.bearings[one.number - 1].force for r in rows])
    return np.array([components(r)[COMPONENTS.index(one.component)] for r in rows])


def _through(table: object, member: Member, one: AskedResult) -> Array:
    """(c,) an internal force of a table at its station, or what a seat has of several."""
    weights = seat_weights(member, one) if one.kind == "seat" else ((one.component, 1.0),)
    return np.asarray(sum(w * getattr(table, word)[0] for word, w in weights))


def _directly(member: Member, asked: tuple[AskedResult, ...]) -> Array:
    """By a solution of the classical theory for every case."""
    solution = solve(shut(member).with_(combinations=()))
    order = [solution.names.index(case) for case in member.cases]
    return np.array([read_result(solution, one) for one in asked]).T[order]


def shut(member: Member) -> Member:
    """The member with bearings that hold down too and no slip."""
    supports = [
        s.with_(twist_slip=0.0, bearings=tuple(replace(b, holds_down=True) for b in s.bearings))
        for s in member.supports
    ]
    restraints = [
        replace(r, slip=0.0) if isinstance(r, TwistSpring | SecondaryBeam) else r
        for r in member.restraints
    ]
    return member.with_(supports=supports, restraints=restraints)


def read_result(solution: Solution, one: AskedResult) -> Array:
    """(c,) one result, but a stress, of all combinations of a classical solution."""
    member = solution.mesh.member
    if one.kind in ("reaction", "bearing"):
        return _held(solution.reactions, one)
    if one.kind in ("action", "seat"):
        return _through(solution.at([one.at]), member, one)
    _, state = solution.states_at([one.at])
    if one.kind == "twist":
        return np.asarray(state[0, 5])
    if one.kind == "rotation":
        return np.asarray(state[0, 3 + ROTATIONS.index(one.component)])
    x, y = np.subtract(member.locate(one.place, member.section_at(one.at)), member.line)
    u, v, w, theta_x, theta_y, phi = state[0, :6]
    moved = (u - y * phi, v + x * phi, w + y * theta_x - x * theta_y)
    return np.asarray(moved[DISPLACEMENTS.index(one.component)])
