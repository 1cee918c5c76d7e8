"""Sections that change into each other along the member, on one mesh whose vertices move.

The mesh is made once, on the section in the middle of the family. A vertex on a contour or a slit
keeps its place along its edge (by arc length); the others follow as a membrane that these stretch.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.checks.validate import checked_map
from ....geometry.errors import GeometryError
from ....geometry.outline.contour import edge_points, sub_bulge
from ....geometry.outline.edge_places import places_on
from ....geometry.outline.tapering import intermediate
from ....geometry.place_words import place
from ....geometry.section import Section
from ..mesh.membrane import membrane_stiffness
from ..mesh.refinement import smallest_stretch
from ..mesh.section_mesh import Array, Ints, SectionMesh
from ..mesh.triangulation import triangulate
from .elasticity.meshing import layered, sharp_corners
from .matching import refuse_unmatched

Flags = NDArray[np.bool_]

#: A vertex lies on an edge within this part of the section's size.
_ON = 1e-9
#: Smallest area of a moved triangle, by that of its place in the middle section, both by their
#: sections: below, the family folds.
_LEAST = 1e-3
#: Stiffness by which what hangs on no contour stays where it is, by that of the rest.
_LOOSE = 1e-10


def family_of(sections: Sequence[Section]) -> tuple[SectionMesh, ...]:
    """One triangulation in the places of sections that match corner by corner.

    Raises
    ------
    GeometryError
        A section is not valid, two of them do not match (names the corner), or the mesh would fold
        on the way.
    """
    for section in sections:
        checked_map(section)
    for section in sections[1:]:
        refuse_unmatched(sections[0], section)
    middle = sections[0]
    for k, section in enumerate(sections[1:], 1):
        middle = intermediate(middle, section, 1 / (k + 1))
    mesh = triangulate(checked_map(middle))
    shear = np.array([r.material.shear for r in middle.regions])
    mesh = layered(mesh, sharp_corners(mesh, shear))
    return moved_meshes(mesh, middle, sections)


def moved_meshes(
    mesh: SectionMesh, own: Section, sections: Sequence[Section], solid: Flags | None = None
) -> tuple[SectionMesh, ...]:
    """A mesh that honours the contours of the section `own`, in the places of others that match it.

    Parameters
    ----------
    mesh : SectionMesh
    own : Section
    sections : sequence of Section
    solid : (t,) bool, optional
        Which triangles are material of `own`; the others follow.

    Raises
    ------
    GeometryError
        The mesh would fold on the way.
    """
    lines = _lines_of(mesh, own)
    every = np.ones(len(mesh.triangles), dtype=bool) if solid is None else solid
    return tuple(_moved(mesh, lines, section, every) for section in sections)


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Where a mesh lies on the contours' edges, numbered through all contours.

    Attributes
    ----------
    vertex, edge, at : (k,)
        Vertices on edges, and their place along them, 0 to 1; a corner is on two.
    mesh_edge, line, start, end : (m,)
        Mesh edges on edges, with the places of their lower and higher vertex.
    """

    vertex: Ints
    edge: Ints
    at: Array
    mesh_edge: Ints
    line: Ints
    start: Array
    end: Array


def _edges(section: Section) -> tuple[Array, Array, Array]:
    """Starts, ends and bulges of all contours' edges, and of slits'."""
    contours, slits = list(section.contours()), [np.array(s.points) for s in section.slits]
    return (
        np.vstack([*(c.points for c in contours), *(s[:-1] for s in slits)]),
        np.vstack([*(c.ends for c in contours), *(s[1:] for s in slits)]),
        np.concatenate([*(c.bulges for c in contours), *(s.bulges for s in section.slits)]),
    )


