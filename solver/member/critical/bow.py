"""The unloaded member's own shape: a bow, in the mode in which the member buckles as a whole.

That mode is found with sections that keep their shape. An amplitude by the span in the shape of a
wall that buckles by itself, on waves as short as the wall is wide, would bend it far beyond any
tolerance; a bow of the member is what codes state by the span (EN 1993-1-1 5.3.2, from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.reduced import ReducedSection
from ..deforming.amplitude import Amplitudes
from ..deforming.analysis import frame_of
from ..deforming.gathering import course_of
from ..deforming.grading import graded
from ..deforming.lobatto import shapes
from ..deforming.node_places import breaks_of
from ..deforming.shapes import shape_of
from ..deforming.solution import DeformingSolution
from ..model.solved_section import SolvedSection
from .analysis import Prestressed, critical_factors, prestressed
from .member_buckling import STEP, with_plane_strains

Array = NDArray[np.float64]

#: Stations at which the mode's largest displacement is sought, and how many of them are looked at.
_STATIONS, _LOOKED = 401, 12
#: Functions by which a section answers to single loads: they bend walls.
_ANSWERS = ("shape under", "warping under")


def bows(
    solution: DeformingSolution,
    sections: Mapping[str, SolvedSection],
    state: Prestressed,
    amplitude: float,
) -> Array:
    """Coefficients (e, p + 1, n, c) of every combination's bow, on the nodes and functions of
    `state`; zero where the member as a whole does not buckle.

    Parameters
    ----------
    solution : DeformingSolution
        First order.
    amplitude : float
        Largest in-plane displacement of a place of the section, on the side to which the loads
        move the member.
    """
    member, course = solution.member, solution.course
    kept = whole_functions(with_plane_strains([course.parts[0].straight])[0])

    def whole(own: Sequence[ReducedSection]) -> Sequence[ReducedSection]:
        return [section.only(kept) for section in with_plane_strains(own)]

    nodes = graded(course.pieces, breaks_of(member), STEP)
    stiff = course_of(member, sections, course.modes, enrich=whole)
    found = critical_factors(prestressed(frame_of(member, stiff, nodes), state.order))
    result = np.zeros(state.solution.field.coefficients.shape)
    for c, row in enumerate(found):
        if row.modes:
            own = _embedded(row.modes[0].field, state, kept)
            first = state.solution.field.coefficients[..., c]
            side = np.sign(-float(np.vdot(own, state.operator(c)(first)))) or 1.0
            result[..., c] = side * amplitude / _largest(state, own) * own
    return result


def whole_functions(section: ReducedSection) -> NDArray[np.intp]:
    """The functions of Saint-Venant's solutions, rigid motions and plane strains: no slow mode, no
    answer to a load."""
    plain = [not name.startswith(_ANSWERS) for name in section.names]
    return np.flatnonzero(np.array(plain) & (section.mode == 0))


def _embedded(field: Amplitudes, state: Prestressed, kept: NDArray[np.intp]) -> Array:
    """Coefficients (e, p + 1, n) on the nodes of `state`, which are finer, of all its functions."""
    nodes, order = state.frame.nodes, state.order
    x = np.polynomial.legendre.leggauss(order + 1)[0]
    back = np.linalg.inv(shapes(order, x)[0])
    found = np.zeros((len(nodes) - 1, order + 1, state.frame.course.size))
    for e, (start, end) in enumerate(pairwise(nodes)):
        if end > start:  # at a hinge or kink two nodes stand at one station
            _, a, _ = field.at(start + (end - start) * (1 + x) / 2)
            found[e][:, kept] = back @ a[..., 0]
    for e in map(int, np.flatnonzero(np.diff(nodes) == 0)):
        found[e, 0], found[e, 1] = found[e - 1, 1], found[e + 1, 0]
    return found


def _largest(state: Prestressed, own: Array) -> float:
    z = np.linspace(0.0, state.frame.member.length, _STATIONS)
    _, a, _ = Amplitudes(state.frame.nodes, own[..., None]).at(z)
    planar = np.linalg.norm(a[..., 0] * state.frame.course.parts[0].straight.planar, axis=1)
    most = 0.0
    for k in np.argsort(planar)[-_LOOKED:]:
        shape = shape_of(state.frame.course.part(float(z[k])), float(z[k]))
        moved = shape.moved(a[k, :, 0])[..., :2]
        most = max(most, float(np.linalg.norm(moved, axis=2).max()))
    return most
