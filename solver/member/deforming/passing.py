"""What sections that deform pass on over hinges and kinks.

There the member has two nodes at one station, tied to each other by rows on both. A hinge that
passes x, y and twist on is a plate on either side: each keeps its section's shape, and the mean
movements of the two agree in all that the hinge does not free, so that what passes is spread as
Saint-Venant's stress. The axial motion beyond a plane section is free on either side, zero on
either side (end plates), or the same on both. A kink with a rigid diaphragm ties both pieces to it
alike, the frame beyond turned by the angle; without one walls pass on to walls (see `bare_kink`),
and a plate or bars brace them. Either way both pieces are taken to end square to their own axes,
which leaves out how planes lean beside the kink; `KINK_ERRORS` says what that costs.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.errors import InputError
from ...section.deforming.reduced import ReducedSection
from ..beam.junction import kink_matrix, turning_points
from ..model.axis import Kink
from ..model.hinge import PASSED, Hinge
from ..model.member import SAME_STATION, Member
from .acting import shape_kept
from .bare_kink import bare_kink
from .course import Course

Array = NDArray[np.float64]

#: Kinks sharper than this (degrees) leave too much to the planes that lean, with something that
#: braces them and with bare walls.
SHARPEST, SHARPEST_BARE = 30.0, 15.0
#: By the angle in degrees: percent of the stress at the inner side within the section's width of a
#: kink, and of the movement, by which 3D elasticity of box girders parts from this.
KINK_ERRORS = ((10.0, 4, 1), (15.0, 5, 1.5), (30.0, 12, 3))

#: Arcs in place of a transition: what passes through a fixed box that turns by 19 degrees along one
#: then differs by 0.3 % from twice and three times as many.
TRANSITION_ARCS = 16


@dataclass(frozen=True, slots=True, eq=False)
class Passing:
    """What joins the two nodes of a junction.

    Attributes
    ----------
    rows : (r, 2n)
        Zero on the values of both nodes.
    energy : (2n, 2n)
        Of the springs between them.
    back : (n, n)
        Brings forces on the node beyond to the node before.
    """

    rows: Array
    energy: Array
    back: Array


def check_passing(member: Member) -> None:
    """Refuse what this theory does not carry over a hinge or a kink.

    Raises
    ------
    InputError
        In words.
    """
    for hinge in member.hinges:
        parted = [f for f in ("x", "y", "twist") if f in hinge.loose]
        if parted:
            raise InputError(
                f"{hinge.title} does not pass {' and '.join(parted)} on rigidly: how the walls of "
                "sections that deform take the forces of such a joint is not solved"
            )
        _check_section(member, hinge.at, hinge.title)
    for kink in member.axis.kinks:
        _check_kink(member, kink)
        _check_section(member, kink.at, kink.title)


def _check_kink(member: Member, kink: Kink) -> None:
    if not shape_kept(member, kink.at) and kink.warping != "continuous":
        raise InputError(
            f"{kink.title}: warping is {kink.warping} there, which takes a plate that both pieces "
            "end on; put a rigid [[diaphragm]] at it, or let warping be continuous"
        )
    braced = shape_kept(member, kink.at) or any(
        _same(member, d.at, kink.at) for d in member.diaphragms
    )
    most = SHARPEST if braced else SHARPEST_BARE
    if abs(np.degrees(kink.angle)) > most * (1 + 1e-9):
        cure = "" if braced else f"; put a [[diaphragm]] at it, with which {SHARPEST:g} are"
        raise InputError(
            f"{kink.title} is sharper than {most:g} degrees: how planes lean beside it counts, and "
            f"is not solved with sections that deform{cure}"
        )


def kink_note(member: Member) -> str:
    """What the sharpest kink costs; empty where there is none to speak of."""
    sharpest = max((abs(np.degrees(k.angle)) for k in member.axis.kinks), default=0.0)
    if sharpest < KINK_ERRORS[0][0] / 2:
        return ""
    angle, stress, moved = next((e for e in KINK_ERRORS if sharpest <= e[0]), KINK_ERRORS[-1])
    return (
        "beside a kink the pieces meet in the bisecting plane, and fibres on the inner side are "
        f"shorter than taken here: in box girders with kinks of {angle:g} degrees stresses there "
        f"were up to {stress} %, movements up to {moved:g} % off 3D elasticity"
    )


def in_arcs(member: Member) -> Member:
    """The member with arcs in place of transitions: a section is curved by one radius at a time."""
    axis = member.axis.in_arcs(TRANSITION_ARCS)
    return member if axis is member.axis else member.with_(axis=axis)


def _check_section(member: Member, z: float, title: str) -> None:
    index = [k for k, s in enumerate(member.segments) if _same(member, s.start, z)]
    for k in index:
        if k and member.segments[k].section is not member.segments[k - 1].section:
            before = member.segments[k - 1].section_end or member.segments[k - 1].section
            if before.name != member.segments[k].section.name:
                raise InputError(
                    f"{title}: the section changes right there, which sections that deform do not "
                    "carry; let it change a little beside"
                )


def _same(member: Member, one: float, other: float) -> bool:
    return abs(one - other) <= SAME_STATION * member.length


def parted_stations(member: Member) -> list[float]:
    """Stations with two nodes."""
    return [*(h.at for h in member.hinges), *(k.at for k in member.axis.kinks)]


def doubled(member: Member, nodes: Array) -> Array:
    """Nodes with a second one at every hinge and kink."""
    stations = sorted(parted_stations(member))
    if not stations or len(np.unique(nodes)) < len(nodes):
        return nodes
    return np.insert(nodes, [int(np.argmin(abs(nodes - z))) for z in stations], stations)


def acting_side(member: Member, z: float) -> str:
    """The side on which loads and supports act: of the end, of hinges and kinks the left one."""
    at_end = z >= member.length * (1 - SAME_STATION)
    parted = any(_same(member, z, other) for other in parted_stations(member))
    return "left" if at_end or parted else "right"


def facing(member: Member, z: float, rows: Array) -> Array:
    """Rows (3, n) along x, y, z of the piece before, along those of the bisecting frame where there
    is a kink."""
    turn = half_turn(member, z)
    return np.asarray(kink_matrix(turn) @ rows) if turn else rows


def half_turn(member: Member, z: float) -> float:
    """Half of the angle of the kink at a station; zero where there is none."""
    return next((k.angle / 2 for k in member.axis.kinks if _same(member, k.at, z)), 0.0)


def passings_of(
    member: Member, course: Course, unit: Callable[[float], Array], nodes: Array
) -> dict[int, Passing]:
    """By the number of the element without length.

    Parameters
    ----------
    unit : function
        Unit tractions (n, 6) of the section at a station, about its origin.
    """
    found = {}
    items: list[Hinge | Kink] = [*member.hinges, *member.axis.kinks]
    for item in items:
        e = int(np.argmin(abs(nodes - item.at)))
        part = course.part(item.at, "left")
        section = part.shape(item.at)
        mean = unit(item.at).T
        if isinstance(item, Hinge):
            turns = turning_points(member, item, member.section_at(item.at), (0.0, 0.0))
            found[e] = _hinged(item, turns, mean, section.in_plane, section.axial)
        else:
            if not shape_kept(member, item.at):
                half = turned_motion(item.angle / 2, member.line)
                rows, back = bare_kink(section, item.angle, half)
                found[e] = Passing(rows, np.zeros((rows.shape[1],) * 2), back)
                continue
            if item.warping == "continuous":
                mean = np.asarray(np.linalg.pinv(section.rigid))
            found[e] = _kinked(item, turned_motion(item.angle, member.line), mean, section)
    return found


def _hinged(hinge: Hinge, turns: Array, mean: Array, shape: Array, axial: Array) -> Passing:
    n = mean.shape[1]
    relative = np.linalg.solve(turns, mean)
    rows = [_both(shape), _axial(axial, hinge.warping)]
    energy = np.zeros((2 * n, 2 * n))
    for k, freedom in enumerate(PASSED):
        value = getattr(hinge, freedom)
        row = np.concatenate([-relative[k], relative[k]])
        if value == "continuous":
            rows.append(row[None])
        elif not isinstance(value, str):
            energy += value * np.outer(row, row)
    return Passing(np.vstack(rows), energy, np.eye(n))


def _kinked(kink: Kink, turn: Array, mean: Array, section: ReducedSection) -> Passing:
    rigid = section.rigid
    n = len(rigid)
    rows = [
        _both(section.in_plane),
        _axial(section.axial, kink.warping),
        np.hstack([-turn @ mean, mean]),
    ]
    back = np.eye(n) + np.linalg.pinv(rigid).T @ (turn.T - np.eye(6)) @ rigid.T
    return Passing(np.vstack(rows), np.zeros((2 * n, 2 * n)), back)


def turned_motion(angle: float, line: tuple[float, float]) -> Array:
    """(6, 6) movement and rotation of the section's origin in a frame turned about the axis at
    `line` from those in the frame before."""
    turn = np.kron(np.eye(2), kink_matrix(angle))
    # Of the axis point: d + theta x r.
    x, y = line
    shift = np.eye(6)
    shift[0, 5], shift[1, 5] = -y, x
    shift[2, 3], shift[2, 4] = y, -x
    return np.asarray(np.linalg.solve(shift, turn @ shift))


def _both(rows: Array) -> Array:
    """Rows zero on either node."""
    return np.asarray(np.kron(np.eye(2), rows))


def _axial(rows: Array, warping: str) -> Array:
    if warping == "held":
        return _both(rows)
    if warping == "continuous":
        return np.hstack([-rows, rows])
    return np.zeros((0, 2 * rows.shape[1]))
