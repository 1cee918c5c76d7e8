"""A number with its unit, and what is known of its error or of why there is none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from .geometry.errors import InputError
from .geometry.notebook_table import notebook_table
from .report.text.number import bounds, number, unit_text


@dataclass(frozen=True, slots=True)
class Value:
    """A result that is one number.

    Parameters
    ----------
    value : float or None
        None where the method gives no number; `reason` says why.
    unit : str
        In plain letters, "mm^4"; "" for plain numbers, and where the section has no unit.
    symbol : str
    lower, upper : float, optional
        Ends of an interval that is guaranteed to hold the exact value.
    at : tuple of float, optional
        Where it holds: a point (x, y) of the section.
    reason : str
        Why there is no number, or what it leaves out.

    Examples
    --------
    >>> j = Value(2250.4, "mm^4", "J", 2250.401816, 2250.403122)
    >>> j
    J = 2250.4 mm⁴, guaranteed within 2250.40181 to 2250.40313 mm⁴
    >>> float(j), j.upper > j.lower, j.to_dict()["unit"]
    (2250.4, True, 'mm^4')
    """

    value: float | None
    unit: str = ""
    symbol: str = ""
    lower: float | None = None
    upper: float | None = None
    at: tuple[float, ...] | None = None
    reason: str = ""

    def __float__(self) -> float:
        if self.value is None:
            raise InputError(f"{self.symbol or 'the value'} has no number: {self.reason}")
        return float(self.value)

    def quantity(self) -> Any:
        """The number as a quantity of pint's application registry.

        Raises
        ------
        InputError
            Where there is no number.

        Examples
        --------
        >>> Value(350.0, "MPa").quantity().to("ksi").magnitude > 50
        True
        """
        return pint_quantity(float(self), self.unit)

    def to_dict(self) -> dict[str, Any]:
        """JSON-able: what is known of it, under the attributes' names."""
        words = ("symbol", "value", "unit", "lower", "upper", "at", "reason")
        found = {word: getattr(self, word) for word in words}
        found["at"] = None if self.at is None else list(self.at)
        return {"format": "soapfilm value 1", **found}

    def __repr__(self) -> str:
        unit = f" {unit_text(self.unit)}" if self.unit else ""
        lead = f"{self.symbol} = " if self.symbol else ""
        if self.value is None:
            return f"{lead}none: {self.reason}"
        text = f"{lead}{number(self.value)}{unit}"
        if self.lower is not None and self.upper is not None:
            text += f", guaranteed within {bounds(self.lower, self.upper)}{unit}"
        if self.at is not None:
            text += f" at ({', '.join(number(c, 5) for c in self.at)})"
        return text + (f" ({self.reason})" if self.reason else "")

    def _repr_html_(self) -> str:
        return notebook_table("", [("", self.symbol, repr(self).partition(" = ")[2] or repr(self))])


def pint_quantity(value: float, unit: str) -> Any:
    """A number with a unit of ours as a quantity of pint."""
    import pint

    plain = unit.replace("1/", "") if unit.startswith("1/") else unit
    registry: Any = pint.get_application_registry()  # type: ignore[no-untyped-call]
    one = registry.Quantity(1.0, plain)
    return value * (1 / one if plain != unit else one)
