"""Joints in a member's table, record and CSV: what governs each, every bolt, other details."""

from __future__ import annotations

import os
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from ...geometry.errors import InputError
from ...solver.member.model.support import Support
from ..joint import grids
from ..joint.measure import JointMeasure
from ..joint.record import detail_record, effect_record, share_record, write_joint_csv
from ..text.blocks import HeadedRows, Passage, Sentences
from .given_holds import holding_place
from .units import MemberUnits

if TYPE_CHECKING:
    from ...geometry.units import Units
    from ...solver.joint.joint_spec import JointSpec
    from ...solver.joint.sharing import JointShare
    from ...solver.member.review.assessment import Assessment
    from ...solver.member.review.held_joint import HeldJoint

#: Places listed at most.
_MOST = 16
HEADING = "Joints"


@lru_cache(maxsize=2)
def found_joints(assessment: Assessment) -> tuple[HeldJoint, ...]:
    """Shared once for table, figures and record of the same member."""
    if not assessment.request.joints:
        return ()
    from ...solver.member.review.held_joint import held_joints

    return held_joints(assessment)


def worst_of_each(found: Sequence[HeldJoint], joints: Sequence[JointSpec]) -> tuple[HeldJoint, ...]:
    """Of every joint of the file the place where it carries most, in the order of the file."""
    worst = []
    for spec in joints:
        here = [h for h in found if h.spec is spec and h.governing is not None]
        if here:
            worst.append(max(here, key=lambda h: _size(h)))
    return tuple(worst)


def _size(held: HeldJoint) -> tuple[float, float]:
    governing = held.governing
    return (0.0, 0.0) if governing is None else (governing.largest_bolt, governing.largest_weld)


def joint_passage(
    found: Sequence[HeldJoint], joints: Sequence[JointSpec], system: Units
) -> Passage:
    """Every place and what governs it; then of each joint its springs, bolts, welds and details at
    the place where it carries most. Nothing without joints."""
    if not found:
        return []
    measure = JointMeasure(system)
    passage: list[HeadedRows | Sentences] = [
        _places(found, MemberUnits(system), measure),
        _said(found, MemberUnits(system)),
    ]
    for held in worst_of_each(found, joints):
        passage += detail_passage(held, measure)
    return passage


def detail_passage(held: HeldJoint, measure: JointMeasure) -> list[HeadedRows | Sentences]:
    """One joint where it carries most: springs, bolts, welds, and other details."""
    from ...solver.joint.plain_stress import plain_stresses

    governing = held.governing
    assert governing is not None  # such joints are chosen
    passage: list[HeadedRows | Sentences] = [
        Sentences(
            [
                f"Joint {held.spec.name!r} ({held.spec.kind}) carries most at {held.title} "
                f"under {governing.actions.name!r}:"
            ]
        ),
        *grids.springs(held.detail, measure),
        *grids.bolts(governing, measure),
        *grids.welds(governing, measure),
        *grids.stresses(plain_stresses(governing), measure),
    ]
    if held.worst is not None:
        passage.append(Sentences([f"The bolts there under {held.worst.actions.name!r}:"]))
        passage += grids.bolts(held.worst, measure)
    if held.effects:
        passage += grids.turn_effects(held.effects, held.turn, measure)
        passage.append(
            Sentences(
                [
                    "That turn is the largest between the member and the end of the secondary beam "
                    "were it pinned there; the beam's own bending gives way with the joint."
                ]
            )
        )
    return passage


