"""Lists of values too many to try every combination: their ends as ranges first, then what is next
to the optimum.

The least over the ranges is no heavier than the least over the lists. Around it, the values of each
list that are nearest are combined, as many as may all be considered, and the best of these
combinations is found as of any lists.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from ....geometry.quantity import split
from ..file.parameter import Parameter, Value, number_of
from .assortment import ShapedChoice

#: Combinations near the optimum that are considered at most.
_MOST_NEAR = 500


@dataclass(frozen=True, slots=True)
class Rounded:
    """How lists were searched.

    Attributes
    ----------
    total : int
        Combinations of all their values.
    near : int
        Of those next to the optimum over the ranges, which were considered.
    weight, value : float or None
        Of that optimum; None where none keeps every limit.
    label : str
    """

    total: int
    near: int
    weight: float | None
    value: float | None
    label: str


def relaxed(choice: ShapedChoice) -> ShapedChoice | None:
    """The choice with ranges in place of its lists of numbers; None where that helps nothing."""
    parameters = tuple(_range_of(p) for p in choice.parameters)
    found = replace(choice, parameters=parameters)
    return found if found.total <= found.most and found.total < choice.total else None


def narrowed(choice: ShapedChoice, optimum: Mapping[str, Value]) -> ShapedChoice:
    """The choice with the values of its lists nearest to an optimum over their ranges."""
    freed = [p for p in choice.lists if not _range_of(p).values]
    others = math.prod(len(p.values) for p in choice.lists if p not in freed)
    most = max(min(_MOST_NEAR, choice.most) if not choice.ranges else choice.most // 4, 1)
    count = max(2, int((most / others) ** (1 / len(freed)) + 1e-9))
    near = {p.name: _nearest(p, number_of(optimum[p.name]) or 0.0, count) for p in freed}
    parameters = (replace(p, values=near.get(p.name, p.values)) for p in choice.parameters)
    return replace(choice, parameters=tuple(parameters))


def _nearest(parameter: Parameter, optimum: float, count: int) -> tuple[Value, ...]:
    """Values around an optimum, those above it first where their number is odd."""
    ordered = sorted(parameter.values, key=lambda v: number_of(v) or 0.0)
    above = sum((number_of(v) or 0.0) < optimum * (1 - 1e-9) for v in ordered)
    start = min(max(above - count // 2, 0), max(len(ordered) - count, 0))
    return tuple(ordered[start : start + count])


def _range_of(parameter: Parameter) -> Parameter:
    """A range from the least to the greatest value of a list; other parameters as they are."""
    if parameter.is_range or len(parameter.values) < 3:
        return parameter
    units = {_unit(v) for v in parameter.values}
    numbers = [number_of(v) for v in parameter.values if not isinstance(v, bool)]
    known = [n for n in numbers if n is not None]
    if len(units) > 1 or len(known) < len(parameter.values):
        return parameter
    return replace(
        parameter, values=(), low=min(known), high=max(known), unit=units.pop(), spacing="even"
    )


def _unit(value: Value) -> str:
    parts = split(value) if isinstance(value, str) else None
    return "" if parts is None else parts[1]
