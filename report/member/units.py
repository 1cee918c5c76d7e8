"""Units in which a member's results are read: m or ft along it, mm or in for displacements."""

from __future__ import annotations

from dataclasses import dataclass

from ...geometry.units import Units
from ..text.number import number, unit_text

#: Quantities that have a unit of their own in reports of members.
_METRIC = {"along": "m", "displacement": "mm"}
_SMALL = {"along": "mm", "displacement": "mm"}
_AMERICAN = {"along": "ft", "displacement": "in"}


@dataclass(frozen=True, slots=True)
class MemberUnits:
    """Unit and factor of every quantity of a member's report.

    Besides the quantities of `Units` there are "along" (positions), "displacement"
    (deflections) and "place" (points of the section, in the file's own unit).
    """

    units: Units

    def unit(self, quantity: str) -> str:
        """The unit as text, with raised powers."""
        return unit_text(self._pair(quantity)[0])

    def plain(self, quantity: str) -> str:
        """The unit in plain letters ("kN*m")."""
        return self._pair(quantity)[0]

    def factor(self, quantity: str) -> float:
        """What a number of the solution is multiplied by to be in that unit."""
        return self._pair(quantity)[1]

    def value(self, size: float, quantity: str, digits: int = 4) -> str:
        """A number without its unit."""
        return number(size * self.factor(quantity), digits)

    def text(self, size: float, quantity: str, digits: int = 4) -> str:
        """A number with its unit: "12.4 kN·m"."""
        return f"{self.value(size, quantity, digits)} {self.unit(quantity)}"

    def place(self, point: tuple[float, float], size: float, digits: int = 4) -> str:
        """A point of the section, `size` being that of the section: "(80, 290) mm"."""
        x, y = (0.0 if abs(c) < 1e-6 * size else c for c in point)
        return f"({number(x, digits)}, {number(y, digits)}) {self.units.length}"

    def _pair(self, quantity: str) -> tuple[str, float]:
        if quantity == "place":
            return self.units.length, 1.0
        metric = _SMALL if self.units.small else _METRIC
        own = (metric if self.units.metric else _AMERICAN).get(quantity)
        if own is not None:
            return own, self.units.factor("length", own)
        return self.units.display(quantity)
