"""Designations read the way people type them: any case, blanks, fractions, decimals, × or x.

A designation is compared by what it says: letters and numbers. "w 10 x 49", "HSS6X4X.5" and "L4X3
1/2X1/2" find W10X49, HSS6X4X1/2 and L4X3-1/2X1/2; "HE 200 B" finds HEB200.
"""

from __future__ import annotations

import re

#: Letters in front, the numbers, letters behind.
Key = tuple[str, tuple[float, ...], str]

_NUMBER = r"(?:\d+-\d+/\d+|\d+/\d+|\d*\.\d+|\d+\.?)"
_SHAPE = re.compile(rf"([A-Z]+)({_NUMBER}(?:X{_NUMBER})*)([A-Z]*)")
_HE = re.compile(r"HE(\d+)([ABM])")


def designation_key(text: str) -> Key | None:
    """What a designation says; None when it is not one.

    Examples
    --------
    >>> designation_key("l4 x 3 1/2 x .5")
    ('L', (4.0, 3.5, 0.5), '')
    >>> designation_key("Pipe 4 std")
    ('PIPE', (4.0,), 'STD')
    """
    if len(text) > 60:
        return None
    joined = re.sub(r"(\d)\s+(\d+/\d+)", r"\1-\2", text.strip().upper())
    plain = re.sub(r"[\s_]+", "", joined).replace("×", "X").replace("*", "X")
    plain = _HE.sub(r"HE\2\1", plain)
    match = _SHAPE.fullmatch(plain)
    if match is None:
        return None
    letters, numbers, rest = match.groups()
    try:
        values = tuple(round(_value(n), 9) for n in numbers.split("X"))
    except ZeroDivisionError:
        return None
    return letters, values, rest


def _value(text: str) -> float:
    whole, _, fraction = text.rpartition("-")
    if "/" not in fraction:
        return float(fraction)
    over, under = fraction.split("/")
    return float(whole or 0) + int(over) / int(under)
