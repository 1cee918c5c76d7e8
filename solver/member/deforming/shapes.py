"""The deformed section at a station: the border of its material and how each place of it moves."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.elasticity.fields import Spots
from ...section.deforming.reduced import ReducedSection
from ...section.elements.basis import places_at
from ...section.mesh.section_mesh import Ints
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
    mesh, solid = section.fields.mesh, section.elastic.solid
    other = mesh.edge_triangles()
    # Edges with material on one side alone.
    first = solid[other[:, 0]]
    second = (other[:, 1] >= 0) & solid[other[:, 1]]
    edge = np.flatnonzero(first != second)
    triangle = np.where(first[edge], other[edge, 0], other[edge, 1])
    which = np.argmax(mesh.triangle_edges[triangle] == edge[:, None], axis=1)
    s = np.linspace(0.0, 1.0, places)
    local = ((s, 0 * s), (0 * s, s), (1 - s, s))
    found = []
    for k in range(3):
        own = triangle[which == k]
        if len(own):
            at = places_at(section.fields.order, *local[k])
            found.append((own, section.fields.spots(own, at)))
    return found


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
