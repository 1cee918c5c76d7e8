"""What must be said beside a member's results."""

from __future__ import annotations

from collections.abc import Sequence

from .contact import BOTH, OPEN, Contact
from .model import Member

# Plan radius over section width below which the curved bar's own fibre lengths are worth a remark.
WIDE = 5.0


def remarks(
    member: Member, engaged: Sequence[Sequence[int]], contacts: Sequence[Contact]
) -> list[str]:
    """Sentences on lifted bearings, idle play and sharp curves."""
    found = []
    for combination, states in zip(member.combined, engaged, strict=True):
        for contact, state in zip(contacts, states, strict=True):
            if contact.freedom.startswith("bearing") and state == OPEN:
                found.append(
                    f"combination {combination.name!r}: {contact.freedom} of {contact.owner} "
                    "lifts off"
                )
            elif contact.freedom == "twist" and contact.one_sided and state == BOTH:
                found.append(
                    f"combination {combination.name!r}: {contact.owner} carries no torque, so "
                    "within its play the twist is undetermined; shown at the middle"
                )
    widths = [
        section.width
        for stretch in member.stretches
        for section in (stretch.section, stretch.section_end)
        if section is not None and section.width
    ]
    radii = [abs(1 / p.curvature) for p in member.axis.pieces if p.curvature]
    if widths and radii and min(radii) < WIDE * max(widths):
        found.append(
            f"plan radius {min(radii):g} is less than {WIDE:g} widths of the section: outer fibres "
            "are longer and inner ones shorter, which beam theory leaves out; stresses change by "
            "about width / (2 radius)"
        )
    return found
