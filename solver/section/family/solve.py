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
from ....geometry.checks.plain_section import map_of_outline
from ....geometry.errors import SoapfilmError
from ....geometry.outline.alike import AlikeEdges
from ....geometry.section import Section
from ...accuracy import ACCURACY
from ..mesh.following_mesh import FollowingMesh
from ..mesh.refinement import refined_around
from ..result import SectionResult
from ..solve import solve_section
from ..torsion.interval import SLENDER
from ..torsion.peak_search import GOOD_CHANGE
from .alike_outlines import AlikeOutlines
from .fields import Template
from .gathered import results_of

#: Triangles handled at once: their matrices stay within the processor's own memory.
_AT_ONCE = 3200
#: A family of fewer sections than this is not worth its preparation.
_FEW = 4
#: Beginnings after which a set of sections is no family: each must have found so many followers.
_TRIES, _FOLLOWERS = 3, 3
#: To these parts of what is asked of the others the first section's largest stress must be known:
#: for most of them at first, then for those that had no luck.
_SHARES = 0.9, 0.5
#: Sections whose outlines are worked on at once.
_BLOCK = 128


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

    def solved(self, sections: Sequence[Section], edges: AlikeEdges) -> list[SectionResult | None]:
        """Some of its sections; None for those that must be solved otherwise."""
        out: list[SectionResult | None] = [None] * len(sections)
        vertices, bulges, sound = self.following.moved(edges.start, edges.end, edges.bulges)
        sound &= clear_borders(edges)
        rows = np.flatnonzero(sound)
        if not rows.size:
            return out
        material = self.began.reference
        outlines = AlikeOutlines.of([sections[int(k)] for k in rows], edges.rows(rows), material)
        for first in range(0, len(rows), self.at_once):
            begin, some = perf_counter(), np.arange(len(rows))[first : first + self.at_once]
            own, which = outlines.rows(some), rows[some]
            origin = np.array([one.centroid for one in own.areas])
            stack = self.template.solved(vertices[which], bulges[which], origin)
            middle = (stack.upper + stack.lower) / 2
            polar = np.array([a.second_moments.x + a.second_moments.y for a in own.areas])
            with np.errstate(invalid="ignore"):
                good = stack.upper - stack.lower <= self.accuracy * middle
                good &= polar <= SLENDER * stack.lower
            found = results_of(stack, own, self.began.corners, good, self.accuracy, begin)
            for k, result in zip(which.tolist(), found, strict=True):
                if result is not None and (result.corners or _peak_known(result)):
                    out[k] = result
        return out


def _peak_known(result: SectionResult, share: float = 1.0) -> bool:
    return bool(result.torsion_modulus.change <= share * GOOD_CHANGE)


def _followers(
    began: SectionResult, sections: Sequence[Section], accuracy: float
) -> list[SectionResult | None]:
    """Results of sections by the mesh of one of their build, then by one that is finer where the
    stress is largest; None where both are no good."""
    out: list[SectionResult | None] = [None] * len(sections)
    mesh = None
    for share in _SHARES:
        left = [k for k, one in enumerate(out) if one is None]
        if len(left) < (_FOLLOWERS if mesh else 1):
            break
        family = _family_of(began, accuracy, share)
        if family is None or family.template.mesh is mesh:
            break
        mesh = family.template.mesh
        for first in range(0, len(left), _BLOCK):
            block = left[first : first + _BLOCK]
            some = [sections[k] for k in block]
            edges = AlikeEdges.of([s.regions[0].contours for s in some])
            for k, result in zip(block, family.solved(some, edges), strict=True):
                out[k] = result
    return out


def _family_of(began: SectionResult, accuracy: float, share: float) -> _Family | None:
    """Let the mesh of a solved section follow others, refined where its largest stress is until
    that is known to this share of what is asked of the others; None where it cannot."""
    edges = AlikeEdges.of([began.section.regions[0].contours])
    plan = map_of_outline(edges)
    mesh, modulus, family = began.field.mesh, began.torsion_modulus, None
    for _ in range(_TRIES):
        following = FollowingMesh.of(plan, mesh)
        if following is None:
            break
        family = _Family(following, Template.of(mesh, began.field.order), began, accuracy)
        if mesh is not began.field.mesh:
            (found,) = family.solved([began.section], edges)
            if found is None:
                break
            modulus = found.torsion_modulus
        if began.corners or modulus.at is None or modulus.change <= share * GOOD_CHANGE:
            break
        mesh = refined_around(mesh, np.array([modulus.at, *modulus.doubtful]))
    return family
