"""The parts of a member's table that explain: why it twists, and which remedies there are."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from ...solver.member.review.remedy import MOMENT_CONNECTED
from ..text.blocks import HeadedRows, Passage, Sentences
from ..text.number import near_zero, number
from .connected_beams import gains
from .extremes import governing_twist, span_of
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment

#: A torque below this share of the bending moment is rounding.
_ROUNDING = 1e-12
#: A restraint whose loss changes the twist by less than this share does not govern.
_IDLE = 0.02
_RESTRAINTS = {
    "twist": "torsional restraint",
    "warping": "warping restraint",
    "x": "lateral restraint",
    "restraint": "restraint",
}


def why(assessment: Assessment) -> Passage:
    """What carries the torque, and which restraints matter."""
    share = assessment.shares[governing_twist(assessment)]
    torque, moment = (np.abs(getattr(assessment.table, w)).max() for w in ("T", "M_x"))
    if torque <= _ROUNDING * moment or not torque > 0:
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
            f"The spans measure L/a = {ratio}; a is the characteristic length of "
            "warping torsion: restrained warping reaches about one a from a warping restraint "
            "or a torque."
        )
    if share.mean_lever_arm is not None:
        arm = number(share.mean_lever_arm, 4)
        words.append(
            f"The shear flow of Saint-Venant torsion has a mean lever arm of {arm} "
            f"{assessment.request.units.length} (torque over the sum of |shear stress| times "
            "area): the longer, the stiffer."
        )
    # That a member without a lateral restraint slides away says nothing about its twist.
    felt = [
        r
        for r in assessment.restraints
        if r.growth > 1 + _IDLE and (r.freedom != "x" or np.isfinite(r.growth))
    ]
    for item in felt[:3]:
        what = _RESTRAINTS[item.freedom]
        effect = (
            "the member would be a mechanism"
            if not np.isfinite(item.growth)
            else f"the member would twist {number(item.growth, 3)} times as much"
        )
        words.append(f"Without the {what} at {item.title} {effect}.")
    return [Sentences(words)]


def cures(assessment: Assessment, units: MemberUnits) -> Passage:
    """The member solved again with each remedy; nothing when none was asked for."""
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
        ["", "twist", "relative", "stress", "relative"],
        ["", units.unit("angle"), "", units.unit("stress"), ""],
        rows,
    )
    words = (
        "Each row is the same member solved again, relative to the existing one; twist and "
        "von Mises stress are the largest over stations and combinations, slip included."
        + (" Remedies are solved in first order." * (assessment.solution.order == "second"))
        + _deforming_words(assessment)
    )
    # What a remedy does to secondary beams belongs beside what it does for the member.
    beams = [
        gains(c.secondary, units)
        for c in assessment.cures
        if c.title == MOMENT_CONNECTED and c.secondary
    ]
    return [table, Sentences([words, *beams, *failed])]


def _deforming_words(assessment: Assessment) -> str:
    other = assessment.deformed
    if other is None:
        return ""
    words = " Their sections deform."
    if other.unsettled_near is not None:
        words += " Their stress is that away from loads, supports and steps."
    if any(c.twist is not None and c.stress is None for c in assessment.cures):
        words += (
            " No stress is stated where it still changes with the number of functions: look at "
            "that remedy as a member of its own."
        )
    return words


def _percent(ratio: float | None) -> str:
    return "-" if ratio is None else f"{100 * ratio:.0f} %"
