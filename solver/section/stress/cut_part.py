"""What a cut takes off a section: the part on its left, by area and first moments."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ....geometry.outline.contour import edge_lengths, edge_points
from ....geometry.planar.crossings import length_tolerance
from ....geometry.planar.overlay import planar_map
from ....geometry.section import Slit
from ..area.properties import modulus_ratios
from ..elements.integrals import rule_stations
from ..mesh.location import locate
from ..mesh.section_mesh import Array
from ..mesh.triangulation import triangulate
from ..result import SectionResult
from .unit_stress import UnitStress

#: A stretch of an edge: its start, end and bulge, and the fractions of its length it lies between.
Piece = tuple[Array, Array, float, float, float]


@dataclass(frozen=True, slots=True)
class CutPart:
    """The part of the section on the left of a cut: area and first moments about the centroid,
    modulus-weighted."""

    area: float
    first_moment_x: float
    first_moment_y: float

    def flow_of_shear(self, result: SectionResult) -> Array:
        """(2,) flow that unit V_x and V_y send from the part through what joins it to the rest."""
        m = result.second_moments
        inverse = np.linalg.inv(np.array([[m.y, m.xy], [m.xy, m.x]]))
        return np.asarray(-inverse @ [self.first_moment_y, self.first_moment_x])


def part_cut_off(units: UnitStress, lines: Sequence[Sequence[tuple[Piece, int]]]) -> CutPart | None:
    """The part on the left of the first of some lines, given as their stretches, when they part the
    section."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    section = units.result.section
    gap = 20 * length_tolerance(units.field.mesh.vertices)
    slits = tuple(slit_of(*run) for inside in lines for run in _runs(inside, gap))
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


def stretch_length(piece: Piece) -> float:
    """Length of a part of a line."""
    p, q, b, u, v = piece
    return (v - u) * float(edge_lengths(p[None], q[None], np.array([b]))[0])


def _runs(inside: Sequence[tuple[Piece, int]], gap: float) -> list[Piece]:
    """The stretches of a line joined where no gap lies between them, nor between them and its ends:
    stretches shorter than a tolerance have been left out."""
    runs: list[Piece] = []
    for (p, q, b, u, v), _ in inside:
        size = stretch_length((p, q, b, 0.0, 1.0))
        u, v = (0.0 if u * size < gap else u), (1.0 if (1 - v) * size < gap else v)
        if runs and np.array_equal(runs[-1][:2], (p, q)) and (u - runs[-1][4]) * size < gap:
            u = runs.pop()[3]
        runs.append((p, q, b, u, v))
    return runs


def slit_of(p: Array, q: Array, bulge: float, u: float, v: float) -> Slit:
    """A stretch of the line as a slit."""
    ends = edge_points(p[None], q[None], np.array([bulge]), np.array([u, v]))[0]
    points = tuple((float(x), float(y)) for x, y in ends)
    return Slit(points, (float(np.tan(np.arctan(bulge) * (v - u))),), "cut")
