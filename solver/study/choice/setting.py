"""What all trials of a sizing have in common, and what can be tried in it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Protocol

from ...accuracy import STUDY_ACCURACY
from ..file.member_base import MemberBase
from ..file.parameter import Value
from .diaphragm_weight import diaphragm_weight
from .objective import LIGHTEST, Objective

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...member.file.request import MemberRequest

#: Values at addresses of the member.
Assignments = tuple[tuple[str, Value], ...]

#: Beyond this use of a limit the classical answer is taken. Where deforming sections are the more
#: favourable at all (stress of tubes at held ends), it is by less.
REACH = 1.3


class Candidate(Protocol):
    """Something that can be tried; it travels to workers."""

    @property
    def label(self) -> str:
        """What it is called."""

    @property
    def changes(self) -> Assignments:
        """Values of the member's diaphragms that go with it."""

    def section(self) -> Section:
        """Its section."""


@dataclass(frozen=True, slots=True)
class Setting:
    """What all trials have in common.

    Attributes
    ----------
    member : MemberBase
    replaces : str
        Section of the member that candidates stand in for; empty: every one.
    depth, width : float or None
        Greatest overall size, in the member's unit.
    accuracy : float
    cached : bool
    objective : Objective
        What is made least or most.
    reach : float
        How far the classical theory may use a limit beyond which its answer is taken; 0 takes it
        always.
    coarse : bool
        Whether what travels may stand where it does most with the member's own section: enough to
        tell what fails.
    """

    member: MemberBase
    replaces: str = ""
    depth: float | None = None
    width: float | None = None
    accuracy: float = STUDY_ACCURACY
    cached: bool = True
    objective: Objective = LIGHTEST
    reach: float = REACH
    coarse: bool = False


@lru_cache(maxsize=4)
def request_of(member: MemberBase, accuracy: float) -> MemberRequest:
    """The member itself, once a process."""
    return member.request({}, accuracy)


@lru_cache(maxsize=64)
def _changed(member: MemberBase, accuracy: float, changes: Assignments) -> MemberRequest:
    return member.with_diaphragms(request_of(member, accuracy), dict(changes))


def request_for(setting: Setting, candidate: Candidate) -> MemberRequest:
    """The member with a candidate's diaphragms.

    Raises
    ------
    InputError
        If they do not fit the member.
    """
    if not candidate.changes:
        return request_of(setting.member, setting.accuracy)
    return _changed(setting.member, setting.accuracy, candidate.changes)


def candidate_weight(setting: Setting, candidate: Candidate, section: Section) -> float:
    """Mass per length of a candidate's section in the member's unit, its diaphragms with it; areas
    where a density is missing."""
    member = request_for(setting, candidate).member
    return weight_of(section) + diaphragm_weight(member, section, setting.replaces)


def weight_of(section: Section) -> float:
    """Mass per length; the area where a density is missing."""
    total = 0.0
    for region in section.regions:
        density = region.material.density
        if density is None:
            return sum(r.area() for r in section.regions)
        total += density * region.area()
    return total
