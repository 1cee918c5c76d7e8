"""Many sections: those of one build that lie near each other share a mesh and are solved at once.

The first section of a family is solved by itself, as `solve_section` does; its mesh then follows
the outlines of the others. What a section gets this way is what it would get alone: its own check,
both bounds of its J to the accuracy asked for, the same refinement of its largest stress. A section
that the mesh cannot follow, that is not valid beyond doubt, or that would need more refinement, is
left to a family of its own or solved alone.

That borders are clear of each other (`clear_borders`) and no triangle of a mesh that covers them is
folded makes a section valid: the mesh covers each place as often as the borders wind around it, the
outer one once and every hole less once; none can be covered less than not at all, so every hole
lies inside the outer border and outside the others, and no place is covered twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from time import perf_counter
from typing import Any

import numpy as np

from ....geometry.checks.clear_borders import clear_borders
from ....geometry.errors import SoapfilmError
from ....geometry.outline.alike import AlikeEdges
from ....geometry.planar.planar_map import PlanarMap
from ....geometry.section import Section
from ...accuracy import ACCURACY
from ..area.properties import AreaProperties
from ..mesh.following_mesh import FollowingMesh
from ..mesh.refinement import refined_around
from ..mesh.section_mesh import Ints
from ..result import SectionResult
from ..solve import solve_section
from ..torsion.interval import SLENDER
from ..torsion.peak_search import GOOD_CHANGE
from .areas import area_properties_of
from .fields import Template
from .gathered import Members, results_of

#: Triangles handled at once: their matrices stay within the processor's own memory.
_AT_ONCE = 3200
#: A family of fewer sections than this is not worth its preparation.
_FEW = 4
#: Beginnings after which a set of sections is no family: each must have found so many followers.
_TRIES, _FOLLOWERS = 3, 3
#: The first section's largest stress is refined to this part of what is asked of the others.
_MARGIN = 0.6


def solve_sections(
    sections: Sequence[Section], accuracy: float = ACCURACY
) -> list[SectionResult | SoapfilmError]:
    """Solve sections, those of one build together.

    Parameters
    ----------
    sections : sequence of Section
        Near ones side by side in the sequence are solved fastest.
    accuracy : float
        As of `solve_section`.

    Returns
    -------
    list of SectionResult or SoapfilmError
        The error is what `solve_section` raises for that section.
    """
    out: list[SectionResult | SoapfilmError | None] = [None] * len(sections)
    builds: dict[Any, list[int]] = {}
    for k, section in enumerate(sections):
        builds.setdefault(_build_of(section) or k, []).append(k)
    for rows in builds.values():
        pending, idle = rows, 0
        while len(pending) >= _FEW and idle < _TRIES:
            first, rest = pending[len(pending) // 2], pending
            out[first] = began = _alone(sections[first], accuracy)
            pending = [k for k in rest if k != first]
            if not isinstance(began, SectionResult):
                continue
            found = _followers(began, [sections[k] for k in pending], accuracy)
            for k, result in zip(pending, found, strict=True):
                out[k] = result
            left = [k for k in pending if out[k] is None]
            idle += len(pending) - len(left) < _FOLLOWERS
            pending = left
        for k in pending:
            out[k] = _alone(sections[k], accuracy)
    return [one for one in out if one is not None]


def _build_of(section: Section) -> Any:
    """What sections of one family have in common; None of one that has none."""
    if len(section.regions) > 1 or section.slits or section.deviation:
        return None
    region = section.regions[0]
    shape = tuple((c.bulges != 0).tobytes() for c in region.contours)
    return shape, region.material, section.unit


def _alone(section: Section, accuracy: float) -> SectionResult | SoapfilmError:
    try:
        return solve_section(section, accuracy)
    except SoapfilmError as error:
        return error


@dataclass(frozen=True, slots=True, eq=False)
class _Family:
    """A mesh that follows outlines, and what is numbered once for all of them."""

    following: FollowingMesh
    template: Template
    began: SectionResult
    accuracy: float

    @property
    def at_once(self) -> int:
        """Sections solved together."""
        return max(1, _AT_ONCE // len(self.template.mesh.triangles))

    def solved(
        self, sections: Sequence[Section], edges: AlikeEdges, areas: list[AreaProperties]
    ) -> list[SectionResult | None]:
        """Some of its sections; None for those that must be solved otherwise."""
        begin = perf_counter()
        out: list[SectionResult | None] = [None] * len(sections)
        vertices, bulges, sound = self.following.moved(edges.start, edges.end, edges.bulges)
        sound &= clear_borders(edges)
        rows = np.flatnonzero(sound)
        if not rows.size:
            return out
        own = [areas[int(k)] for k in rows]
        origin = np.array([one.centroid for one in own])
        stack = self.template.solved(vertices[rows], bulges[rows], origin)
        middle = (stack.upper + stack.lower) / 2
        polar = np.array([one.second_moments.x + one.second_moments.y for one in own])
        with np.errstate(invalid="ignore"):
            good = stack.upper - stack.lower <= self.accuracy * middle
            good &= polar <= SLENDER * stack.lower
        members = Members(
            [sections[int(k)] for k in rows], edges.rows(rows), own, self.accuracy, begin
        )
        found = results_of(stack, members, self.began.corners, good)
        for k, result in zip(rows.tolist(), found, strict=True):
            if result is not None and (result.corners or _peak_known(result)):
                out[k] = result
        return out


def _peak_known(result: SectionResult, share: float = 1.0) -> bool:
    return bool(result.torsion_modulus.change <= share * GOOD_CHANGE)


def _followers(
    began: SectionResult, sections: Sequence[Section], accuracy: float
) -> list[SectionResult | None]:
    """Results of sections by the mesh of one of their build; None where it is no good."""
    family = _family_of(began, accuracy)
    if family is None or not sections:
        return [None] * len(sections)
    edges = AlikeEdges.of([s.regions[0].contours for s in sections])
    areas = area_properties_of(edges, began.reference)
    out: list[SectionResult | None] = []
    for first in range(0, len(sections), family.at_once):
        some = slice(first, first + family.at_once)
        out += family.solved(
            sections[some], edges.rows(np.arange(len(sections))[some]), areas[some]
        )
    return out


def _family_of(began: SectionResult, accuracy: float) -> _Family | None:
    """Let the mesh of a solved section follow others, refined where its largest stress is until
    there is room for theirs; None where it cannot."""
    contours = began.section.regions[0].contours
    edges = AlikeEdges.of([contours])
    plan = _plan_of(edges)
    areas = area_properties_of(edges, began.reference)
    mesh, modulus, family = began.field.mesh, began.torsion_modulus, None
    for _ in range(_TRIES):
        following = FollowingMesh.of(plan, mesh)
        if following is None:
            break
        family = _Family(following, Template.of(mesh, began.field.order), began, accuracy)
        if mesh is not began.field.mesh:
            (found,) = family.solved([began.section], edges, areas)
            if found is None:
                break
            modulus = found.torsion_modulus
        if began.corners or modulus.at is None or modulus.change <= _MARGIN * GOOD_CHANGE:
            break
        mesh = refined_around(mesh, np.array([modulus.at, *modulus.doubtful]))
    return family


def _plan_of(edges: AlikeEdges) -> PlanarMap:
    """The planar map of one valid outline of one region, in the order of its contours' edges."""
    n = len(edges.after)
    ends: Ints = np.stack([np.arange(n), edges.after], axis=1)
    loops = tuple(
        np.flatnonzero(edges.contour == c) + 1 for c in range(int(edges.contour.max()) + 1)
    )
    return PlanarMap(
        edges.start[0],
        ends,
        edges.bulges[0],
        np.zeros(n, dtype=bool),
        (loops,),
        (np.empty(0, int),),
    )
