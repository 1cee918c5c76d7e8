"""Shear flow through a cut: what a weld, a bolt line or any line across a wall must carry.

The flow through a line from border to border is int tau . n ds, n to the right of the line. For
torque it is the difference of the stress function at the ends (exact for cells). For bending shear
it follows from the first moments of the part cut off, -int E (a x + b y) dA, where the cut parts
the section in two, and is integrated from the field where it does not; for warping torque it is
integrated.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from ....geometry.errors import InputError
from ....geometry.joint import JointLine
from ....geometry.outline.contour import edge_lengths, edge_points, edge_tangents
from ....geometry.planar.crossings import length_tolerance, meetings
from ..elements.integrals import stations_at
from ..mesh.location import invert, locate
from ..mesh.nearness import edge_distance
from ..mesh.section_mesh import Array, SectionMesh
from ..result import SectionResult
from .cut_part import CutPart, Piece, part_cut_off, slit_of, stretch_length
from .unit_stress import UnitStress

#: Part of a line's length next to a tip that is taken from the part beyond it.
TIP = 1e-4


@dataclass(frozen=True, slots=True, eq=False)
class CutFlow:
    """Shear flow through one line.

    Attributes
    ----------
    line : JointLine
    length : float
        Length of the line within the material: the throat.
    unit_flow : (8,)
        Flow from left to right per unit action (order of `actions.NAMES`).
    part : CutPart or None
        The part on the left of the line; None where the line does not part the section (the wall of
        a cell).
    miss : float
        Relative disagreement of the two torsion fields along the line, which share their
        singularities with the others: a measure of how far integrated flows have converged.
    unit_doubt : (8,)
        How far each unit flow may be off: 0 where it follows from statics, else three times
        `miss`, since at throats that end at the tip of a slit the error is up to twice `miss`.
    """

    line: JointLine
    length: float
    unit_flow: Array
    part: CutPart | None
    miss: float
    unit_doubt: Array

    def flow(self, actions: Array) -> float:
        """Force per length of member under an (8,) vector of actions."""
        return float(self.unit_flow @ actions)

    def uncertainty(self, actions: Array) -> float:
        """How far the flow under an (8,) vector of actions may be off."""
        return float(np.abs(self.unit_doubt * actions).sum())

    def force_per_weld(self, actions: Array) -> float:
        """Force of each intermittent weld: flow times pitch (see `JointLine.force_per_weld`)."""
        return self.line.force_per_weld(self.flow(actions))


def cut_flow(units: UnitStress, line: JointLine) -> CutFlow:
    """Integrate the unit stresses through a line.

    Raises
    ------
    InputError
        When the line misses the section, or ends inside the material.
    """
    mesh, order = units.field.mesh, units.field.order
    inside = stretches(mesh, line)
    x, w = np.polynomial.legendre.leggauss(order + 2)
    flow, apart, whole = np.zeros(8), 0.0, 0.0
    length = sum(stretch_length(piece) for piece, _ in inside)
    for (p, q, b, u, v), t, share in _shares(units.result, line, inside):
        s = (u + v) / 2 + (v - u) / 2 * x
        spots = edge_points(p[None], q[None], np.array([b]), s)[0]
        tangent = (
            edge_tangents(p[None], q[None], np.array([b]), s)[0]
            * (w * share * (v - u) / 2)[:, None]
        )
        xi, eta = invert(mesh, np.full(len(s), t), spots)
        one = np.array([t])
        stations = stations_at(mesh, order, xi, eta, one)
        tau = units.evaluate(stations, one).tau[:, 0]
        step = np.hypot(tangent[:, 0], tangent[:, 1])
        apart += float(units.torsion_disagreement(stations, one)[0] @ step)
        whole += float(np.hypot(tau[5, :, 0], tau[5, :, 1]) @ step)
        flow += tau[..., 0] @ tangent[:, 1] - tau[..., 1] @ tangent[:, 0]
    part = part_cut_off(units, [inside])
    flow[5] = torsion_flow(units.result, inside)
    integrated = [3, 4, 6]
    if part is not None:
        # statics of the part cut off is exact; the integrated field only converges to it
        flow[3:5] = part.flow_of_shear(units.result)
        integrated = [6]
    doubt = np.zeros(8)
    doubt[integrated] = 3 * apart / whole * np.abs(flow[integrated])
    return CutFlow(line, length, flow, part, apart / whole, doubt)


def _shares(
    result: SectionResult, line: JointLine, inside: Sequence[tuple[Piece, int]]
) -> Iterator[tuple[Piece, int, float]]:
    """The stretches of a line, and how often each counts in an integral along it.

    At a tip the stress runs on as r^(lambda - 1), and the field misses some of it in its last
    triangles: from 0 to d the integral is 1 / (2^lambda - 1) of that from d to 2 d, which stands
    for it.
    """
    close = 1e-6 * result.section.size()
    exponents = []
    for end in (line.points[0], line.points[-1]):
        near = [c.exponent for c in result.corners if np.hypot(*np.subtract(c.point, end)) < close]
        exponents.append(min(near, default=1.0))
    depth = TIP * sum(stretch_length(piece) for piece, _ in inside)
    first, last = (np.array(line.points[k], dtype=float) for k in (0, -1))
    for (p, q, b, u, v), t in inside:
        size = stretch_length((p, q, b, 0.0, 1.0))
        tips = [(0.0, 1.0, exponents[0])] if np.array_equal(p, first) else []
        tips += [(1.0, -1.0, exponents[1])] if np.array_equal(q, last) else []
        tips = [tip for tip in tips if tip[2] < 1]
        breaks = [at + turn * k * depth / size for at, turn, _ in tips for k in (1, 2)]
        for low, high in itertools.pairwise(sorted({u, v, *(x for x in breaks if u < x < v)})):
            share = 1.0
            for at, turn, exponent in tips:
                r = turn * ((low + high) / 2 - at) * size / depth
                share *= 0.0 if r < 1 else 1 + 1 / (2**exponent - 1) if r < 2 else 1.0
            if share:
                yield (p, q, b, low, high), t, share


def stretches(mesh: SectionMesh, line: JointLine) -> list[tuple[Piece, int]]:
    """The parts of a line that run through material, each within one triangle.

    Raises
    ------
    InputError
        When the line misses the section, or ends inside the material.
    """
    points = np.array(line.points, dtype=float)
    bulges = np.array(line.bulges, dtype=float)
    pieces = _pieces(mesh, points[:-1], points[1:], bulges)
    middles = np.vstack(
        [
            edge_points(p[None], q[None], np.array([b]), np.array([(u + v) / 2]))[0]
            for p, q, b, u, v in pieces
        ]
    )
    triangle, _, _ = locate(mesh, middles)
    inside = [(piece, int(t)) for piece, t in zip(pieces, triangle, strict=True) if t >= 0]
    if not inside:
        raise InputError(
            f"the line {line.name!r} does not pass through the section; give points across a wall"
        )
    _check_ends(mesh, line, points)
    return inside


def torsion_flow(result: SectionResult, inside: Sequence[tuple[Piece, int]]) -> float:
    """Flow through the stretches of a line per unit torque: the rise of the stress function."""
    field, rise = result.field, 0.0
    for piece, _ in inside:
        triangle, xi, eta = locate(field.mesh, np.array(slit_of(*piece).points))
        for t, x, y, sign in zip(triangle, xi, eta, (-1.0, 1.0), strict=True):
            one = np.array([t])
            station = stations_at(field.mesh, field.order, np.array([x]), np.array([y]), one)
            rise += sign * float(station.values(field.phi[one])[0, 0])
    return rise / result.torsion_constant


def _pieces(mesh: SectionMesh, start: Array, end: Array, bulges: Array) -> list[Piece]:
    """The line cut where it meets mesh edges: (start, end, bulge, u, v) with u, v fractions of the
    edge."""
    n = len(start)
    p = np.vstack([start, mesh.vertices[mesh.edges[:, 0]]])
    q = np.vstack([end, mesh.vertices[mesh.edges[:, 1]]])
    tolerance = length_tolerance(mesh.vertices)
    met = meetings(p, q, np.concatenate([bulges, mesh.bulges]), tolerance)
    out = []
    for k in range(n):
        places = np.concatenate(
            [met.at_first[met.first == k], met.at_second[met.second == k], [0.0, 1.0]]
        )
        places = np.unique(places)
        size = float(edge_lengths(start[k, None], end[k, None], bulges[k, None])[0])
        for u, v in itertools.pairwise(places):
            if (v - u) * size > 4 * tolerance:
                out.append((start[k], end[k], float(bulges[k]), float(u), float(v)))
    return out


def _check_ends(mesh: SectionMesh, line: JointLine, points: Array) -> None:
    """Both ends must lie on a free border or outside: a flow through part of a wall says nothing of
    a weld."""
    tolerance = 1e-6 * float(np.ptp(mesh.vertices, axis=0).max())
    pair = mesh.edge_triangles()
    border = np.flatnonzero(pair[:, 1] < 0)
    ends = points[[0, -1]]
    a, b = mesh.vertices[mesh.edges[border, 0]], mesh.vertices[mesh.edges[border, 1]]
    distance = edge_distance(ends[:, None], a, b, mesh.bulges[border]).min(axis=1)
    inside = locate(mesh, ends)[0] >= 0
    for point, gap, within in zip(ends, distance, inside, strict=True):
        if within and gap > tolerance:
            raise InputError(
                f"the line {line.name!r} ends inside the material at ({point[0]:.6g}, "
                f"{point[1]:.6g}), "
                f"{gap:.3g} from the border; let it run from border to border"
            )
