"""Figures of an envelope on a member's page: the worst places, and the bearings in plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..influence.bearing_plan import plot_bearings
from ..influence.place_strips import plot_places
from ..member.units import MemberUnits
from .document import Block
from .picture import picture

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment


def envelope_pictures(assessment: Assessment) -> list[Block]:
    """None for a member whose combinations hold still loads alone."""
    envelope, request = assessment.envelope, assessment.request
    if envelope is None:
        return []
    units = MemberUnits(request.units)
    found: list[Block] = []
    if assessment.arrangements:
        loads = (request.vehicles, request.crowds)
        found.append(
            picture(
                plot_places(envelope, assessment.arrangements, loads, units),
                "Worst places of crowds and vehicles on the deck, one strip an arrangement",
                "The arrangements of the envelope that are solved as combinations, each with the "
                "results it is worst for.",
                tall=True,
            )
        )
    found.append(
        picture(
            plot_bearings(envelope, units),
            "Plan of the member with its bearings and arrows of their movement",
            "What each bearing carries and how the member moves on it, over all combinations; the "
            "bearing schedule has what acts at the same time.",
        )
    )
    return found
