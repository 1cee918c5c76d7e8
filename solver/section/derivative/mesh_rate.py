"""How fast a section's mesh moves while a number of its outline changes.

The outline itself is differenced, lines and arcs exactly, and the mesh follows it: nodes on borders
keep their share of their edge, those inside take the harmonic displacement (see `following_mesh`).
No solution is differenced.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from ....geometry.errors import SolveError
from ....geometry.planar.planar_map import PlanarMap
from ....geometry.section import Section
from ..area.properties import area_properties
from ..mesh.following_mesh import FollowingMesh
from ..mesh.section_mesh import Array, SectionMesh, border_of
from .difference import derivative


@dataclass(frozen=True, slots=True, eq=False)
class MeshRate:
    """Derivatives of a mesh to a number.

    Attributes
    ----------
    vertices : (v, 2)
    bulges : (e,)
    loop_areas : (k,)
        Of the areas inside the border's loops.
    """

    vertices: Array
    bulges: Array
    loop_areas: Array


@dataclass(frozen=True, eq=False)
class MovedOutline:
    """A section's outline at a number changed, and how the mesh of the section moves with it.

    Attributes
    ----------
    sections : tuple of Section
        With the number changed by `difference.STEPS` times the step.
    plans : tuple of PlanarMap
        Of these.
    step : float
    rate : MeshRate
        As seen from the origin of the file.
    """

    sections: tuple[Section, ...]
    plans: tuple[PlanarMap, ...]
    step: float
    rate: MeshRate

    @cached_property
    def central_rate(self) -> MeshRate:
        """How the mesh moves as seen from the centroid."""
        places = [area_properties(one).centroid for one in self.sections]
        return replace(self.rate, vertices=self.rate.vertices - derivative(places, self.step))


def followed(plan: PlanarMap, mesh: SectionMesh) -> FollowingMesh:
    """The mesh of a map, made to follow other maps.

    Raises
    ------
    SolveError
        Where it is too large for that.
    """
    found = FollowingMesh.of(plan, mesh)
    if found is None:
        raise SolveError(
            "the section has too many edges for its mesh to follow them, so it has no derivatives; "
            "draw it with fewer vertices, arcs in place of chords"
        )
    return found


def mesh_rate(following: FollowingMesh, plans: Sequence[PlanarMap], step: float) -> MeshRate:
    """Derivatives of a mesh from maps at `difference.STEPS` times a step of the number.

    Raises
    ------
    SolveError
        Where a map has other edges than the mesh's own: the outline's corners merge or part there,
        and no derivative exists.
    """
    moved = [following.onto(plan) for plan in plans]
    there = [mesh for mesh in moved if mesh is not None]
    if len(there) < len(moved):
        raise SolveError(
            "corners or edges of the outline appear or vanish there, so that numbers have no "
            "derivative; change the value a little"
        )
    return MeshRate(
        derivative([mesh.vertices for mesh in there], step),
        derivative([mesh.bulges for mesh in there], step),
        derivative([border_of(mesh).loop_areas for mesh in there], step),
    )
