"""Units in which a joint is read: it is solved in mm, N and MPa, and shown in its file's own."""

from __future__ import annotations

from dataclasses import dataclass

from ...geometry.units import Units
from ..text.number import near_zero, number, unit_text

_INSIDE = Units("mm")


@dataclass(frozen=True, slots=True)
class JointMeasure:
    """Numbers of a joint in the units of a file."""

    units: Units

    def unit(self, quantity: str) -> str:
        """The unit as text, with raised powers."""
        return unit_text(self._name(quantity))

    def factor(self, quantity: str) -> float:
        """What a number in mm, N and MPa is multiplied by."""
        return _INSIDE.factor(quantity, self._name(quantity))

    def value(self, size: float, quantity: str, digits: int = 4, scale: float = 0.0) -> str:
        """A number without its unit; 0 where it is rounding beside `scale`."""
        return number(near_zero(size, scale) * self.factor(quantity), digits)

    def text(self, size: float, quantity: str, digits: int = 4) -> str:
        """A number with its unit."""
        return f"{self.value(size, quantity, digits)} {self.unit(quantity)}"

    def _name(self, quantity: str) -> str:
        if quantity == "length":
            return self.units.length
        if quantity == "line load":
            return f"{'kN' if self.units.metric else 'kip'}/{self.units.length}"
        return self.units.display(quantity)[0]
