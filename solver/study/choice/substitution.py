"""A member with another section in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ....geometry.conversion import in_unit
from ....geometry.errors import InputError
from ...member.model.member import Segment
from ...member.model.solved_section import SolvedSection, solved_section
from ...member.model.wind_loads import blown_again

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ...member.file.request import MemberRequest


def solved_for(section: Section, request: MemberRequest, accuracy: float) -> SolvedSection:
    """A section brought to the member's unit and solved with all that a member needs of it."""
    return solved_section(in_unit(section, request.units.length), section.name, accuracy)


def with_section(
    request: MemberRequest, section: SolvedSection, replaces: str = ""
) -> MemberRequest:
    """The request with another section in place of one, or of all.

    Loads keep their places: those given from the shear centre move with it, those given as points
    stay where they are in the new section's axes. Wind blows on what the new section shows.

    Parameters
    ----------
    request : MemberRequest
    section : SolvedSection
        In the member's units.
    replaces : str
        Name of the section it stands in for; empty: every one.

    Raises
    ------
    InputError
        If the member has no section of that name.
    """
    names = list(request.sections)
    if replaces and replaces not in names:
        raise InputError(
            f"the member has no section {replaces!r} to replace; it has {', '.join(names)}"
        )
    others = {n: s for n, s in request.sections.items() if replaces and n != replaces}
    # The new one may bear the name of one that stays.
    name = section.name if section.name not in others else f"{section.name} (new)"
    new = section.renamed(name)
    segments = tuple(_changed(s, new, others) for s in request.member.segments)
    loads = blown_again(request.member, segments)
    return replace(
        request,
        member=request.member.with_(segments=segments, loads=loads),
        sections={**others, name: new},
    )


def _changed(segment: Segment, new: SolvedSection, others: Mapping[str, SolvedSection]) -> Segment:
    start = segment.section if segment.section.name in others else new.constants
    end = segment.section_end
    if end is not None and end.name not in others:
        end = new.constants
    if end is start:
        end = None
    return Segment(segment.start, segment.end, start, end)
