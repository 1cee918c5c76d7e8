"""Amounts that expressions reckon with: exact numbers with the powers of their units."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from ..errors import InputError

#: Results beyond ten to this power, either way, lie outside all that is built.
_LARGEST = 200


@dataclass(frozen=True, slots=True)
class Amount:
    """A number in SI base units with its powers of mass, length and time.

    Raises
    ------
    InputError
        Where it lies beyond 1e200, or nearer to zero than 1e-200.
    """

    value: Fraction
    dimension: tuple[Fraction | int, ...] = (0, 0, 0)

    def __post_init__(self) -> None:
        if self.value:
            _check_power(_power_of_ten(self.value))

    @property
    def plain(self) -> bool:
        """Whether it has no unit."""
        return not any(self.dimension)

    @property
    def words(self) -> str:
        """What it is, for messages."""
        if self.plain:
            return "a plain number"
        known = {(0, 1, 0): "a length", (0, 2, 0): "an area", (1, 1, -2): "a force"}
        known |= {(1, -1, -2): "a stress", (1, 0, -2): "a force per length"}
        return known.get(tuple(self.dimension), "another quantity")  # type: ignore[arg-type]


def added(a: Amount, b: Amount, sign: str) -> Amount:
    """a + b or a - b; both of one kind."""
    if a.dimension != b.dimension:
        raise InputError(
            f"{a.words} and {b.words} cannot be added; give both the same kind of unit"
        )
    return Amount(a.value + b.value if sign == "+" else a.value - b.value, a.dimension)


def multiplied(a: Amount, b: Amount, sign: str) -> Amount:
    """a * b or a / b."""
    if sign == "*":
        powers = tuple(p + q for p, q in zip(a.dimension, b.dimension, strict=True))
        return Amount(a.value * b.value, powers)
    if b.value == 0:
        raise InputError("division by zero")
    powers = tuple(p - q for p, q in zip(a.dimension, b.dimension, strict=True))
    return Amount(a.value / b.value, powers)


def raised(base: Amount, power: Amount) -> Amount:
    """base ^ power; a plain power up to 12."""
    if not power.plain or abs(power.value) > 12:
        raise InputError("a power is a plain number up to 12")
    n = power.value
    dimension = tuple(d * n for d in base.dimension)
    if base.value == 0 and n < 0:
        raise InputError("division by zero")
    if base.value:  # before it is reckoned, for that might have no end, as with 9^9^9
        _check_power(_power_of_ten(base.value) * float(n))
    if n.denominator == 1:
        return Amount(base.value ** int(n), dimension)
    if base.value < 0:
        raise InputError("a root of a negative number")
    return Amount(Fraction(float(base.value) ** float(n)), dimension)


def literal(text: str) -> Fraction:
    """The number that digits, a point and a power of ten say.

    Raises
    ------
    InputError
        As `Amount`; before 10 is raised to it, for 1e999999999 has a thousand million digits.
    """
    digits = re.split("[eE]", text)[0]
    if not any(d in digits for d in "123456789"):
        return Fraction(0)
    size = float(text)
    _check_power(math.log10(size) if 0 < size < math.inf else math.inf)
    return Fraction(text)


def _power_of_ten(value: Fraction) -> float:
    return math.log10(abs(value.numerator)) - math.log10(value.denominator)


def _check_power(power: float) -> None:
    if not abs(power) <= _LARGEST:
        raise InputError(
            f"a number beyond 1e{_LARGEST} or below 1e-{_LARGEST}; check powers and units"
        )
