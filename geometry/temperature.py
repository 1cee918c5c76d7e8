"""Temperature differences and thermal expansion: "25 K", "45 delta_degF", "1.2e-5 1/K".

Only differences act on a member, so a unit whose zero is not that of a difference ("25 degC", which
pint takes as a temperature of 298.15 K) is refused with what to write instead.
"""

from __future__ import annotations

import math
from fractions import Fraction

from .errors import UnitError
from .quantity import split

#: Kelvin a unit of each.
_DIFFERENCES = {
    "K": Fraction(1),
    "kelvin": Fraction(1),
    "delta_degC": Fraction(1),
    "delta_degF": Fraction(5, 9),
}
_OFFSET = ("degC", "degF", "°C", "°F", "C", "F", "celsius", "fahrenheit")


def temperature_difference(value: object, what: str) -> float:
    """A difference of temperature in kelvin.

    Raises
    ------
    UnitError
        Without a unit, or with one of a temperature rather than a difference.

    Examples
    --------
    >>> temperature_difference("25 K", "uniform")
    25.0
    >>> temperature_difference("45 delta_degF", "uniform")
    25.0
    """
    number, unit = _split(value, what, '"25 K"')
    if unit in _OFFSET:
        kelvin = "K" if "C" in unit or unit == "celsius" else "delta_degF"
        raise UnitError(
            f"{what}: {value!r} is a temperature, where a difference acts; "
            f'write "{number:g} {kelvin}"'
        )
    if unit not in _DIFFERENCES:
        raise UnitError(
            f'{what}: {value!r} is not a difference of temperature; write it like "25 K"'
        )
    return float(Fraction(number) * _DIFFERENCES[unit])


def thermal_expansion(value: object, what: str) -> float:
    """A coefficient of thermal expansion per kelvin.

    Raises
    ------
    UnitError
        Without a unit, or with another one.

    Examples
    --------
    >>> thermal_expansion("1.2e-5 1/K", "thermal_expansion")
    1.2e-05
    """
    number, unit = _split(value, what, '"1.2e-5 1/K"')
    under = unit.removeprefix("1").strip()
    under = under[1:].strip() if under.startswith("/") else under.removesuffix("^-1")
    if under == unit or under not in (*_DIFFERENCES, *_OFFSET):
        raise UnitError(
            f"{what}: {value!r} is not a coefficient of thermal expansion; "
            'write it like "1.2e-5 1/K"'
        )
    # Per degree is per difference of one degree, whatever its zero.
    fahrenheit = under in ("delta_degF", "degF", "°F", "F", "fahrenheit")
    return float(Fraction(number) * (Fraction(9, 5) if fahrenheit else 1))


def _split(value: object, what: str, example: str) -> tuple[float, str]:
    parts = split(value) if isinstance(value, str) else None
    if parts is None or not math.isfinite(parts[0]):
        raise UnitError(f"{what}: {value!r} is not a number with its unit; write it like {example}")
    if not parts[1]:
        raise UnitError(f"{what}: {value!r} has no unit; write it like {example}")
    return parts
