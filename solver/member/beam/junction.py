"""Junctions: elements without length that pass states on over a hinge or a kink.

A junction gives the same fourteen relations G Y_i + H Y_j = 0 as any element. With T the movements
of the axis point by unit movements q of the piece beyond against the piece before (about the
centroid, the shear centre or the hinge's point), a hinge says

    d_j - d_i = T q,   f_j = f_i,   and for each freedom q_k = 0, or T_k . f = 0, or T_k . f = s q_k

(T_k . f is the force that works on q_k). In a kink the frame turns by an angle about y, so
d_j = Q d_i and f_j = Q f_i: bending and torsion trade places. Warping is passed on (tau and B
equal), free (B = 0 on either side) or held (tau = 0 on either side, B then belongs to each side's
end plate). A kink is two junctions of half its angle; the node between them, where supports and
loads act, looks along the bisecting plane's normal.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ..model.constants import SectionConstants
from ..model.hinge import PASSED, Hinge
from ..model.member import Member

Array = NDArray[np.float64]


Warping = Literal["continuous", "free", "held", "held behind"]

#: What the halves of a kink say of warping, whose middle carries no bimoment unless it passes on.
_FIRST: dict[str, Warping] = {"continuous": "continuous", "free": "free", "held": "held"}
_SECOND: dict[str, Warping] = {
    "continuous": "continuous", "free": "continuous", "held": "held behind",
}  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Junction:
    """One of them.

    Attributes
    ----------
    at : float
    title : str
    movements : (6, 6)
        T, its columns in the order of `PASSED`.
    springs : (6,)
        Stiffness of each freedom: infinite where it is passed on, zero where it is free.
    turn : float
        Angle of a kink by which the frame turns here (radians).
    warping : str
    hinge : Hinge or None
    """

    at: float
    title: str
    movements: Array
    springs: Array
    turn: float
    warping: Warping
    hinge: Hinge | None = None


def junctions_of(member: Member) -> list[Junction]:
    """All junctions in order along the member."""
    found = [_of_hinge(member, hinge) for hinge in member.hinges]
    for kink in member.axis.kinks:
        rigid = np.full(6, np.inf)
        first = Junction(
            kink.at, kink.title, np.eye(6), rigid, kink.angle / 2, _FIRST[kink.warping]
        )
        found += [first, replace(first, warping=_SECOND[kink.warping])]
    return sorted(found, key=lambda j: j.at)


def _of_hinge(member: Member, hinge: Hinge) -> Junction:
    springs = [
        np.inf if value == "continuous" else 0.0 if value == "free" else float(value)
        for value in (getattr(hinge, freedom) for freedom in PASSED)
    ]
    section = member.section_at(hinge.at)
    movements = turning_points(member, hinge, section, member.line)
    return Junction(hinge.at, hinge.title, movements, np.array(springs), 0.0, hinge.warping, hinge)


def turning_points(
    member: Member, hinge: Hinge, section: SectionConstants, origin: tuple[float, float]
) -> Array:
    """(6, 6) movements of a point of the section under unit relative movements of a hinge."""
    bends, twists = hinge_points(member, hinge, section, origin)
    found = np.eye(6)
    # A point at r keeps its place: d + theta x r = 0.
    found[2, 3], found[2, 4] = -bends[1], bends[0]
    found[0, 5], found[1, 5] = twists[1], -twists[0]
    return found


def hinge_points(
    member: Member, hinge: Hinge, section: SectionConstants, origin: tuple[float, float]
) -> tuple[Array, Array]:
    """Points (x, y), seen from the origin, about which the pieces bend and twist."""
    if hinge.point is not None:
        bends = twists = np.subtract(member.locate(hinge.point, section), origin)
        return bends, twists
    return np.subtract(section.centroid, origin), np.subtract(section.shear_centre, origin)


def kink_matrix(turn: float) -> Array:
    """(3, 3) components in the frame beyond a kink from those before it; see `Axis`."""
    cos, sin = np.cos(turn), np.sin(turn)
    return np.array([[cos, 0.0, -sin], [0.0, 1.0, 0.0], [sin, 0.0, cos]])


def relations(junction: Junction, before: bool, after: bool) -> tuple[Array, Array]:
    """G and H (14, 14) where the elements `before` and `after` warp or not; rows 6 and 13 stay
    empty where nothing can pass (see `plain`)."""
    start, end = np.zeros((2, 14, 14))
    move = np.kron(np.eye(2), kink_matrix(junction.turn))
    start[7:13, 7:13], end[7:13, 7:13] = -move, np.eye(6)
    back = np.linalg.inv(junction.movements)
    for k, spring in enumerate(junction.springs):
        work = junction.movements[:, k]
        if np.isinf(spring):
            start[k, :6], end[k, :6] = -back[k] @ move, back[k]
            continue
        start[k, 7:13] = work
        if spring:
            start[k, :6], end[k, :6] = spring * back[k], -spring * back[k]
    if plain(junction, before, after):
        return start, end
    if junction.warping == "continuous":
        start[6, 6], end[6, 6] = -1.0, 1.0
        start[13, 13], end[13, 13] = -1.0, 1.0
    elif junction.warping == "held":
        start[6, 6] = end[13, 6] = 1.0
    elif junction.warping == "held behind":
        start[6, 13] = end[13, 6] = 1.0
    else:
        start[6, 13] = end[13, 13] = 1.0
    return start, end


def plain(junction: Junction, before: bool, after: bool) -> bool:
    """Whether a junction counts as one more element that does not warp: nothing passes to or from
    such a neighbour, but an end plate still holds the other side."""
    if junction.warping in ("held", "held behind"):
        return not (before or after)
    return not (before and after)
