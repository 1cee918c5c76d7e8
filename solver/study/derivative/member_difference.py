"""The derivative of one result of a member by differences of its whole solution, where it has one.

A largest value bends where another place or combination takes over, a row of loads jumps where one
of them leaves the member: second differences around the file's value show either (see
`section.derivative.difference.unevenness`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from ...member.model.load import PointLoad
from ...section.derivative.difference import STEPS, derivative, plain_difference, unevenness

if TYPE_CHECKING:
    from ...member.file.request import MemberRequest

#: Slopes of both sides that are further apart than this share of the larger, and in elasticity than
#: this, are two; nearer ones are one in doubt.
_SHARE, _ELASTICITY = 0.05, 0.02
#: An elasticity below this is rounding; two that are nearer than the other are one.
_NOTHING, _APART = 1e-10, 1e-6
#: Largest values at stations and critical loads by elements, and the share of an elasticity and of
#: one that may be off because the largest of all lies between two of them, or elements are long.
_BY_PARTS = ("twist_deg", "displacement", "deflection", "stress", "critical_factor")
_BETWEEN = 5e-4
#: The same of stages, whose stations need not meet a force at a point, where a value bends: an
#: elasticity of twist was 0.5 off.
_BESIDE_POINTS = 0.3
#: The same of what sections that deform leave out, which changes with their meshes.
_DEFORMING = 1e-3
#: A movement below this share of the largest is rounding.
_STILL = 1e-9


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


def doubt_differences(
    rates: Mapping[str, float],
    doubts: dict[str, float],
    results: Mapping[str, float],
    value: float,
    theory: str,
    request: MemberRequest,
) -> None:
    """Add to the doubts of differences what stations and elements leave, what sections that deform
    do, and the width of J's intervals."""
    width = widest(request)
    pointed = any(isinstance(load, PointLoad) for load in request.member.loads)
    between = _BESIDE_POINTS if request.stages and pointed else _BETWEEN
    for name, rate in rates.items():
        if name != "mass":
            left = width + (between if name in _BY_PARTS else 0.0)
            left += _DEFORMING if theory == "deforming" else 0.0
            doubts[name] += left * (abs(rate) + abs(results[name] / value))


def widest(request: MemberRequest) -> float:
    """The largest relative width of J's interval of a member's sections."""
    solved = [one.result for one in request.sections.values() if one.result is not None]
    return max((one.field.relative_width for one in solved), default=0.0)


def moving(results: Mapping[str, float], length: float) -> dict[str, float]:
    """Results of a member of a length, without movements that are rounding beside the largest."""
    units = {"twist_deg": math.radians(length), "displacement": 1.0, "deflection": 1.0}
    moved = {name: results[name] * unit for name, unit in units.items() if name in results}
    least = _STILL * max(moved.values(), default=0.0)
    return {name: value for name, value in results.items() if moved.get(name, math.inf) > least}


def cleared(elasticity: float) -> float:
    """An elasticity, 0 where it is rounding."""
    return 0.0 if abs(elasticity) < _NOTHING else elasticity


def two_sides(rises: float, falls: float, share: float) -> str:
    """Derivatives to a growing and to a falling number in words, as elasticities; "" where they are
    one. `share` is the number by the result."""
    if abs((rises - falls) * share) <= _APART:
        return ""
    up, down = cleared(rises * share), cleared(falls * share)
    return f"the elasticity is {up:.4g} where the number grows and {down:.4g} where it falls"


def told(one: Differenced, values: Sequence[float], here: float, number: float, step: float) -> str:
    """Two derivatives, or none, in words; "" of a smooth result."""
    if one.bends:
        sides = two_sides(one.rises, one.falls, number / here)
        return f"it bends at the value, where another place or combination takes over; {sides}"
    if not one.jumps:
        return ""
    below, above = (100 * (values[STEPS.index(k)] / here - 1) for k in (-1, 1))
    return (
        f"no derivative, since it jumps or bends beside the value: it changes by {above:+.3g} % "
        f"where the number grows by {100 * step / number:g} %, and by {below:+.3g} % where it "
        "falls by as much"
    )
