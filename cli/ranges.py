"""Ranges as they are typed: "10 in to 12 in", "10 to 12 in", "from 300 mm", "up to 60 kg/m"."""

from __future__ import annotations

import re

from ..geometry.errors import InputError
from ..geometry.quantity import split
from ..geometry.units import QUANTITIES, Units

Range = tuple[float | None, float | None]

_OPEN = re.compile(r"\s*(from|up to)\s+(.*)", re.DOTALL)
_BOTH = re.compile(r"(.*\S)\s+to\s+(\S.*)", re.DOTALL)
#: A bound that is met but for rounding is met: 12 in are 304.8 mm and a little.
_SLACK = 1e-9


def read_range(text: str | None, quantity: str, units: Units, what: str) -> Range:
    """Both bounds in consistent units, None where the range is open.

    Parameters
    ----------
    text : str or None
        None is open on both sides. A lower bound without unit has that of the upper one.
    quantity : str
        A key of `geometry.units.QUANTITIES`.
    units : Units
    what : str
        Name of the option, for messages.

    Raises
    ------
    InputError
        For a text that is no range, a missing or wrong unit, or bounds in the wrong order.

    Examples
    --------
    >>> low, high = read_range("10 to 12 in", "length", Units("in"), "--depth")
    >>> round(low, 6), round(high, 6)
    (10.0, 12.0)
    """
    if text is None:
        return None, None
    open_ended, both = _OPEN.fullmatch(text), _BOTH.fullmatch(text)
    if open_ended:
        value = units.read(open_ended.group(2), quantity, what=what)
        lower = open_ended.group(1) == "from"
        return (value * (1 - _SLACK), None) if lower else (None, value * (1 + _SLACK))
    if not both:
        example = QUANTITIES[quantity][1]
        raise InputError(
            f'{what}: {text[:60]!r} is not a range; write it like "from {example}", '
            f'"up to {example}", or both bounds with " to " between them'
        )
    high = units.read(both.group(2), quantity, what=what)
    parts = split(both.group(2))
    low = units.read(both.group(1), quantity, what=what, bare=parts[1] if parts else None)
    if low > high:
        raise InputError(f"{what}: {text[:60]!r} runs downward; put the smaller bound first")
    return low * (1 - _SLACK), high * (1 + _SLACK)
