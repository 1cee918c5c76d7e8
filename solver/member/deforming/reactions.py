"""What supports, restraints and diaphragms of a deforming member must hold."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..beam.contact import ABOVE, BELOW, OPEN
from ..beam.junction import kink_matrix
from ..beam.loading import moment_of
from ..beam.support_reaction import BearingForce, SupportReaction
from ..model.held_point import held_point
from ..model.secondary_beam import SecondaryBeam
from .passing import acting_side, half_turn
from .solution import DeformingSolution

Array = NDArray[np.float64]


def reactions(solution: DeformingSolution, combination: int) -> tuple[SupportReaction, ...]:
    """One row per support and point restraint, as the classical theory has them."""
    member = solution.member
    titles = dict.fromkeys(
        [s.title for s in member.supports] + [c.owner for c in solution.contacts]
    )
    return tuple(_reaction(solution, title, combination) for title in titles)


def _reaction(solution: DeformingSolution, title: str, c: int) -> SupportReaction:
    member, holds = solution.member, solution.holds
    support = next((s for s in member.supports if s.title == title), None)
    mine = [k for k, contact in enumerate(solution.contacts) if contact.owner == title]
    nodes = solution.held.nodes
    node = next(
        (holds.rows[k][0] for k in mine if k in holds.rows),
        holds.plain[title][0] if title in holds.plain else None,
    )
    at = support.at if support is not None else float(nodes[node or 0])
    section = member.section_at(at)
    point = section.shear_centre if support is None else held_point(member, support)
    beam = next((r for r in member.restraints if r.title == title), None)
    if isinstance(beam, SecondaryBeam):
        point = member.locate(beam.place, section)
    acting = np.zeros(solution.course.size)
    bearings: list[BearingForce] = []
    play = ""
    for k in mine:
        contact, now = solution.contacts[k], int(solution.states[c, k])
        if k not in holds.rows:
            continue
        force = float(solution.push[k, c])
        acting += force * holds.rows[k][1]
        if contact.freedom.startswith("bearing"):
            x = contact.point[0] + member.line[0]
            bearings.append(BearingForce(x, force, now == OPEN))
        elif contact.one_sided:
            words = {OPEN: "not taken up", BELOW: "taken up", ABOVE: "taken up"}
            play = words.get(now, "idle")
    if title in holds.plain:
        acting += rigid_forces(solution, holds.plain[title][0], c)
    side = acting_side(member, at)
    part = solution.course.part(at, side)
    shape = part.shape(at)
    wrench = shape.rigid.T @ acting
    turn = half_turn(member, at)
    if turn:  # into the bisecting frame of a kink, about the axis
        line = np.asarray(member.line)
        wrench[3:] -= moment_of(line, wrench[:3])
        wrench = np.kron(np.eye(2), kink_matrix(turn)) @ wrench
        wrench[3:] += moment_of(line, wrench[:3])
    force3 = wrench[:3]
    moment = wrench[3:] - moment_of(np.asarray(point), force3)
    arm = np.subtract(point, section.shear_centre)
    torque = float(moment[2] + arm[0] * force3[1] - arm[1] * force3[0])
    bimoment = -float(solution.grips.own_twist(at, side) @ acting)
    lever = support.lever_arm if support is not None else None
    return SupportReaction(
        title,
        at,
        (float(force3[0]), float(force3[1]), float(force3[2])),
        (float(moment[0]), float(moment[1]), float(moment[2])),
        (float(point[0]), float(point[1])),
        torque,
        bimoment,
        None if lever is None else abs(torque) / lever,
        tuple(bearings),
        play,
    )


def rigid_forces(solution: DeformingSolution, node: int, c: int) -> Array:
    """(n,) what the rigid holds of a node exert: all that acts there less the contacts' forces."""
    found = np.array(solution.held.values[node, :, c])
    for k, (where, row) in solution.holds.rows.items():
        if where == node:
            found -= float(solution.push[k, c]) * row
    return found


@dataclass(frozen=True, slots=True, eq=False)
class DiaphragmForce:
    """What one diaphragm must carry, by combination.

    Attributes
    ----------
    title : str
    at : float
    strains : (r, c)
        Distortion of a rigid diaphragm (zero), mean strains of a plate, segment of bars.
    shear_flow : (c,) or None
        Mean shear per length that a plate, or a rigid diaphragm in a cell, carries.
    bars : (b, c) or None
        Bar forces, tension positive.
    hold : (r, c)
        Forces on the distortion rows of a rigid diaphragm.
    """

    title: str
    at: float
    strains: Array
    shear_flow: Array | None
    bars: Array | None
    hold: Array


def diaphragm_forces(solution: DeformingSolution) -> tuple[DiaphragmForce, ...]:
    """One row per diaphragm."""
    rows = []
    for node, brace in solution.braces:
        z = float(solution.field.nodes[node])
        _, a, _ = solution.functions([z])
        growth = solution.strained.growth(z, a.shape[-1])
        strains = brace.rows @ (a[0] - growth)
        flow = bars = None
        if brace.stiffness is None:
            columns = [rigid_forces(solution, node, c) for c in range(len(solution.names))]
            hold = brace.rows @ np.array(columns).T
            if brace.flow is not None:
                flow = brace.flow @ hold
        else:
            hold = -brace.stiffness @ strains
            if brace.diaphragm.plate is not None:
                assert brace.flow is not None
                flow = brace.flow @ strains
            else:
                bars = brace.stiffness @ strains
        rows.append(DiaphragmForce(brace.diaphragm.title, z, strains, flow, bars, hold))
    return tuple(rows)
