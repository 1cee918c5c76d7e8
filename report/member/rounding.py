"""What is rounding among a member's results: where nothing twists, the last digits of what bends it
do, and a reader wants the 0."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from .extremes import largest

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment

#: A quantity of another kind counts this much less as a measure of rounding.
_FAR = 1e-3
_WORDS = ("v", "phi", "M_x", "M_y", "V_y", "T", "T_w", "B")


def largest_sizes(assessment: Assessment) -> dict[str, float]:
    """The largest size of every result, by the classical theory, of all combinations."""
    every = range(len(assessment.solution.names))
    return {word: max(abs(largest(assessment, word, c).value) for c in every) for word in _WORDS}


def rounding_scales(assessment: Assessment) -> dict[str, float]:
    """What each result's rounding is judged beside: torque and bimoment also beside bending, twist
    also beside the deflection, which a member that is not twisted has alone."""
    scale = largest_sizes(assessment)
    moment = _FAR * max(scale["M_x"], scale["M_y"])
    twist = _FAR * scale["v"] / section_size(assessment)
    others = {
        "M_x": moment, "M_y": moment, "T": moment, "T_w": moment, "phi": twist,
        "B": moment * assessment.solution.mesh.member.length,
    }  # fmt: skip
    return {word: max(own, others.get(word, 0.0)) for word, own in scale.items()}


def section_size(assessment: Assessment) -> float:
    """The polar radius of the first section."""
    constants = next(iter(assessment.request.sections.values())).constants
    return math.sqrt(constants.polar_radius_squared)
