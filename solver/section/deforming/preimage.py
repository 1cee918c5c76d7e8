"""Sections that a member steps to at the far end of a taper, in the place of its near end.

One triangulation serves a member where every section has its outline among the edges. Sections that
step at the near end stand in the place of that end; those at the far end must be drawn there too,
so that the taper brings them where they are. A mesh of the far end and of them goes back with the
taper: it keeps places along the taper's own outline, and what hangs on it follows as a membrane.
Every contour becomes a polygon of the mesh's vertices on it, one and the same in both places.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ....geometry.errors import GeometryError
from ....geometry.outline.contour import Contour
from ....geometry.outline.edge_places import places_on
from ....geometry.section import Section
from ..mesh.section_mesh import Array, SectionMesh
from .family import moved_meshes
from .union import overlaid

#: A vertex lies on an edge within this part of the section's size.
_ON = 1e-9


@dataclass(frozen=True, slots=True)
class Preimage:
    """One outline in two places, corner by corner.

    Attributes
    ----------
    near, far : Section
        In the place of the taper's near end, and where it is.
    """

    near: Section
    far: Section


def preimages(near: Section, far: Section, others: Sequence[Section]) -> list[Preimage]:
    """Sections that stand where a taper has its far end, in the place of the near one.

    Raises
    ------
    GeometryError
        One of them has arcs or slits, or the mesh would fold on the way.
    """
    for section in others:
        if section.slits or not all(c.is_polygon for c in section.contours()):
            raise GeometryError(
                f"section {section.name!r} has arcs or slits, which cannot stand where a taper "
                "between two steps ends; draw fillets with corners and gaps with their width"
            )
    mesh, belongs = overlaid([far, *others])
    moved = moved_meshes(mesh, far, [near], belongs[0][mesh.region] >= 0)[0]
    return [_preimage(section, mesh, moved.vertices) for section in others]


def _preimage(section: Section, mesh: SectionMesh, places: Array) -> Preimage:
    near, far = [], []
    for region in section.regions:
        drawn = [_divided(c, mesh.vertices, places, section.size()) for c in region.contours]
        near.append(region.within([one for one, _ in drawn]))
        far.append(region.within([other for _, other in drawn]))
    return Preimage(
        replace(section, regions=tuple(near), joints=()),
        replace(section, regions=tuple(far), joints=()),
    )


def _divided(
    contour: Contour, vertices: Array, places: Array, size: float
) -> tuple[Contour, Contour]:
    """The contour by the vertices on it, in their other places and where they are."""
    found = places_on(vertices, contour.points, contour.ends, contour.bulges, _ON * size)
    order = []
    for share in found:
        on = np.flatnonzero(share < 1)  # false for nan, which is off the edge
        order.append(on[np.argsort(share[on])])
    row = np.concatenate(order)
    return Contour(places[row]), Contour(vertices[row])
