"""What all trials of a sizing have in common."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from ...accuracy import STUDY_ACCURACY
from ..file.member_base import MemberBase
from ..file.parameter import Value
from .objective import LIGHTEST, Objective

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...member.file.request import MemberRequest

#: Values at addresses of the member.
Assignments = tuple[tuple[str, Value], ...]

#: Beyond this use of a limit the classical answer is taken. Where deforming sections are the more
#: favourable at all (stress of tubes at held ends), it is by less.
REACH = 1.3


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


def weight_of(section: Section) -> float:
    """Mass per length; the area where a density is missing."""
    total = 0.0
    for region in section.regions:
        density = region.material.density
        if density is None:
            return sum(r.area() for r in section.regions)
        total += density * region.area()
    return total
