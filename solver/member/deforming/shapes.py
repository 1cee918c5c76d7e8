"""The deformed section at a station: the border of its material and how each place of it moves."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.elasticity.elastic import Elastic
from ...section.deforming.elasticity.fields import Spots
from ...section.deforming.reduced import ReducedSection
from ...section.elements.basis import Places, places_at
from ...section.mesh.section_mesh import Ints, SectionMesh
from .course import MemberPart
from .solution import DeformingSolution

Array = NDArray[np.float64]

#: Places on each border edge, its ends among them.
PLACES = 5


@dataclass(frozen=True, slots=True, eq=False)
class SectionShape:
    """The border of a section and its movement.

    Attributes
    ----------
    edges : (e, s, 2)
        Places along each edge of the border, undeformed.
    rows : (e, s, 3, n)
        Movement of each place is rows @ a.
    """

    edges: Array
    rows: Array

    def moved(self, functions: Array) -> Array:
        """(e, s, 3) movement for the functions (n,) at a station."""
        return np.asarray(self.rows @ functions)


def shape_at(solution: DeformingSolution, z: float, side: str = "right") -> SectionShape:
    """The border of the section at a station."""
    part = solution.course.part(z, side)
    return shape_of(part, z)


def border_spots(section: ReducedSection, places: int) -> list[tuple[Ints, Spots]]:
    """Triangles on the border of the material, and spots along their edges there, ends among
    them; one entry for each local edge that occurs."""
    triangle, which = border_edges(section.fields.mesh, section.elastic)
    found = []
    for k in range(3):
        own = triangle[which == k]
        if len(own):
            at = _edge_places(section.fields.order, k, places)
            found.append((own, section.fields.spots(own, at)))
    return found


@lru_cache(maxsize=8)
def border_edges(mesh: SectionMesh, elastic: Elastic) -> tuple[Ints, Ints]:
    """Triangles at the edges with material on one side alone, and which of their edges it is."""
    solid, other = elastic.solid, mesh.edge_triangles()
    first = solid[other[:, 0]]
    second = (other[:, 1] >= 0) & solid[other[:, 1]]
    edge = np.flatnonzero(first != second)
    triangle = np.where(first[edge], other[edge, 0], other[edge, 1])
    return triangle, np.argmax(mesh.triangle_edges[triangle] == edge[:, None], axis=1)


@lru_cache(maxsize=32)
def _edge_places(order: int, edge: int, count: int) -> Places:
    """Even places along an edge of the unit triangle."""
    return places_at(order, *along_edge(np.full(count, edge), np.linspace(0.0, 1.0, count)))


def along_edge(edge: Ints, s: Array) -> tuple[Array, Array]:
    """(xi, eta) of shares s of edges of the unit triangle."""
    return np.choose(edge, (s, 0 * s, 1 - s)), np.choose(edge, (0 * s, s, s))


def shape_of(part: MemberPart, z: float) -> SectionShape:
    """The border of the section of a part of the member."""
    section = part.at(z)
    edges, rows = [], []
    for _, spots in border_spots(section, PLACES):
        edges.append(spots.points)
        rows.append(section.fields.at(spots)[0])
    return SectionShape(np.concatenate(edges), np.concatenate(rows))


def without_mean(edges: Array, values: Array) -> Array:
    """Values (e, s, ...) at the places of a border, less their mean along it."""
    step = np.linalg.norm(np.diff(edges, axis=1), axis=2)
    weight = np.zeros(edges.shape[:2])
    weight[:, :-1] += step / 2
    weight[:, 1:] += step / 2
    return np.asarray(values - np.einsum("es,es...->...", weight, values) / weight.sum())