def _lines_of(mesh: SectionMesh, section: Section) -> _Lines:
    start, end, bulge = _edges(section)
    slack = _ON * section.size()
    places = places_on(mesh.vertices, start, end, bulge, slack)  # nan off the edge
    edge, vertex = np.nonzero(np.isfinite(places))
    a, b = mesh.edges.T
    found: list[tuple[Ints, Ints]] = []
    for k in range(len(start)):
        on = np.isfinite(places[k])
        both = on[a] & on[b]
        if bulge[k]:
            both &= mesh.bulges != 0
        own = np.flatnonzero(both)
        found.append((own, np.full(len(own), k)))
    mesh_edge, line = (np.concatenate(parts) for parts in zip(*found, strict=True))
    # a border shared by two contours is on an edge of each: either tells the same
    mesh_edge, first = np.unique(mesh_edge, return_index=True)
    line = line[first]
    return _Lines(
        vertex,
        edge,
        places[edge, vertex],
        mesh_edge,
        line,
        places[line, mesh.edges[mesh_edge, 0]],
        places[line, mesh.edges[mesh_edge, 1]],
    )


def _moved(mesh: SectionMesh, lines: _Lines, section: Section, solid: Flags) -> SectionMesh:
    """The mesh in its place on one of the sections."""
    start, end, bulge = _edges(section)
    e = lines.edge
    on = edge_points(start[e], end[e], bulge[e], lines.at[:, None])[:, 0]
    vertices = np.full_like(mesh.vertices, np.nan)
    vertices[lines.vertex] = on
    astray = np.hypot(*(vertices[lines.vertex] - on).T) > 1e-6 * section.size()
    if astray.any():
        where = place(on[np.argmax(astray)], section.unit)
        raise GeometryError(
            f"section {section.name!r} cannot taper: two regions that share a border come apart "
            f"near {where}; let their corners move together"
        )
    _follow(mesh, vertices, _LOOSE if not solid.all() else 0.0)
    bulges = np.zeros(len(mesh.edges))
    share = lines.end - lines.start
    bulges[lines.mesh_edge] = sub_bulge(bulge[lines.line], np.abs(share)) * np.sign(share)
    moved = replace(mesh, vertices=vertices, bulges=bulges)
    turn = np.sign(_areas(mesh))
    area, before = (turn * _areas(m) for m in (moved, mesh))
    # what is no material of the section need only not turn over
    least = _LEAST * before * np.abs(area[solid].sum() / before[solid].sum())
    bad = (area < least) | (smallest_stretch(moved) < _LEAST)
    if bad.any():
        where = place(moved.corners[np.argmax(bad)].mean(axis=0), section.unit)
        raise GeometryError(
            f"section {section.name!r} is too far from the others to taper: the material folds "
            f"near {where} on the way; let its corners keep their order, or step to a section in "
            "between"
        )
    return moved


def _areas(mesh: SectionMesh) -> Array:
    """(t,) signed areas of the straight triangles."""
    c = mesh.corners
    d1, d2 = c[:, 1] - c[:, 0], c[:, 2] - c[:, 0]
    return np.asarray((d1[:, 0] * d2[:, 1] - d1[:, 1] * d2[:, 0]) / 2)


def _follow(mesh: SectionMesh, vertices: Array, hold: float) -> None:
    """Fill in the vertices that lie on no contour: displacements linear in each triangle with the
    least int |grad|^2 / area.

    Without the area the gradient grows without bound toward a re-entrant corner whose two edges
    stretch by different amounts, and the smallest triangles there fold. What hangs on no contour
    stays where it is by `hold`, a share of the stiffness.
    """
    from scipy.sparse import diags_array
    from scipy.sparse.linalg import spsolve

    inner = np.isnan(vertices[:, 0])
    if not inner.any():
        return
    area = np.abs(_areas(mesh))
    stiff = membrane_stiffness(mesh, area.mean() / area)
    shift = np.where(inner[:, None], 0.0, vertices - mesh.vertices)
    load = -(stiff @ shift)[inner]
    free = np.flatnonzero(inner)
    own = stiff[free][:, free] + hold * diags_array(stiff.diagonal()[free])
    found = spsolve(own.tocsc(), load).reshape(len(free), 2)
    vertices[inner] = mesh.vertices[inner] + found
