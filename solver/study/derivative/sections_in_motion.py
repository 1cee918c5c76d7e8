"""Sections of a member moved to first order with a number of its file: the fields of each, solved
once, and what they gain (see `section.derivative.section_motion`)."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ....geometry.errors import SolveError
from ....geometry.section import Section
from ...member.file.request import MemberRequest
from ...member.model.section_source import sheared_constants
from ...member.model.solved_section import SolvedSection, Solving
from ...section.derivative.difference import STEPS
from ...section.derivative.rate_doubt import rate_doubts
from ...section.derivative.section_motion import SectionMotion, section_motion
from ...section.derivative.section_rate import FollowedSection
from ...section.derivative.torsion_rate import TorsionRate, torsion_rate
from ...section.stress.unit_stress import UnitStress
from ..file.member_base import MemberBase
from .file_number import FileNumber
from .followed_sections import FollowedSections, alike

#: Parts of a step that are tried where meshes cannot follow all of it.
_PARTS = 1.0, 0.25, 0.0625


@dataclass(frozen=True, slots=True, eq=False)
class MovedRequests:
    """A member file read at a number changed by `STEPS` times a step.

    Attributes
    ----------
    requests : tuple of MemberRequest
    units : tuple of mapping
        Unit stresses of the sections that change, by name, at each step.
    doubt : float
        How far relative changes of what depends on those sections may be off for each unit of the
        number, by J's interval.
    """

    requests: tuple[MemberRequest, ...]
    units: tuple[dict[str, UnitStress], ...]
    doubt: float


class MovedSections:
    """Reads a member file with numbers changed, its sections moved to first order.

    Parameters
    ----------
    base : MemberBase
    accuracy : float
        Relative width asked of each section's J.

    Attributes
    ----------
    request : MemberRequest
        As the file stands.
    whole : FollowedSections
        Solves the sections anew, on meshes that follow.
    """

    def __init__(self, base: MemberBase, accuracy: float) -> None:
        self._base, self._accuracy = base, accuracy
        self.whole = FollowedSections()
        self._first: dict[str, SolvedSection] = {}
        self._following: dict[str, FollowedSection] = {}
        self.request = base.request({}, accuracy, self._solved)

    def _solved(self, section: Section, name: str, accuracy: float) -> SolvedSection:
        self._first[name] = self.whole(section, name, accuracy)
        return self._first[name]

    def at(self, number: FileNumber, step: float) -> MovedRequests:
        """The file read with a number changed.

        Raises
        ------
        SoapfilmError
            A changed file that is wrong, an outline whose corners merge or part there.
        """
        outlines: list[dict[str, Section]] = []
        requests = []
        for k in STEPS:
            own: dict[str, Section] = {}
            outlines.append(own)
            requests.append(self.read(number, k * step, self._noting(own)))
        changed = [
            name
            for name, first in self._first.items()
            if first.result is not None
            and not all(alike(first.result.section, own[name]) for own in outlines)
        ]
        if not changed:
            return MovedRequests(tuple(requests), tuple({} for _ in STEPS), 0.0)
        motions = {
            name: self._motion(name, [own[name] for own in outlines], step)
            for name in changed
            if self._same_materials(name, outlines)
        }
        doubt = max((self._doubt(*one) for one in motions.items()), default=0.0)
        requests, units = [], []
        for k, own in zip(STEPS, outlines, strict=True):
            moved = {name: motion.at(k * step, own[name]) for name, motion in motions.items()}
            units.append(moved)
            requests.append(self.read(number, k * step, self._moving(moved, changed)))
        return MovedRequests(tuple(requests), tuple(units), doubt)

    def around(self, number: FileNumber, step: float) -> tuple[float, list[MemberRequest]]:
        """The file read with a number changed by `STEPS` times a step, its sections solved anew on
        meshes that follow; the step is smaller where these cannot follow so far: a coordinate's
        share may be much of a wall.

        Raises
        ------
        SoapfilmError
            As `at` does.
        """
        for part in _PARTS[:-1]:
            try:
                return part * step, self._around(number, part * step)
            except SolveError:
                continue
        return _PARTS[-1] * step, self._around(number, _PARTS[-1] * step)

    def _around(self, number: FileNumber, step: float) -> list[MemberRequest]:
        return [self.read(number, k * step, self.whole) for k in STEPS]

    def read(self, number: FileNumber, change: float, solving: Solving) -> MemberRequest:
        """The file with a number changed, its sections solved as is said."""
        assigned = number.assigned(number.value + change)
        return self._base.request(assigned, self._accuracy, solving)

    def _noting(self, outlines: dict[str, Section]) -> Solving:
        def solving(section: Section, name: str, accuracy: float) -> SolvedSection:
            outlines[name] = section
            if name not in self._first:
                raise SolveError("the member has other sections there")
            first = self._first[name]
            if first.result is None:
                return first
            # sections of tapers are drawn between those of their ends
            return replace(first, result=replace(first.result, section=section))

        return solving

    def _moving(self, moved: dict[str, UnitStress], changed: list[str]) -> Solving:
        def solving(section: Section, name: str, accuracy: float) -> SolvedSection:
            if name in moved:
                return _ready(moved[name], name)
            if name not in changed:
                return self._first[name]
            return self.whole(section, name, accuracy)

        return solving

    def _motion(self, name: str, sections: list[Section], step: float) -> SectionMotion:
        first = self._first[name]
        assert first.result is not None
        assert first.search is not None
        if name not in self._following:
            self._following[name] = FollowedSection.of(first.result)
        moving = self._following[name]
        return section_motion(moving, first.search.units, moving.moved(sections, step))

    def _doubt(self, name: str, motion: SectionMotion) -> float:
        return _doubt(motion, torsion_rate(self._following[name].one_order_less, motion.rate))

    def _same_materials(self, name: str, outlines: list[dict[str, Section]]) -> bool:
        result = self._first[name].result
        assert result is not None
        own = [region.material for region in result.section.regions]
        return all([r.material for r in one[name].regions] == own for one in outlines)


def _ready(units: UnitStress, name: str) -> SolvedSection:
    """A moved section as a member uses it, without a search for its stresses."""
    return SolvedSection(name, replace(sheared_constants(units), name=name), units.result)


def _doubt(motion: SectionMotion, lower: TorsionRate) -> float:
    """How far relative changes of J, or of levers from the shear centre that are as long as the
    polar radius, may be off."""
    result = motion.units.result
    speed = float(np.abs(motion.rate.vertices).max()) / result.section.size()
    doubts = rate_doubts(result, motion.torsion, lower, speed)
    lever = doubts["shear_centre_x"] / result.warping_properties.polar_radius
    return doubts["torsion_constant"] / result.torsion_constant + lever
