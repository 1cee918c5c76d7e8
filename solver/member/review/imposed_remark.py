"""What must be said beside results under imposed deformations and tendons."""

from __future__ import annotations

from ..model.imposed import Settlement, strain_field
from ..model.member import Member


def imposed_remarks(member: Member) -> list[str]:
    """Sentences on strains that do not leave sections plane, and on tendons."""
    found = []
    bent = [a.title for a in member.imposed if not isinstance(a, Settlement) and _bends(member, a)]
    if bent:
        found.append(
            f"{', '.join(dict.fromkeys(bent))}: what is not linear over the section stresses it in "
            "equilibrium with itself; the stresses along the member have it, colours of the sketch "
            "and pictures of a section show the stress of the actions alone; free ends are taken "
            "as stressed like the rest, where it dies out over about the section's depth"
        )
    if member.tendons:
        found.append(
            "tendons act by their anchors, curvature and friction; their stiffness, slip at "
            "anchors, creep, shrinkage and relaxation are not counted, and sections that keep "
            "their shape take no bimoment from them"
        )
    return found


def _bends(member: Member, action: object) -> bool:
    for segment in member.segments:
        for section in (segment.section, segment.section_end or segment.section):
            if section.outline is not None and not strain_field(action, section).plane:  # type: ignore[arg-type]
                return True
    return False
