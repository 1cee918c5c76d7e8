"""Several sections of one member on one mesh that honours the outlines of all.

The plane is cut into cells that belong to the same sections throughout; each section is the cells
that it fills, with its own material in each.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from ....geometry.checks.validate import checked_map
from ....geometry.errors import ArrangementError, GeometryError, MeshError
from ....geometry.outline.contour import Contour
from ....geometry.outline.near_edges import drawn_onto
from ....geometry.planar.boolean import difference, intersection
from ....geometry.planar.overlay import planar_map
from ....geometry.section import Region, Section, Slit
from ..mesh.section_mesh import Ints, SectionMesh
from ..mesh.triangulation import triangulate
from .elasticity.meshing import layered, order_for, sharp_corners
from .elasticity.part import part_of
from .matching import same_slits


@dataclass(frozen=True, slots=True, eq=False)
class Union:
    """The common mesh.

    Attributes
    ----------
    mesh : SectionMesh
    order : int
    region : (s, t) int
        Region of each section that each triangle lies in, -1 where the section has no material.
    notes : tuple of str
        What a reader of results should know about the mesh.
    """

    mesh: SectionMesh
    order: int
    region: Ints
    notes: tuple[str, ...] = ()

    def solid(self, section: int) -> NDArray[np.bool_]:
        """(t,) where a section has material."""
        return np.asarray(self.region[section] >= 0)


#: Largest distance of chords that stand for arcs, by the section's size.
_DEVIATION = 1e-4

#: The note of a mesh with chords for arcs.
CHORDS = (
    "arcs stand as chords where the member steps between its sections: they leave the arcs by a "
    "ten-thousandth of the section, which moves a torsion constant by some 0.2 %"
)

#: Outlines that run closer than this part of a wall's thickness are meant as one.
_NEAR = 1 / 300

#: The note of a mesh in which such outlines are one.
NEAR = (
    "outlines of its sections that run less than a three-hundredth of a wall apart stand as one "
    "where the member steps"
)

#: A cell: regions, and the region of each section that they belong to (-1: none).
_Cell = tuple[tuple[Region, ...], tuple[int, ...]]


def union_of(sections: Sequence[Section], *, exact: bool = False) -> Union:
    """Mesh sections together; `exact` keeps outlines apart that all but coincide.

    Raises
    ------
    GeometryError
        A section is not valid, has slits that another has not, or shares no material with any
        other.
    """
    plans = [checked_map(section) for section in sections]
    notes: tuple[str, ...] = ()
    if len(sections) == 1:
        mesh, belongs = triangulate(plans[0]), np.arange(len(sections[0].regions))[None]
    else:
        drawn = sections if exact else _as_one(sections)
        if any(a is not b for a, b in zip(drawn, sections, strict=True)):
            notes, sections = (NEAR,), drawn
        try:
            mesh, belongs = overlaid(sections)
        except MeshError:
            # Where an arc of one section touches a line of another the cell between them ends in a
            # cusp, which no triangle with an arc can fill; chords leave it an angle.
            mesh, belongs = overlaid([_chorded(section) for section in sections])
            notes = (*notes, CHORDS)
    region = belongs[:, mesh.region]
    places = [
        sharp_corners(_relabelled(mesh, own), _shear(section))
        for section, own in zip(sections, region, strict=True)
    ]
    mesh = layered(mesh, np.unique(np.vstack(places), axis=0))
    return Union(mesh, order_for(mesh), belongs[:, mesh.region], notes)


def overlaid(sections: Sequence[Section]) -> tuple[SectionMesh, Ints]:
    """A mesh of all sections, and by its regions the region of each section (-1: none)."""
    slits = _shared_slits(sections)
    cells = _cells(sections)
    _refuse_strangers(sections, cells)
    pieces = [(region, own) for regions, own in cells for region in regions]
    plan = planar_map(Section(tuple(region for region, _ in pieces), slits=slits))
    return triangulate(plan), np.array([own for _, own in pieces]).T


def _shared_slits(sections: Sequence[Section]) -> tuple[Slit, ...]:
    """The slits that all sections have; the mesh is open along them for all."""
    first = sections[0]
    for other in sections[1:]:
        if not same_slits(first, other):
            one, rest = (first, other) if first.slits else (other, first)
            has = "others" if rest.slits else "none"
            raise GeometryError(
                f"section {one.name!r} has slits where {rest.name!r} has {has}: at a step between "
                "them a cut of no width would have to close at once, which a mesh that both share "
                "cannot; draw the cut as a gap of some width (a tenth of the wall's thickness "
                "does), or give both sections the same slits"
            )
    return first.slits


def _as_one(sections: Sequence[Section]) -> list[Section]:
    """The sections, the later ones drawn onto outlines of those before that they all but follow."""
    found = list(sections[:1])
    for section in sections[1:]:
        before = [contour for other in found for contour in other.contours()]
        distance = _NEAR * min(_thickness(one) for one in (*found, section))
        found.append(_redrawn(section, partial(drawn_onto, others=before, distance=distance)))
    return found


def _thickness(section: Section) -> float:
    """Twice the area by the length of the outline: that of thin walls."""
    contours = list(section.contours())
    return 2 * abs(sum(c.area() for c in contours)) / sum(c.length() for c in contours)


def _chorded(section: Section) -> Section:
    """The section with its arcs as chords that leave them by `_DEVIATION`."""
    deviation = _DEVIATION * section.size()

    def chords(contour: Contour) -> Contour:
        return contour if contour.is_polygon else Contour(contour.polyline(deviation))

    return _redrawn(section, chords)


def _redrawn(section: Section, drawn: Callable[[Contour], Contour]) -> Section:
    """The section with its contours drawn anew; itself where that changes none."""
    found = [[drawn(c) for c in r.contours] for r in section.regions]
    if all(a is b for a, b in zip(chain(*found), section.contours(), strict=True)):
        return section
    return replace(
        section,
        regions=tuple(r.within(own) for r, own in zip(section.regions, found, strict=True)),
    )


def _relabelled(mesh: SectionMesh, region: Ints) -> SectionMesh:
    """One section's part of a mesh, its triangles by the section's own regions."""
    if (region == mesh.region).all():
        return mesh
    some = np.flatnonzero(region >= 0)
    return replace(part_of(mesh, 2, some).mesh, region=region[some])


def _shear(section: Section) -> NDArray[np.float64]:
    return np.array([r.material.shear for r in section.regions])


def _cells(sections: Sequence[Section]) -> list[_Cell]:
    cells: list[_Cell] = []
    for k, section in enumerate(sections):
        regions = list(section.regions)
        before = [region for parts, _ in cells for region in parts]
        finer: list[_Cell] = []
        for parts, own in cells:
            for n, region in enumerate(regions):
                finer.append((intersection(parts, [region]), (*own, n)))
            finer.append((difference(parts, regions), (*own, -1)))
        for n, region in enumerate(regions):
            rest = difference([region], before) if before else (region,)
            finer.append((rest, (*(-1 for _ in range(k)), n)))
        cells = [cell for cell in finer if cell[0]]
    return cells


def _refuse_strangers(sections: Sequence[Section], cells: list[_Cell]) -> None:
    """Every section must share material, by way of others, with the first."""
    met, grown = {0}, True
    while grown:
        groups = [{k for k, n in enumerate(own) if n >= 0} for _, own in cells]
        wider = met.union(*(group for group in groups if group & met))
        met, grown = wider, len(wider) > len(met)
    for k, section in enumerate(sections):
        if k not in met:
            raise ArrangementError(
                f"sections {sections[0].name!r} and {section.name!r} share no material: nothing "
                "carries the forces from one to the other; move one of them, or put a section "
                "between that overlaps both"
            )
