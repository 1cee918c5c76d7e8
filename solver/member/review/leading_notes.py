"""Notes of a member whose contacts are told of by the theory that leads."""

from __future__ import annotations

from .assessment import Assessment
from .remark import contact_remarks


def leading_notes(assessment: Assessment) -> tuple[str, ...]:
    """Notes of the classical solution; where sections deform, with what that theory says of its
    bearings and slips, as the table of bearings has it."""
    classical = assessment.solution
    if assessment.deformed is None:
        return classical.notes
    own = contact_remarks(
        classical.names, classical.engaged.tolist(), classical.contacts, classical.states.push
    )
    leads = assessment.deformed.solution
    told = contact_remarks(leads.names, leads.states.tolist(), leads.contacts, leads.push)
    return (*told, *(note for note in classical.notes if note not in own))