def _places(found: Sequence[HeldJoint], units: MemberUnits, measure: JointMeasure) -> HeadedRows:
    rows = []
    for held in found[:_MOST]:
        governing = held.governing
        if governing is None:
            rows.append([held.title, units.value(held.at, "along"), held.spec.name,
                         held.failures[0][0] if held.failures else "-", *["-"] * 7])  # fmt: skip
            continue
        at_bolts = governing.actions.about((held.detail.hinge, 0.0, 0.0))
        centred = [g.centred_shear for g in governing.bolts if g.centred_shear is not None]
        largest = max((float(c.max()) for c in centred), default=0.0)
        scale = 1e3 * max(governing.largest_bolt, max(map(abs, governing.actions.force)))
        rows.append(
            [
                held.title,
                units.value(held.at, "along"),
                held.spec.name,
                governing.actions.name,
                measure.value(-governing.actions.force[1], "force", 4, scale),
                measure.value(at_bolts[2], "moment", 4, 1e2 * scale),
                measure.value(at_bolts[0], "moment", 4, 1e2 * scale),
                f"{measure.value(governing.largest_bolt, 'force')} "
                f"({measure.value(largest, 'force')})",
                measure.value(max(s.largest_weld for s in held.shares), "stress"),
                "-" if held.worst is None else measure.value(held.worst.largest_bolt, "force"),
                "-" if held.worst is None else measure.value(held.worst.largest_weld, "stress"),
            ]
        )
    force, moment, stress = (measure.unit(q) for q in ("force", "moment", "stress"))
    return HeadedRows(
        ["at", "z", "joint", "governing", "V", "M_z", "M_x", "bolt (shear, inst. centre)", "weld",
         "bolt, worst slip", "weld"],
        ["", units.unit("along"), "", "", force, moment, moment, *[force, stress] * 2],
        rows,
    )  # fmt: skip


def _said(found: Sequence[HeldJoint], units: MemberUnits) -> Sentences:
    words = [
        "V is the shear brought down to the joint, M_z the moment that bends it upright, M_x the "
        "torque about the arriving member's axis, all at the bolts; the bolt is the largest "
        "resultant of shear and tension (in brackets the largest shear about the instantaneous "
        "centre), the weld the largest stress over a throat in any combination. Stiffness "
        "and slip of these joints are in the member's own solution; no resistance is computed, "
        "and prying is left to codes."
    ]
    for place, titles in _standing(found, units).items():
        words.append(
            f"At {', '.join(titles)} the middle of the bolts stands at the support's point: {place}"
            f"{'; key point of the support puts it elsewhere' * (place == 'shear centre')}."
        )
    if any(h.worst is not None for h in found):
        words.append(
            'Bolts stand in the middle of their holes; "worst slip" is the joint with the '
            "clearances of all joints where its couple is largest (see Clearances): design for "
            "both."
        )
    if len(found) > _MOST:
        words.insert(0, f"... and {len(found) - _MOST} more places.")
    for held in found:
        words += [f"Not shared: {reason}." for _, reason in held.failures[:1]]
    return Sentences(words)


def _standing(found: Sequence[HeldJoint], units: MemberUnits) -> dict[str, list[str]]:
    """Titles of supports by the place at which their joints stand."""
    places: dict[str, list[str]] = {}
    for held in found:
        if isinstance(held.holder, Support):
            places.setdefault(holding_place(held.holder, units), []).append(held.title)
    return places


def every_share(held: HeldJoint) -> tuple[JointShare, ...]:
    """Under every combination, and in the worst state of clearances where that asks for more."""
    return held.shares if held.worst is None else (*held.shares, held.worst)


def write_held_joints(found: Sequence[HeldJoint], path: str | os.PathLike[str]) -> None:
    """Every bolt and weld of every joint at its place under every combination, as CSV."""
    if not found:
        raise InputError("no support and no secondary beam of the file names a joint")
    write_joint_csv(placed_shares(found), path)


def placed_shares(found: Sequence[HeldJoint]) -> list[tuple[str, JointShare]]:
    """Every joint at its place under every combination, with the title of that place."""
    return [(held.title, one) for held in found for one in every_share(held)]


def joint_records(found: Sequence[HeldJoint]) -> list[dict[str, Any]]:
    """Every joint at its place under every combination, in mm, N, MPa and radians."""
    rows = []
    for held in found:
        governing = held.governing
        rows.append(
            {
                "at": held.title,
                "joint": detail_record(held.detail),
                "governing": None if governing is None else governing.actions.name,
                "combinations": [share_record(s) for s in every_share(held)],
                "not_shared": [
                    {"combination": name, "reason": reason} for name, reason in held.failures
                ],
                "turn": held.turn,
                "details_at_that_turn": [effect_record(e) for e in held.effects],
            }
        )
    return rows
