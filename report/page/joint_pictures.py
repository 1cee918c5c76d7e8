"""Figures of a member's joints on its page: each where it carries most."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..joint.figure import plot_joint
from ..member.joint_passage import worst_of_each
from .document import Block
from .picture import picture

if TYPE_CHECKING:
    from ...solver.member.file.request import MemberRequest
    from ...solver.member.review.held_joint import HeldJoint


def joint_pictures(found: Sequence[HeldJoint], request: MemberRequest) -> list[Block]:
    """One figure a joint of the file, at the place and under the combination that govern it."""
    blocks: list[Block] = []
    for held in worst_of_each(found, request.joints):
        governing = held.governing
        assert governing is not None  # such joints are chosen
        words = f"{held.spec.name} at {held.title} under {governing.actions.name}"
        blocks.append(
            picture(
                plot_joint(governing, request.units),
                f"Joint {words}, to scale, with the force of every bolt as an arrow",
                f"Joint \u201c{held.spec.name}\u201d where it carries most: at {held.title}, under "
                f"\u201c{governing.actions.name}\u201d.",
            )
        )
    return blocks
