"""Shear flow through a cut: what a weld, a bolt line or any line across a wall must carry.

The flow through a line from border to border is int tau . n ds, n to the right of the line. For
torque it is the difference of the stress function at the ends (exact for cells). For bending shear
it follows from the first moments of the part cut off, -int E (a x + b y) dA, where the cut parts
the section in two, and is integrated from the field where it does not; for warping torque it is
integrated.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ....geometry.errors import InputError
from ....geometry.joint import JointLine
from ....geometry.outline.contour import edge_lengths, edge_points, edge_tangents
from ....geometry.planar.crossings import length_tolerance, meetings
from ....geometry.planar.overlay import planar_map
from ....geometry.section import Slit
from ..area.properties import modulus_ratios
from ..elements.integrals import rule_stations, stations_at
from ..mesh.location import invert, locate
from ..mesh.nearness import edge_distance
from ..mesh.section_mesh import Array, SectionMesh
from ..mesh.triangulation import triangulate
from ..result import SectionResult
from .unit_stress import UnitStress

#: A stretch of an edge: its start, end and bulge, and the fractions of its length it lies between.
Piece = tuple[Array, Array, float, float, float]


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
    """

    line: JointLine
    length: float
    unit_flow: Array
    part: CutPart | None
    miss: float = 0.0

    def flow(self, actions: Array) -> float:
        """Force per length of member under an (8,) vector of actions."""
        return float(self.unit_flow @ actions)

    def uncertainty(self, actions: Array) -> float:
        """How far the flow may be off: `miss` of what was integrated, times a margin of 3.

        At throats that end at the tip of a slit the error is up to twice `miss`.
        """
        integrated = [6] if self.part is not None else [3, 4, 6]
        return 3 * self.miss * float(np.abs(self.unit_flow * actions)[integrated].sum())

    def force_per_weld(self, actions: Array) -> float:
        """Force of each intermittent weld: flow times pitch (see `JointLine.force_per_weld`)."""
        return self.line.force_per_weld(self.flow(actions))


@dataclass(frozen=True, slots=True)
class CutPart:
    """The part of the section on the left of a cut: area and first moments about the centroid,
    modulus-weighted."""

    area: float
    first_moment_x: float
    first_moment_y: float


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
    flow, length, apart, whole = np.zeros(8), 0.0, 0.0, 0.0
    for (p, q, b, u, v), t in inside:
        s = (u + v) / 2 + (v - u) / 2 * x
        spots = edge_points(p[None], q[None], np.array([b]), s)[0]
        tangent = edge_tangents(p[None], q[None], np.array([b]), s)[0] * (w * (v - u) / 2)[:, None]
        xi, eta = invert(mesh, np.full(len(s), t), spots)
        one = np.array([t])
        stations = stations_at(mesh, order, xi, eta, one)
        tau = units.evaluate(stations, one).tau[:, 0]
        step = np.hypot(tangent[:, 0], tangent[:, 1])
        apart += float(units.torsion_disagreement(stations, one)[0] @ step)
        whole += float(np.hypot(tau[5, :, 0], tau[5, :, 1]) @ step)
        flow += tau[..., 0] @ tangent[:, 1] - tau[..., 1] @ tangent[:, 0]
        length += stretch_length((p, q, b, u, v))
    slits = tuple(_slit(*piece) for piece, _ in inside)
    part = _part(units, slits)
    flow[5] = torsion_flow(units.result, inside)
    if part is not None:
        # statics of the part cut off is exact; the integrated field only converges to it
        m = units.result.second_moments
        inverse = np.linalg.inv(np.array([[m.y, m.xy], [m.xy, m.x]]))
        flow[3:5] = -inverse @ [part.first_moment_y, part.first_moment_x]
    return CutFlow(line, length, flow, part, apart / whole)


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
        triangle, xi, eta = locate(field.mesh, np.array(_slit(*piece).points))
        for t, x, y, sign in zip(triangle, xi, eta, (-1.0, 1.0), strict=True):
            one = np.array([t])
            station = stations_at(field.mesh, field.order, np.array([x]), np.array([y]), one)
            rise += sign * float(station.values(field.phi[one])[0, 0])
    return rise / result.torsion_constant


def stretch_length(piece: Piece) -> float:
    """Length of a part of a line."""
    p, q, b, u, v = piece
    return (v - u) * float(edge_lengths(p[None], q[None], np.array([b]))[0])


def _slit(p: Array, q: Array, bulge: float, u: float, v: float) -> Slit:
    """A stretch of the line as a slit."""
    ends = edge_points(p[None], q[None], np.array([bulge]), np.array([u, v]))[0]
    points = tuple((float(x), float(y)) for x, y in ends)
    return Slit(points, (float(np.tan(np.arctan(bulge) * (v - u))),), "cut")


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


def _part(units: UnitStress, slits: tuple[Slit, ...]) -> CutPart | None:
    """The part on the left of the slits, when they part the section."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    section = units.result.section
    mesh = triangulate(planar_map(replace(section, slits=(*section.slits, *slits), joints=())))
    pair = mesh.edge_triangles()
    joined = pair[pair[:, 1] >= 0]
    size = len(mesh.triangles)
    count, label = connected_components(
        coo_array((np.ones(len(joined)), (joined[:, 0], joined[:, 1])), shape=(size, size)),
        directed=False,
    )
    if count != 2:
        return None
    (p, q), (bulge,) = np.array(slits[0].points), slits[0].bulges
    d = q - p
    middle = edge_points(p[None], q[None], np.array([bulge]), np.array([0.5]))[0, 0]
    triangle, _, _ = locate(mesh, (middle + 1e-6 * np.array([-d[1], d[0]]))[None])
    if triangle[0] < 0:
        return None
    stations = rule_stations(mesh, 2, 8)
    own = label == label[triangle[0]]
    weight = stations.weights[own] * modulus_ratios(section)[mesh.region[own]][:, None]
    r = stations.points[own] - units.field.origin
    return CutPart(
        float(weight.sum()), float(np.sum(weight * r[..., 1])), float(np.sum(weight * r[..., 0]))
    )
