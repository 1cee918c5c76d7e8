"""The parts of a member's table that explain: why it twists, and what would cure it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero, number
from .extremes import governing_twist, span_of
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment

#: A restraint whose loss changes the twist by less than this share does not govern.
_IDLE = 0.02


def why(assessment: Assessment) -> Passage:
    """What carries the torque, and which restraints matter."""
    share = assessment.shares[governing_twist(assessment)]
    if not np.abs(assessment.table.T).max() > 0:
        return [Sentences(["No torque acts."])]
    warping = round(100 * share.warping)
    words = [
        f"Under {share.name!r} restrained warping carries {warping} % of the torque and "
        f"Saint-Venant torsion {100 - warping} %, summed along the member."
    ]
    ratios = [r for r in share.length_ratio if math.isfinite(r)]
    if ratios:
        low, high = (number(r, 3) for r in span_of(ratios))
        ratio = low if low == high else f"{low} to {high}"
        words.append(
            f"Spans are L/a = {ratio} torsion lengths a long: restrained warping reaches about one "
            "a from where it is held or torque enters."
        )
    if share.mean_lever_arm is not None:
        arm = number(share.mean_lever_arm, 4)
        words.append(
            f"The shear stress of Saint-Venant torsion turns on a mean lever arm of {arm} "
            f"{assessment.request.units.length}: the longer, the stiffer."
        )
    # That a member without a hold across slides away says nothing about its twist.
    felt = [
        r
        for r in assessment.restraints
        if r.growth > 1 + _IDLE and (r.freedom != "x" or np.isfinite(r.growth))
    ]
    for item in felt[:3]:
        what = {"twist": "the hold of twist", "warping": "the hold of warping", "x": "the hold "
                "across", "restraint": "the restraint"}[item.freedom]  # fmt: skip
        effect = (
            "the member would be loose"
            if not np.isfinite(item.growth)
            else f"it would twist {number(item.growth, 3)} times as much"
        )
        words.append(f"Without {what} at {item.title} {effect}.")
    return [Sentences(words)]


def cures(assessment: Assessment, units: MemberUnits) -> Passage:
    """The member solved again with each cure; nothing when none was asked for."""
    rows, failed = [], []
    now = assessment.cures[0].twist if assessment.cures else None
    for cure in assessment.cures:
        if cure.twist is None:
            failed.append(f"{cure.title}: not solved ({cure.failure}).")
            continue
        twist = near_zero(cure.twist, 1e3 * (now or 0.0))
        rows.append(
            [
                cure.title,
                units.value(twist, "angle", 3),
                _percent(twist / now if now else None),
                "-" if cure.stress is None else units.value(cure.stress, "stress", 3),
                _percent(cure.stress_ratio),
            ]
        )
    if not rows:
        return []
    table = HeadedRows(
        ["", "twist", "of now", "stress", "of now"],
        ["", units.unit("angle"), "", units.unit("stress"), ""],
        rows,
    )
    words = (
        "Each row is the same member solved again; twist and von Mises stress are the largest "
        "over stations and combinations, free play included."
        + (" Cures are solved in first order." * (assessment.solution.order == "second"))
    )
    return [table, Sentences([words, *failed])]


def _percent(ratio: float | None) -> str:
    return "-" if ratio is None else f"{100 * ratio:.0f} %"
