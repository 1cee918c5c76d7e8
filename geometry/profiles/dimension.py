"""Dimensions of a parametric shape: their checks, and the error that names the one at fault."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from ..errors import GeometryError


class DimensionError(GeometryError):
    """A dimension does not fit the others.

    It holds the parts of its sentence, so that a reader of files can say it in the file's own
    spelling and unit (`say`).

    Parameters
    ----------
    name : str
        Parameter as the Python function spells it ("fillet_radius").
    value : float
        What it was; lengths in the caller's unit, slopes in radians.
    reason : str
        Rest of the sentence. ``{limit}`` stands for the limit, any other word in braces for the
        name of another parameter.
    limit : float
        Largest value that would fit.
    """

    def __init__(self, name: str, value: float, reason: str, limit: float = math.nan) -> None:
        super().__init__(name, value, reason, limit)  # args in full, so that it can be pickled
        self.name, self.value, self.reason, self.limit = name, value, reason, limit

    def say(self, spell: Callable[[str], str] = str, unit: str = "") -> str:
        """The sentence, with names as `spell` writes them and lengths in `unit`."""
        angle = self.name.endswith("slope")

        factor, label = (180 / math.pi, "deg") if angle else (1.0, unit)

        def filled(match: re.Match[str]) -> str:
            word = match.group(1)
            if word != "limit":
                return spell(word)
            return f"{_rounded_down(self.limit * factor):.7g} {label}".rstrip()

        value = repr(self.value)
        if isinstance(self.value, (int, float)):
            value = f"{self.value * factor:.7g} {label}".rstrip()
        return f"{spell(self.name)} {value} " + re.sub(r"\{(\w+)\}", filled, self.reason)

    def __str__(self) -> str:
        return self.say()


def _rounded_down(limit: float) -> float:
    """The limit to five digits, never above it: what the message offers must fit when typed."""
    if not (math.isfinite(limit) and limit > 0):
        return limit
    step = 10.0 ** (math.floor(math.log10(limit)) - 4)
    if step == 0:  # below the smallest double
        return limit
    near = round(limit / step)
    return (near if abs(near * step - limit) <= 1e-12 * limit else math.floor(limit / step)) * step


def check_positive(**dimensions: float) -> None:
    """Every dimension is a finite number above zero."""
    for name, value in dimensions.items():
        if not (_is_number(value) and 0 < value < math.inf):
            raise DimensionError(name, value, "must be a positive number")


def check_radii(**radii: float) -> None:
    """Every radius is a finite number, zero (no rounding) or more."""
    for name, value in radii.items():
        if not (_is_number(value) and 0 <= value < math.inf):
            raise DimensionError(name, value, "must be zero (sharp) or a positive number")


def check_slopes(**slopes: float) -> None:
    """Every slope is an angle from zero (parallel faces) to below 45 degrees, in radians."""
    for name, value in slopes.items():
        if not (_is_number(value) and 0 <= value < math.pi / 4):
            raise DimensionError(name, value, "must be at least 0 and below 45 deg")


def check_below(name: str, value: float, limit: float, reason: str) -> None:
    """The value is below its limit; `reason` is the rest of the sentence (see `DimensionError`)."""
    if not value < limit:
        raise DimensionError(name, value, reason, limit)


def _is_number(value: object) -> bool:
    # numpy's scalars pass too: float64 is a float, the others have __float__ and __index__
    return not isinstance(value, (bool, str)) and hasattr(value, "__float__")
