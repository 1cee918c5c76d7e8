"""The table of a joint file: every joint, and every case on it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..text import caution
from ..text.blocks import Passage
from ..text.rendering import folded, render_passage, titled
from . import grids
from .measure import JointMeasure

if TYPE_CHECKING:
    from ...geometry.units import Units
    from ...solver.joint.detail import JointDetail
    from ...solver.joint.given_turn import TurnEffect
    from ...solver.joint.sharing import JointShare

AXES = (
    "Axes of a joint: x away from the support along the arriving member, y up, z by the right "
    "hand; the origin is on the face of the support at mid-height of the bolts. Forces are those "
    "that the arriving member puts on the joint."
)


def joint_table(
    details: Sequence[JointDetail],
    shares: Sequence[JointShare],
    effects: Sequence[tuple[float, Sequence[TurnEffect]]],
    units: Units,
) -> str:
    """The table as text.

    Parameters
    ----------
    details : sequence of JointDetail
    shares : sequence of JointShare
        Of any of them.
    effects : sequence of (turn, rows)
        One for each detail; empty when no turn was given.
    """
    measure = JointMeasure(units)
    parts = []
    for k, detail in enumerate(details):
        parts.append("\n".join(titled(f"{detail.name}: {detail.kind}")) + "\n")
        parts.append(_headed("Springs and slip", grids.springs(detail, measure)))
        for found in shares:
            if found.detail is detail:
                for heading, passage in share_passages(found, measure).items():
                    parts.append(_headed(heading, passage))
        if effects:
            turn, rows = effects[k]
            parts.append(
                _headed("Details at a given turn", grids.turn_effects(rows, turn, measure))
            )
    parts.append(folded([AXES, caution.JOINT], "* "))
    return "\n".join(part for part in parts if part)


def share_passages(found: JointShare, measure: JointMeasure) -> dict[str, Passage]:
    """All that is said of a joint under one set of actions, by headings."""
    from ...solver.joint.plain_stress import plain_stresses

    name = found.actions.name
    said = {
        f"Bolts under {name!r}": grids.bolts(found, measure),
        f"Welds under {name!r}": grids.welds(found, measure),
        f"Stresses under {name!r}": grids.stresses(plain_stresses(found), measure),
    }
    return {heading: passage for heading, passage in said.items() if passage}


def _headed(heading: str, passage: Passage) -> str:
    return "\n".join([*titled(heading, "-"), render_passage(passage)]) if passage else ""
