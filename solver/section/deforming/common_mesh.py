"""One triangulation for all sections of a member that steps and tapers.

Sections that taper into each other are one triangulation in several places (`family`); sections
that step share one place, where the mesh honours the outlines of both (`union`). Where a member
does both, the mesh is made where its steps are: every family takes part in them with one of its
sections, and moves from there to the others. What is no material of a family follows it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ....geometry.checks.validate import checked_map
from ....geometry.errors import ArrangementError, GeometryError
from ....geometry.section import Section
from ..mesh.section_mesh import Ints, SectionMesh
from .elasticity.meshing import order_for
from .family import Flags, family_of, moved_meshes
from .matching import alike, refuse_unmatched
from .union import CHORDS, union_of

Pairs = Sequence[tuple[int, int]]


@dataclass(frozen=True, slots=True, eq=False)
class CommonMesh:
    """One triangulation for s sections.

    Attributes
    ----------
    base : SectionMesh
        In a place where every triangle has its shape.
    meshes : tuple of SectionMesh
        In the place of each section; one object where they stand in one place.
    order : int
        Of the shape functions.
    region : (s, t) int
        Region of each section that each triangle lies in, -1 where it has no material.
    notes : tuple of str
        What a reader of results should know about the mesh.
    """

    base: SectionMesh
    meshes: tuple[SectionMesh, ...]
    order: int
    region: Ints
    notes: tuple[str, ...] = ()

    def solid(self, section: int) -> Flags:
        """(t,) where a section has material."""
        return np.asarray(self.region[section] >= 0)


def common_mesh(sections: Sequence[Section], tapers: Pairs, steps: Pairs = ()) -> CommonMesh:
    """Mesh the sections of a member together.

    Parameters
    ----------
    sections : sequence of Section
    tapers, steps : sequence of (int, int)
        Which of them the member changes between, gradually or at once.

    Raises
    ------
    GeometryError
        A section is not valid; sections do not match or share no material; a family that steps in
        two places.
    """
    if not tapers:
        union = union_of(sections)
        mesh = union.mesh
        meshes = (mesh,) * len(sections)
        found = CommonMesh(mesh, meshes, union.order, union.region, union.notes)
    else:
        steps = [(i, j) for i, j in steps if not alike(sections[i], sections[j])]
        families = _families(sections, tapers)
        if len(families) == 1 and not steps:
            meshes = family_of(sections)
            region = np.broadcast_to(meshes[0].region, (len(sections), len(meshes[0].region)))
            return CommonMesh(meshes[0], meshes, order_for(meshes[0]), region)
        found = _mixed(sections, families, steps)
    for i, j in steps:
        if not (found.solid(i) & found.solid(j)).any():
            raise ArrangementError(
                f"sections {sections[i].name!r} and {sections[j].name!r} share no material where "
                "the member steps from one to the other: nothing carries its forces across; move "
                "one of them, or put a section between that overlaps both"
            )
    return found


def _families(sections: Sequence[Section], tapers: Pairs) -> list[list[int]]:
    """Sections that taper into each other, by way of others too, or have one outline."""
    number = list(range(len(sections)))
    same = [(i, j) for j in number for i in number[:j] if alike(sections[i], sections[j])]
    for i, j in (*tapers, *same):
        old, new = number[j], number[i]
        number = [new if n == old else n for n in number]
    return [[k for k, n in enumerate(number) if n == one] for one in dict.fromkeys(number)]


def _mixed(sections: Sequence[Section], families: list[list[int]], steps: Pairs) -> CommonMesh:
    stepping = [k for pair in steps for k in pair]
    anchors = []
    for family in families:
        own = [k for k in dict.fromkeys(stepping) if k in family] or family
        apart = [k for k in own if k in stepping and not alike(sections[k], sections[own[0]])]
        if apart:
            raise GeometryError(
                f"sections {sections[own[0]].name!r} and {sections[apart[0]].name!r} taper into "
                "each other and the member steps at both; let only one end of a taper meet a "
                "step, or put the other into a short taper too"
            )
        anchors.append(own[0])
    union = union_of([sections[k] for k in anchors], exact=True)
    if CHORDS in union.notes:
        raise GeometryError(
            "arcs touch lines of other sections where the member steps, which a taper cannot "
            "follow; draw fillets with corners there"
        )
    meshes = [union.mesh] * len(sections)
    row = np.zeros(len(sections), dtype=np.int64)
    for n, (family, anchor) in enumerate(zip(families, anchors, strict=True)):
        first = sections[anchor]
        row[family] = n
        others = [k for k in family if not alike(sections[k], first)]
        for k in others:
            checked_map(sections[k])
            refuse_unmatched(first, sections[k])
        moved = moved_meshes(union.mesh, first, [sections[k] for k in others], union.solid(n))
        for k, mesh in zip(others, moved, strict=True):
            meshes[k] = mesh
    return CommonMesh(union.mesh, tuple(meshes), union.order, union.region[row], union.notes)
