"""The derivative of one result of a member by differences of its whole solution, where it has one.

A largest value bends where another place or combination takes over, a row of loads jumps where one
of them leaves the member: second differences around the file's value show either (see
`section.derivative.difference.unevenness`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from ...section.derivative.difference import STEPS, derivative, plain_difference, unevenness

#: Slopes of both sides that are further apart than this share of the larger, and in elasticity than
#: this, are two; nearer ones are one in doubt.
_SHARE, _ELASTICITY = 0.05, 0.02


@dataclass(frozen=True, slots=True)
class Differenced:
    """What differences say of a result.

    Attributes
    ----------
    rises, falls : float
        The derivative to a growing number, and to a falling one where that is another.
    doubt : float
    bends, jumps : bool
        Whether both are two; whether there is none of either.
    """

    rises: float
    falls: float
    doubt: float
    bends: bool = False
    jumps: bool = False

    @classmethod
    def of(cls, values: Sequence[float], here: float, number: float, step: float) -> Differenced:
        """From the result at `STEPS` times the step from a number, and at the number itself."""
        slope, plain = float(derivative(values, step)), float(plain_difference(values, step))
        middle, outer = (float(one) for one in unevenness(values, here))
        doubt = abs(plain - slope) + abs(middle / (2 * step))
        edges = [values[0], values[1], here, values[2], values[3]]
        steepest = max(abs(b - a) for a, b in pairwise(edges))
        tolerance = max(_SHARE * steepest, _ELASTICITY * abs(here * step / number))
        if abs(outer) > tolerance:
            return cls(slope, slope, doubt, jumps=True)
        if abs(middle) <= tolerance:
            return cls(slope, slope, doubt)
        rises = (4 * values[2] - 3 * here - values[3]) / (2 * step)
        falls = (3 * here - 4 * values[1] + values[0]) / (2 * step)
        return cls(rises, falls, abs(rises - falls) + abs(outer / step), bends=True)


def told(one: Differenced, values: Sequence[float], here: float, number: float, step: float) -> str:
    """Two derivatives, or none, in words; "" of a smooth result."""
    if one.bends:
        share = number / here
        return (
            "it bends at the value, where another place or combination takes over; the elasticity "
            f"is {one.rises * share:.4g} where the number grows and {one.falls * share:.4g} where "
            "it falls"
        )
    if not one.jumps:
        return ""
    below, above = (100 * (values[STEPS.index(k)] / here - 1) for k in (-1, 1))
    return (
        f"no derivative, since it jumps or bends beside the value: it changes by {above:+.3g} % "
        f"where the number grows by {100 * step / number:g} %, and by {below:+.3g} % where it "
        "falls by as much"
    )
