"""Sections of a member solved again while numbers change: on meshes that follow their outlines, so
that what the member does differs smoothly."""

from __future__ import annotations

import numpy as np

from ....geometry.checks.validate import checked_map
from ....geometry.errors import SolveError
from ....geometry.section import Section
from ...member.model.solved_section import SolvedSection, ready_section, solved_section
from ...section.derivative.section_rate import FollowedSection
from ...section.solve import solve_on


class FollowedSections:
    """Solves sections by name: the first time as always, then on the mesh of that time. With
    `by_name` False all sections are one that changes.

    It is a `Solving` of `member.model.solved_section`.
    """

    def __init__(self, *, by_name: bool = True) -> None:
        self._by_name = by_name
        self._first: dict[str, SolvedSection] = {}
        self._moving: dict[str, FollowedSection] = {}

    def __call__(self, section: Section, name: str, accuracy: float) -> SolvedSection:
        """The section solved.

        Raises
        ------
        SolveError
            Where its mesh cannot follow: corners merge or part.
        """
        key = name if self._by_name else ""
        first = self._first.get(key)
        if first is None or first.result is None:
            found = self._first[key] = solved_section(section, name, accuracy)
            return found
        if alike(first.result.section, section):
            return first.renamed(name)
        if key not in self._moving:
            self._moving[key] = FollowedSection.of(first.result)
        plan = checked_map(section)
        mesh = self._moving[key].following.onto(plan)
        if mesh is None:
            raise SolveError(
                "corners or edges of the outline appear or vanish there, so that numbers have no "
                "derivative; change the value a little"
            )
        return ready_section(solve_on(section, plan, mesh, first.result.field.order), name)


def alike(one: Section, other: Section) -> bool:
    """Whether two sections have the same outlines and materials."""
    contours = list(one.contours()), list(other.contours())
    return (
        [r.material for r in one.regions] == [r.material for r in other.regions]
        and len(contours[0]) == len(contours[1])
        and all(
            np.array_equal(a.points, b.points) and np.array_equal(a.bulges, b.bulges)
            for a, b in zip(*contours, strict=True)
        )
    )
