"""One triangulation for all sections of a member that steps and tapers.

Sections that taper into each other are one triangulation in several places (`family`); sections
that step share one place, where the mesh honours the outlines of both (`union`). Where a member
does both, the mesh is made where its steps are: every family takes part in them with one of its
sections, and moves from there to the others. What is no material of a family follows it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ....geometry.checks.validate import checked_map
from ....geometry.errors import ArrangementError, GeometryError
from ....geometry.section import Section
from ..mesh.section_mesh import Ints, SectionMesh
from .elasticity.meshing import order_for
from .family import Flags, family_of, moved_meshes
from .matching import alike, refuse_unmatched
from .preimage import Preimage, preimages
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
    anchors, drawn = [], list(sections)
    beyond: dict[int, _FarEnd] = {}
    for n, family in enumerate(families):
        own: list[int] = []
        for k in dict.fromkeys(stepping):
            if k in family and not any(alike(sections[k], sections[j]) for j in own):
                own.append(k)
        far = None
        if len(own) > 1:
            own, far = _far_end(sections, families, steps, own)
        anchors.append((own or family)[0])
        if far is not None:
            beyond[n] = far
            for k, one in far.drawn.items():
                drawn[k] = one.near
    union = union_of([drawn[k] for k in anchors], exact=True)
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
        if any(k in family for far in beyond.values() for k in far.drawn):
            continue
        moved = moved_meshes(union.mesh, first, [sections[k] for k in others], union.solid(n))
        for k, mesh in zip(others, moved, strict=True):
            meshes[k] = mesh
    for n, far in beyond.items():
        solid = union.solid(n)
        for m, family in enumerate(families):
            if any(k in family for k in far.drawn):
                solid = solid | union.solid(m)
        ends = [_together(sections[anchors[n]], [one.near for one in far.drawn.values()])]
        ends.append(_together(sections[far.end], [one.far for one in far.drawn.values()]))
        mesh = moved_meshes(union.mesh, ends[0], ends[1:], solid)[0]
        alike_end = [k for k in families[n] if alike(sections[k], sections[far.end])]
        for k in (*alike_end, *far.drawn):
            meshes[k] = mesh
    return CommonMesh(union.mesh, tuple(meshes), union.order, union.region[row], union.notes)


@dataclass(frozen=True, slots=True)
class _FarEnd:
    """Where a taper between two steps ends: its section there, and by number those that stand
    there, drawn in both places."""

    end: int
    drawn: dict[int, Preimage]


def _far_end(
    sections: Sequence[Section], families: list[list[int]], steps: Pairs, own: list[int]
) -> tuple[list[int], _FarEnd]:
    """Which of two sections of a family is met where the other sections stand (first), and the
    other one with what the member steps to there, which must not taper.

    Raises
    ------
    GeometryError
        Neither end of the taper, or more than two of its sections.
    """
    for near, end in (own, reversed(own)) if len(own) == 2 else ():
        ends = [k for k in _family_of(families, end) if alike(sections[k], sections[end])]
        met = _standing(steps, ends)
        partners = [k for k in met if k not in ends]
        plain = all(
            alike(sections[k], sections[j]) for k in partners for j in _family_of(families, k)
        )
        if plain and near not in met:
            every = sorted({j for k in partners for j in _family_of(families, k)})
            drawn = preimages(sections[near], sections[end], [sections[k] for k in every])
            return [near], _FarEnd(end, dict(zip(every, drawn, strict=True)))
    raise GeometryError(
        f"sections {sections[own[0]].name!r} and {sections[own[1]].name!r} taper into each other "
        "and the member steps at both, to sections that taper themselves; let only one end of a "
        "taper meet such a step, or put the other into a short taper too"
    )


def _family_of(families: list[list[int]], section: int) -> list[int]:
    return next(family for family in families if section in family)


def _standing(steps: Pairs, first: list[int]) -> list[int]:
    """Sections that steps join to the first ones."""
    met, grown = set(first), True
    while grown:
        more = {k for pair in steps if met & set(pair) for k in pair}
        grown = not more <= met
        met |= more
    return sorted(met)


def _together(first: Section, others: Sequence[Section]) -> Section:
    """The outlines of all as those of one, to be moved with it."""
    return replace(first, regions=tuple(r for s in (first, *others) for r in s.regions))
