"""Numbers as engineers read them: few digits, exponents in steps of three, raised powers."""

from __future__ import annotations

import math
from functools import lru_cache

from ...geometry.units import Units

_RAISED = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")


def number(value: float, digits: int = 6) -> str:
    """The value to so many significant digits, with an exponent outside 0.001 to 1e6.

    >>> number(83563215.0), number(0.000012345), number(120.0), number(-0.0)
    ('83.5632e6', '12.345e-6', '120', '0')
    """
    if not math.isfinite(value):
        return "unbounded" if value > 0 else "undefined"
    if value == 0:
        return "0"
    rounded = float(f"{value:.{digits - 1}e}")
    exponent = math.floor(math.log10(abs(rounded)) + 1e-12)
    if -3 <= exponent < 6:
        return _trimmed(f"{rounded:.{max(digits - 1 - exponent, 0)}f}")
    step = 3 * (exponent // 3)
    mantissa = rounded / 10.0**step
    return _trimmed(f"{mantissa:.{max(digits - 1 - (exponent - step), 0)}f}") + f"e{step}"


def near_zero(value: float, scale: float) -> float:
    """The value, or 0 when it is rounding noise beside `scale`.

    Properties that vanish by symmetry come out as 1e-12 or so of the others; a reader wants the 0.
    """
    return 0.0 if abs(value) < 1e-9 * abs(scale) else value


def supported(value: float, uncertainty: float, digits: int = 6) -> str:
    """The value to the digits its uncertainty leaves (at most `digits`), 0 when it leaves none: the
    last digit is in doubt by three at most.

    >>> supported(184.1603, 0.02), supported(-0.0007, 0.001), supported(1.25e8, 0.0)
    ('184.16', '0', '125e6')
    >>> supported(8505.094, 3.6), supported(8505.094, 1.3), supported(8505.094, 0.4)
    ('8510', '8505', '8505')
    """
    if not abs(value) > uncertainty:
        return "0"
    if uncertainty > 0:
        leading = math.floor(math.log10(abs(value)))
        last = math.ceil(math.log10(uncertainty / 3))
        digits = min(digits, max(2, leading - last + 1))
    return number(value, digits)


def bounds(lower: float, upper: float) -> str:
    """Both ends of an interval, rounded outward, to digits that show its width.

    >>> bounds(2250.401816, 2250.403122)
    '2250.40181 to 2250.40313'
    """
    width = max((upper - lower) / abs(upper), 1e-15) if upper else 1.0
    digits = min(max(4, math.ceil(-math.log10(width)) + 2), 15)
    step = 10.0 ** (math.floor(math.log10(abs(upper))) - digits + 1) if upper else 1.0
    low, high = math.floor(lower / step) * step, math.ceil(upper / step) * step
    return f"{number(low, digits)} to {number(high, digits)}"


def unit_text(unit: str) -> str:
    """A unit with raised powers and a middle dot.

    >>> unit_text("kN*m^2"), unit_text("mm^4")
    ('kN·m²', 'mm⁴')
    """
    head, *powers = unit.replace("*", "·").split("^")
    out = head
    for part in powers:
        size = 1
        while size < len(part) and part[size].isdigit():
            size += 1
        out += part[:size].translate(_RAISED) + part[size:]
    return out


def unit_power(unit: str, power: int) -> str:
    """A power of a length unit as tables show it, "" when there is no unit.

    >>> unit_power("mm", 4), unit_power("in", -2), unit_power("", 2)
    ('mm⁴', '1/in²', '')
    """
    if not unit:
        return ""
    plain = unit if abs(power) == 1 else f"{unit}^{abs(power)}"
    return unit_text(f"1/{plain}" if power < 0 else plain)


@lru_cache(maxsize=256)
def displayed(length: str, quantity: str, small: bool = False) -> tuple[str, float]:
    """Unit in which engineers read a quantity of a section in this length unit, and the factor that
    takes a number there; ("", 1) when the section states no unit. `small`: of a
    desk model.

    >>> displayed("mm", "bending rigidity")
    ('kN·m²', 1e-09)
    """
    if not length:
        return "", 1.0
    unit, factor = Units(length, small=small).display(quantity)
    return unit_text(unit), factor


def _trimmed(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text else text
