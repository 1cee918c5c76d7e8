"""Figures of a member's joints on its page: each where it carries most."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..joint.figure import plot_joint
from ..member.joint_passage import worst_of_each
from .document import Block
from .picture import picture

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment


def joint_pictures(assessment: Assessment) -> list[Block]:
    """One figure a joint of the file, at the place and under the combination that govern it."""
    blocks: list[Block] = []
    for held in worst_of_each(assessment):
        governing = held.governing
        assert governing is not None  # such joints are chosen
        words = f"{held.spec.name} at {held.title} under {governing.actions.name}"
        blocks.append(
            picture(
                plot_joint(governing, assessment.request.units),
                f"Joint {words}, to scale, with the force of every bolt as an arrow",
                f"Joint \u201c{held.spec.name}\u201d where it carries most: at {held.title}, under "
                f"\u201c{governing.actions.name}\u201d.",
            )
        )
    return blocks
