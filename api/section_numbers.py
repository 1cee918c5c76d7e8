"""The numbers of a solved section by name and symbol, with their units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from .leaving import Framed
from .report.data_table import DataTable
from .report.section.vocabulary import (
    SECTION_QUANTITIES,
    section_quantity,
    section_values,
    unit_of,
    why_missing,
)
from .value import Value, pint_quantity

if TYPE_CHECKING:
    from .solver.section import SectionResult


@dataclass(frozen=True, eq=False)
class SectionNumbers(Framed):
    """What a `SectionSolution` knows as numbers.

    Attributes
    ----------
    result : SectionResult

    Examples
    --------
    >>> import soapfilm as sf
    >>> r = sf.solve(sf.build("mm").shape("U", Depth=200, FlangeWidth=80, WebThickness=6,
    ...                                   FlangeThickness=10))
    >>> [round(x, 2) for x in r.centroid], r.shear_centre[0] < r.centroid[0]
    ([-14.91, 0.0], True)
    >>> r.A.unit, r.J.unit, r.C_w.unit, r.W_T.reason
    ('mm^2', 'mm^4', 'mm^6', 'unbounded: re-entrant corner of 270 degrees at ...')
    >>> r.values["area"] == r["A"], r.units["warping_constant"]
    (True, 'mm^6')
    >>> len(r.table), len(r.to_frame("pandas"))
    (1, 1)
    """

    result: SectionResult

    @cached_property
    def values(self) -> Mapping[str, Any]:
        """All numbers by name."""
        return section_values(self.result)

    @property
    def units(self) -> dict[str, str]:
        """Unit of every number that has one, by name."""
        found = {name: unit_of(name, self.result.unit) for name in SECTION_QUANTITIES}
        return {name: unit for name, unit in found.items() if unit}

    def __getitem__(self, word: str) -> Any:
        """A number by its name or symbol, None where there is none.

        Raises
        ------
        InputError
            With the nearest name.
        """
        return self.values[section_quantity(word).name]

    def value(self, word: str) -> Value:
        """A number with its unit and what is known of its error.

        Parameters
        ----------
        word : str
            Its name or symbol: "torsion_constant" or "J".

        Raises
        ------
        InputError
            For an unknown name, with the nearest.

        Examples
        --------
        >>> import soapfilm as sf
        >>> sf.solve("W10X49").value("A").unit
        'in^2'
        """
        q = section_quantity(word)
        symbol, unit = (q.symbols or ("",))[0], unit_of(q.name, self.result.unit)
        number, modulus = self.values[q.name], self.result.torsion_modulus
        if q.name == "torsion_constant":
            lower, upper = self.result.torsion_constant_lower, self.result.torsion_constant_upper
            return Value(number, unit, symbol, lower, upper)
        if q.name == "torsion_modulus":
            return Value(number, unit, symbol, at=modulus.at, reason=modulus.reason)
        reason = "" if number is not None else why_missing(self.result, q.name)
        return Value(number, unit, symbol, reason=reason)

    def quantity(self, word: str) -> Any:
        """A number as a pint quantity of the application registry.

        Parameters
        ----------
        word : str
            Its name or symbol.

        Raises
        ------
        InputError
            For an unknown name, or where there is no number.

        Examples
        --------
        >>> import soapfilm as sf
        >>> round(sf.solve("W10X49").quantity("A").to("cm**2").magnitude)
        93
        """
        q = section_quantity(word)
        return pint_quantity(float(self.value(q.name)), unit_of(q.name, self.result.unit))

    @property
    def J(self) -> Value:
        """Torsion constant J = I_T with its guaranteed interval."""
        return self.value("J")

    @property
    def C_w(self) -> Value:
        """Warping constant C_w = I_w."""
        return self.value("C_w")

    @property
    def A(self) -> Value:
        """Area, weighted by E where materials differ."""
        return self.value("A")

    @property
    def W_T(self) -> Value:
        """Torsion section modulus, or why there is none."""
        return self.value("W_T")

    @property
    def centroid(self) -> tuple[float, float]:
        """(x, y) in the axes of the input."""
        return self.values["centroid_x"], self.values["centroid_y"]

    @property
    def shear_centre(self) -> tuple[float, float]:
        """(x, y) of Trefftz's shear centre in the axes of the input."""
        return self.values["shear_centre_x"], self.values["shear_centre_y"]

    @property
    def table(self) -> DataTable:
        """One row with all numbers, as sweeps have them."""
        columns = {"name": [self.result.section.name]} | {k: [v] for k, v in self.values.items()}
        return DataTable(columns, self.units, self.result.section.name)

    def _main_table(self) -> DataTable:
        return self.table

    def _ipython_key_completions_(self) -> list[str]:
        return list(SECTION_QUANTITIES)
