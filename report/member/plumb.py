"""How a member stands, in words, and its reactions level and vertical where it slopes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero, number
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.model.member import Member
    from ...solver.member.review.assessment import Assessment
    from ...solver.member.review.reactions import Reactions

HEADING = "Support reactions, vertical and level"
DIRECTIONS = ("R_up", "R_across", "R_along")


def pitch_words(member: Member) -> str:
    """Slope and crossfall; empty for a member that is level."""
    pitch = member.pitch
    found = []
    if pitch.slope:
        way = "rising" if pitch.slope > 0 else "falling"
        found.append(
            f"{way} by {number(abs(math.degrees(pitch.slope)), 4)} deg "
            f"({number(100 * abs(math.tan(pitch.slope)), 4)} %)"
        )
    if pitch.crossfall:
        side = "+x" if pitch.crossfall > 0 else "-x"
        found.append(
            f"its {side} side falling by {number(100 * abs(math.tan(pitch.crossfall)), 4)} %"
        )
    return ", ".join(found)


def pitch_notes(member: Member) -> list[str]:
    """What gravity does to a member that is not level, and what is left out."""
    if member.pitch.level:
        return []
    x, y, z = (100 * c for c in member.pitch.down)
    parts = [f"{number(-y, 4)} % of them along -y"]
    if x:
        parts.append(f"{number(abs(x), 4)} % along {'+x' if x > 0 else '-x'}")
    if z:
        parts.append(f"{number(abs(z), 4)} % along {'+z' if z > 0 else '-z'}")
    notes = [
        f"Weights act plumb: {', '.join(parts)}, in the member's own frame. Lengths along the "
        "member, and loads per length of its axis, count along the slope."
    ]
    if member.axis.curved:
        notes.append(
            "The plan is laid in the slope: the twist of the spiral and the curvature out of the "
            "section's plane are left out."
        )
    return notes


def plumb_reactions(assessment: Assessment, units: MemberUnits) -> Passage:
    """Of every support under the combinations that push it most and least upward."""
    member = assessment.solution.mesh.member
    if member.pitch.level or not assessment.reactions:
        return []
    found = assessment.reactions[0]
    rows = []
    forces = {r.title: _plumb(member, found, r.title) for r in found.supports[0]}
    size = max((float(np.abs(f).max()) for f in forces.values()), default=0.0)
    for title, table in forces.items():
        for c in sorted({int(table[:, 0].argmax()), int(table[:, 0].argmin())}):
            values = [units.value(near_zero(float(v), 1e3 * size), "force") for v in table[c]]
            rows.append([title, found.names[c], *values])
    unit = units.unit("force")
    words = (
        "The same reactions, vertically up, level across (toward +x) and level along (toward the "
        "end), under the combinations that push each support most and least upward."
    )
    heads = ["support", "combination", *DIRECTIONS]
    return [HeadedRows(heads, ["", "", unit, unit, unit], rows), Sentences([words])]


def plumb_record(assessment: Assessment) -> dict[str, Any]:
    """Slope, crossfall and, where it is not level, reactions by support and combination."""
    member = assessment.solution.mesh.member
    record: dict[str, Any] = {"slope": member.pitch.slope, "crossfall": member.pitch.crossfall}
    if not member.pitch.level and assessment.reactions:
        found = assessment.reactions[0]
        record["reactions"] = {
            r.title: {
                name: dict(zip(DIRECTIONS, row, strict=True))
                for name, row in zip(
                    found.names, _plumb(member, found, r.title).tolist(), strict=True
                )
            }
            for r in found.supports[0]
        }
    return record


def _plumb(member: Member, found: Reactions, title: str) -> np.ndarray[Any, Any]:
    """(c, 3) up, across and along."""
    own = np.array([r.force for r in found.of(title)])
    return (own @ member.pitch.plumb.T)[:, [1, 0, 2]]
