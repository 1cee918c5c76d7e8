"""A parameter of a study: which values of a file it sets, and what it may be set to."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ....geometry.errors import InputError
from ....geometry.quantity import split
from ....geometry.section_file.entry import Entry

Value = float | int | str | bool
_MOST_VALUES = 100_000
_MOST_WHOLE = 2**53
EXAMPLE = "values = [6, 8, 10], or from = 6 and to = 10"


@dataclass(frozen=True, slots=True)
class Parameter:
    """One named quantity that a study changes.

    Attributes
    ----------
    name : str
        Column of the results.
    sets : tuple of str
        Addresses that all get its value (see `address`).
    values : tuple
        What it may be: numbers in the file's unit, or texts ("12 mm", "W10X49"); empty for a range.
    low, high : float
        Ends of a range, included; unused with values.
    unit : str
        Unit of a range whose ends were texts, else "".
    spacing : "even" or "log"
    """

    name: str
    sets: tuple[str, ...]
    values: tuple[Value, ...] = ()
    low: float = 0.0
    high: float = 0.0
    unit: str = ""
    spacing: str = "even"

    def __post_init__(self) -> None:
        what = f"parameter {self.name!r}"
        if not self.sets:
            raise InputError(f"{what} sets nothing; name an address, like sets = 'web.thickness'")
        if self.values:
            if len(set(map(repr, self.values))) < len(self.values):
                raise InputError(f"{what} has a value twice; each may stand once")
            return
        if not (math.isfinite(self.low) and math.isfinite(self.high)):
            raise InputError(f"{what}: from and to are finite, got {self.low:g} and {self.high:g}")
        if not self.low < self.high:
            raise InputError(f"{what}: from must be below to, got {self.low:g} and {self.high:g}")
        if self.spacing == "log" and self.low <= 0:
            raise InputError(f"{what}: log spacing needs from above 0, got {self.low:g}")

    @property
    def is_range(self) -> bool:
        """True when any value between two ends is allowed."""
        return not self.values

    def at(self, share: float) -> Value:
        """The value at a share (0 to 1) of a range, or of a list of values."""
        if self.values:
            return self.values[min(int(share * len(self.values)), len(self.values) - 1)]
        if self.spacing == "log":
            low, high = math.log(self.low), math.log(self.high)
            return self.written(math.exp(low + share * (high - low)))
        return self.written(self.low + share * (self.high - self.low))

    def written(self, number: float) -> Value:
        """A number of a range as the file is to have it.

        Rounded to 12 digits: no drawing knows more, and 0.30000000000000004 reads badly.
        """
        number = float(f"{number:.12g}")
        return f"{number!r} {self.unit}" if self.unit else number

    def steps(self, count: int) -> tuple[Value, ...]:
        """`count` values from end to end of a range."""
        if count < 2:
            raise InputError(f"parameter {self.name!r}: steps must be 2 or more, got {count}")
        return tuple(self.at(k / (count - 1)) for k in range(count))


def number_of(value: Value) -> float | None:
    """A value as a number, its unit left off ("12 mm" is 12); None for a text that has none."""
    if isinstance(value, str):
        parts = split(value)
        return None if parts is None else parts[0]
    return float(value)


def read_parameter(entry: Entry) -> tuple[Parameter, int | None]:
    """A parameter from its table, and the steps of its range where they are given."""
    name = entry.text("name")
    if not name:
        entry.need("name", '"wall"')
    sets = _addresses(entry)
    listed = entry.has("values")
    ranged = entry.has("from") or entry.has("to")
    if listed == ranged:
        raise InputError(f"give either values or a range: {EXAMPLE}")
    steps = entry.plain("steps")
    spacing = entry.choice("spacing", ("even", "log"), "even")
    if listed:
        entry.close()
        if steps is not None or spacing != "even":
            raise InputError("steps and spacing belong to a range; leave them out beside values")
        return Parameter(name, sets, _values(entry.table["values"])), None
    low, high, unit = _range(entry)
    entry.close()
    if steps is not None and (steps != int(steps) or not 2 <= steps <= _MOST_VALUES):
        raise InputError(f"steps is a whole number from 2 to {_MOST_VALUES}, got {steps:g}")
    return (
        Parameter(name, sets, (), low, high, unit, spacing),
        None if steps is None else int(steps),
    )


def _addresses(entry: Entry) -> tuple[str, ...]:
    sets = entry.need("sets", '"web.thickness"')
    listed = [sets] if isinstance(sets, str) else sets
    if not isinstance(listed, list) or not all(isinstance(a, str) and a for a in listed):
        raise InputError('sets is an address like "web.thickness", or a list of addresses')
    return tuple(listed)


def _values(values: object) -> tuple[Value, ...]:
    if not isinstance(values, list) or not values:
        raise InputError("values is a list with one value or more, like values = [6, 8, 10]")
    if len(values) > _MOST_VALUES:
        raise InputError(f"values has {len(values)} entries; at most {_MOST_VALUES} are read")
    for value in values:
        _exact(value, "values")
        finite = not isinstance(value, float) or math.isfinite(value)
        if not isinstance(value, (int, float, str)) or not finite:
            raise InputError(f"values are numbers or texts, got {str(value)[:40]!r}")
    return tuple(values)


def _exact(value: object, key: str) -> None:
    """Whole numbers of a file may be of any size; numbers and stores hold these exactly."""
    if isinstance(value, int) and abs(value) > _MOST_WHOLE:
        raise InputError(f"{key}: whole numbers go to 2^53; write a larger one like 1e16")


def _range(entry: Entry) -> tuple[float, float, str]:
    """Ends of a range and their unit ("" for plain numbers)."""
    ends: Mapping[str, Any] = {k: entry.need(k, "10") for k in ("from", "to")}
    numbers, units = [], []
    for key, value in ends.items():
        _exact(value, key)
        parts = split(value) if isinstance(value, str) else (value, "")
        if parts is None or isinstance(value, bool) or not isinstance(parts[0], (int, float)):
            raise InputError(f"{key} is a number or a quantity, got {str(value)[:40]!r}")
        numbers.append(float(parts[0]))
        units.append(parts[1])
    if units[0] != units[1]:
        raise InputError(f"from and to bear different units, {ends['from']!r} and {ends['to']!r}")
    return numbers[0], numbers[1], units[0]
