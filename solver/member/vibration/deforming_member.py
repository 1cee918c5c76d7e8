"""A member whose sections deform, made ready to vibrate."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ..deforming.analysis import Frame, frame_of
from ..deforming.course import Course, MemberPart
from ..deforming.element import EXTRA_POINTS, Element, element_of, elements_of, null_element
from ..deforming.grading import graded
from ..deforming.grip import Grips
from ..deforming.holds import deck_energy
from ..deforming.node_places import node_at
from ..model.member import SAME_STATION, Member
from ..model.restraint import Deck
from ..model.solved_section import SolvedSection
from .attached import Carried, CarriedLine, CarriedPoint
from .contact_state import contact_notes, joined, states_of
from .diaphragm_mass import diaphragm_masses
from .moving_member import MassAlong, MovingMember, gauss_of

Array = NDArray[np.float64]

#: No element is longer than this share of the member: ten half-waves then have their elements.
LONGEST = 1 / 12

#: |lambda| times element length beside what disturbs, twice that of statics: the energy of a mode
#: asks for less than stresses do.
STEP = 16.0


def deforming_member(
    member: Member,
    course: Course,
    carried: Carried,
    sections: Mapping[str, SolvedSection],
    *,
    order: int,
    inertia: float,
    slip_open: bool = False,
    frame: Frame | None = None,
) -> tuple[MovingMember, Grips, list[str]]:
    """K and M, the rows of forces, and notes.

    Parameters
    ----------
    frame : Frame, optional
        Of `moving_frame`, which does not change with the order.
    order : int
        Of the shape functions.
    inertia : float
        Force unit per mass unit times length unit per second squared.

    Raises
    ------
    InputError
        A mechanism, in words.
    """
    frame = frame or moving_frame(member, course, carried)
    contacts, grips, holds, nodes = frame.contacts, frame.grips, frame.holds, frame.nodes
    state = states_of(frame.mesh, contacts, slip_open=slip_open)
    notes = [*frame.notes, *contact_notes(contacts, slip_open=slip_open)]
    more, springs = joined(contacts, state, holds.rows)
    held = {node: [rows] for node, rows in holds.held.items()}
    for node, rows in more.items():
        held.setdefault(node, []).extend(r[None] for r in rows)
    points: dict[int, Array] = {}
    for node, brace in frame.braces:
        if brace.stiffness is None:
            held.setdefault(node, []).append(brace.rows)
        else:
            springs[node] = springs.get(node, 0.0) + brace.energy
        for mass in diaphragm_masses(brace, member, course, grips, sections):
            points[node] = points.get(node, 0.0) + inertia * mass
    for point in carried.points:
        node = node_at(nodes, point.at, member)
        points[node] = points.get(node, 0.0) + inertia * _point(point, member, grips)
    elements = _elements(member, course, grips, nodes, order)
    for e, passing in frame.passings.items():
        elements[e] = null_element(order, passing.energy, keep=True)
    along = _masses(member, course, grips, carried, nodes, order, inertia)
    return (
        MovingMember(
            nodes, course.size, member.axis.closed, course.parts[0].section.planar,
            tuple(elements), tuple(along),
            {node: np.vstack(rows) for node, rows in held.items()}, springs, points,
            {e: passing.rows for e, passing in frame.passings.items()},
        ),
        grips,
        notes,
    )  # fmt: skip


def moving_frame(member: Member, course: Course, carried: Carried) -> Frame:
    """The member on the nodes that its modes ask for."""
    return frame_of(member, course, _nodes(member, course, carried))


def _nodes(member: Member, course: Course, carried: Carried) -> Array:
    """Nodes where something holds or changes, graded toward them; long elements cut."""
    breaks: list[float] = member.axis.breaks.tolist()
    for item in (*member.supports, *member.restraints, *member.diaphragms, *member.hinges):
        breaks += [item.start, item.end] if isinstance(item, Deck) else [item.at]
    breaks += [p.at for p in carried.points]
    coarse = graded(course.pieces, breaks, STEP)
    # Mass along a line disturbs nothing where it ends: a node there is enough.
    ends = [z for line in carried.lines for z in (line.start, line.end)]
    near = SAME_STATION * member.length
    coarse = np.sort([*coarse, *(z for z in {*ends} if abs(coarse - z).min() > near)])
    longest = LONGEST * member.length * (1 + SAME_STATION)
    cut = [np.linspace(a, b, int(np.ceil((b - a) / longest)) + 1)[:-1] for a, b in pairwise(coarse)]
    return np.concatenate([*cut, coarse[-1:]])


def _elements(
    member: Member, course: Course, grips: Grips, nodes: Array, order: int
) -> list[Element]:
    plain = elements_of(order, nodes, course.pieces, keep=True)
    if not any(isinstance(r, Deck) for r in member.restraints):
        return plain
    made: dict[tuple[int, bytes], Element] = {}
    found = []
    for element, (a, b) in zip(plain, pairwise(nodes), strict=True):
        more = deck_energy(member, grips, float(a), float(b), order)
        if more is None or a == b:
            found.append(element)
            continue
        assert element.stiffness is not None
        key = (id(element), np.round(more / np.abs(more).max(), 12).tobytes())
        if key not in made:
            made[key] = element_of(order, element.stiffness + more, keep=True)
        found.append(made[key])
    return found


def _point(point: CarriedPoint, member: Member, grips: Grips) -> Array:
    """(n, n) of a mass at a point."""
    side = "left" if point.at >= member.length * (1 - SAME_STATION) else "right"
    rows = grips.force(point.at, point.place, side)
    mass = point.mass * rows.T @ rows
    if point.rotary:
        turn = grips.moment(point.at, side)[2]
        mass = mass + point.rotary * np.outer(turn, turn)
    return np.asarray(mass)


def _masses(
    member: Member,
    course: Course,
    grips: Grips,
    carried: Carried,
    nodes: Array,
    order: int,
    inertia: float,
) -> list[MassAlong]:
    """Mass along every element."""
    along = []
    for a, b in pairwise(nodes):
        middle = float(a + b) / 2
        part = course.part(middle)
        lines = [line for line in carried.lines if line.start < middle < line.end]
        varies = part.tapered is not None or any(line.first != line.last for line in lines)
        points = order + 1 + (EXTRA_POINTS if varies else 0)
        z, weight, value = gauss_of(float(a), float(b), order, points)
        where = z if varies else np.array([middle])
        rows = [_line_rows(line, grips, part, where, middle) for line in lines]
        sections = [part.at(float(s)) for s in (where if part.tapered is not None else where[:1])]
        own = np.array([s.mass for s in sections]) * (part.ratio * carried.own)
        mass = np.repeat(own, len(where) // len(own), axis=0)
        for line, taken in zip(lines, rows, strict=True):
            share = np.array([line.at(float(s)) for s in where]) * _per(line, member, middle)
            mass = mass + share[:, None, None] * (taken.transpose(0, 2, 1) @ taken)
        shapes = where if part.tapered is not None else where[:1]
        rigid = np.array([part.shape(float(s)).rigid for s in shapes])
        along.append(MassAlong(z, weight, value, inertia * mass, rigid))
    return along


def _line_rows(
    line: CarriedLine, grips: Grips, part: MemberPart, where: Array, middle: float
) -> Array:
    """(m, 3, n) rows of a place at stations."""
    if part.tapered is not None:
        return grips.between(part, where, line.place)
    return np.repeat(grips.force(middle, line.place)[None], len(where), axis=0)


def _per(line: CarriedLine, member: Member, middle: float) -> float:
    """Length of a mass's own line per length of the axis, where it is measured along that."""
    if not line.own_line:
        return 1.0
    point = member.locate(line.place, member.section_at(middle))
    return 1 - float(member.axis.curvature([middle])[0]) * (point[0] - member.line[0])


def check_density(member: Member, sections: Mapping[str, SolvedSection]) -> None:
    """Every section needs its mass.

    Raises
    ------
    InputError
        Names the section, and the material where it is known.
    """
    for segment in member.segments:
        for constants in (segment.section, segment.section_end or segment.section):
            if constants.mass_per_length is not None:
                continue
            section = sections.get(constants.name)
            lacking = ""
            if section is not None and section.result is not None:
                regions = section.result.section.regions
                names = {r.material.name for r in regions if r.material.density is None}
                lacking = f": {', '.join(map(repr, sorted(n for n in names if n)))} has none"
            raise InputError(
                f"frequencies need the mass of section {constants.name!r}, and a density is "
                f'missing{lacking}; give its material a density, like density = "7850 kg/m^3", or, '
                'where the section is given by its figures, mass = "42 kg/m"'
            )
