"""Where a support takes hold of the section."""

from __future__ import annotations

from .member import Member
from .support import Support


def held_point(member: Member, support: Support) -> tuple[float, float]:
    """Point of the section that a support holds across and along and where its reaction acts.

    The one that is stated; else between its bearings at their level, where that is given, since the
    bearings guide the member too; else the shear centre.
    """
    section = member.section_at(support.at)
    if support.point is not None:
        return member.locate(support.point, section)
    levels = [section.height(b.y) for b in support.bearings if b.y is not None]
    if levels and len(levels) == len(support.bearings):
        count = len(levels)
        return (sum(b.x for b in support.bearings) / count, sum(levels) / count)
    return section.shear_centre
