"""What can be tried in a member: its outlines and weight before anything is solved, and the member
with it.

A candidate is a section that stands in the place of the member's own, or the member file itself
with values changed, of several sections maybe.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from ....geometry.conversion import in_unit
from ....geometry.errors import InputError, SoapfilmError
from ...member.model.constants import SectionConstants
from ...member.model.faces import Faces
from ...member.model.solved_section import SolvedSection, Solving
from ...section.area.properties import area_properties
from ..file.member_base import MemberBase
from .diaphragm_weight import diaphragm_mass, diaphragm_weight
from .section_candidate import Altered, Rolled, Shaped
from .setting import Assignments, Setting, request_of, weight_of
from .substitution import with_section

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...member.file.request import MemberRequest

Candidate = Rolled | Shaped | Altered


@dataclass(frozen=True, slots=True)
class Proposal:
    """A candidate before anything of it is solved, in the member's unit.

    Attributes
    ----------
    sections : tuple of Section
        Those that it brings.
    weight : float
        Mass per length, diaphragms with it; areas where a density is missing.
    put : callable
        The member with these sections, solved as is said.
    """

    sections: tuple[Section, ...]
    weight: float
    put: Callable[[Solving], MemberRequest]

    @property
    def size(self) -> tuple[float, float]:
        """Greatest overall depth and width."""
        boxes = [section.bounds() for section in self.sections]
        return max(y1 - y0 for _, y0, _, y1 in boxes), max(x1 - x0 for x0, _, x1, _ in boxes)


def proposal(setting: Setting, candidate: Candidate) -> Proposal:
    """A candidate's outlines and weight.

    Raises
    ------
    InputError
        If they are none, or do not fit the member.
    """
    if isinstance(candidate, Altered):
        return _altered(setting, candidate)
    request, label = _request_for(setting, candidate), candidate.label
    section = in_unit(candidate.section(), request.units.length)
    weight = weight_of(section) + diaphragm_weight(request.member, section, setting.replaces)

    def put(solving: Solving) -> MemberRequest:
        solved = solving(section, label, setting.accuracy).renamed(label)
        return with_section(request, solved, setting.replaces)

    return Proposal((section,), weight, put)


def _altered(setting: Setting, candidate: Altered) -> Proposal:
    values = dict(candidate.assignments)

    def put(solving: Solving) -> MemberRequest:
        return setting.member.request(values, setting.accuracy, solving)

    request = put(_outlined)
    member, own = request.member, request.sections
    outlines = {n: s.constants.outline for n, s in own.items() if s.constants.outline is not None}
    if not outlines:
        raise InputError(
            "the member's sections are known by their figures alone: they have no weight to make "
            "least; give their outlines"
        )
    counted = all(r.material.density is not None for o in outlines.values() for r in o.regions)
    if counted:
        weights = {n: s.constants.mass_per_length or 0.0 for n, s in own.items()}
    else:
        weights = {n: sum(r.area() for r in o.regions) for n, o in outlines.items()}
    total = sum(diaphragm_mass(member, outline, name) for name, outline in outlines.items())
    for segment in member.segments:
        ends = [s.name for s in (segment.section, segment.section_end) if s is not None]
        share = sum(weights.get(name, 0.0) for name in ends) / len(ends)
        total += (segment.end - segment.start) * share
    return Proposal(tuple(outlines.values()), total / member.length, put)


def _outlined(section: Section, name: str, accuracy: float) -> SolvedSection:
    """A section of which nothing is solved: its torsion constant is not known, and its polar moment
    stands for it."""
    area = area_properties(section)
    moments, material = area.second_moments, section.regions[0].material
    centroid = (float(area.centroid[0]), float(area.centroid[1]))
    constants = SectionConstants(
        material.elastic_modulus,
        material.shear,
        area.area,
        moments.x,
        moments.y,
        moments.x + moments.y,
        product_moment=moments.xy,
        centroid=centroid,
        shear_centre=centroid,
        mass_per_length=area.mass_per_length,
        name=name,
        faces=Faces.of(section),
        outline=section,
    )
    return SolvedSection(name, constants)


@lru_cache(maxsize=64)
def _changed(member: MemberBase, accuracy: float, changes: Assignments) -> MemberRequest:
    return member.with_diaphragms(request_of(member, accuracy), dict(changes))


def _request_for(setting: Setting, candidate: Rolled | Shaped) -> MemberRequest:
    """The member with a candidate's diaphragms."""
    if not candidate.changes:
        return request_of(setting.member, setting.accuracy)
    return _changed(setting.member, setting.accuracy, candidate.changes)


def least_value(setting: Setting, candidates: Iterable[Candidate]) -> float:
    """The least of what is sought over some candidates, as far as outlines tell; minus infinity
    where they do not, or one is none."""
    objective = setting.objective
    if not objective.cheap or objective.most:
        return -math.inf
    try:
        seen = [proposal(setting, candidate) for candidate in candidates]
    except SoapfilmError:
        return -math.inf  # no section there: nothing is known, so nothing is ruled out
    return min(objective.of_sections(one.sections, one.weight) for one in seen)
