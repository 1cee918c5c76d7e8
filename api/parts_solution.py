"""What `solve` gives for a section whose parts are in contact only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .geometry.errors import InputError
from .geometry.notebook_table import notebook_table
from .leaving import Framed
from .report.data_table import DataTable
from .report.section.vocabulary import unit_of
from .section_solution import SectionSolution
from .value import Value

if TYPE_CHECKING:
    from .solver.section.contact_only import ContactOnlyResult


@dataclass(frozen=True, slots=True, eq=False)
class PartsSolution(Framed):
    """Parts that nothing joins: their torsion constants add up; nothing else is common to them.

    Attributes
    ----------
    result : ContactOnlyResult

    Examples
    --------
    >>> import soapfilm as sf
    >>> pair = sf.build("mm").plate("upper", [[0, 5], [100, 5]], 10)
    >>> pair = pair.plate("lower", [[0, -5], [100, -5]], 10)
    >>> two = sf.solve(pair)
    >>> abs(two.J.value / (2 * two.parts[0].J.value) - 1) < 1e-4
    True
    >>> [round(a) for a in two.table["area"]], len(two.to_frame("pandas"))
    ([1000, 1000], 2)
    >>> two.to_dict()["format"], "J" in two.text()
    ('soapfilm parts 1', True)
    >>> two.stress(T="1 kN*m")
    Traceback (most recent call last):
    ...
    soapfilm.geometry.errors.InputError: the parts are in contact only and not connected, ...
    """

    result: ContactOnlyResult

    @property
    def J(self) -> Value:
        """Sum of the torsion constants, with its guaranteed interval."""
        r = self.result
        unit = unit_of("torsion_constant", r.section.unit)
        bounds = r.torsion_constant_lower, r.torsion_constant_upper
        return Value(r.torsion_constant, unit, "J", *bounds)

    @property
    def parts(self) -> tuple[SectionSolution, ...]:
        """Each part by itself."""
        return tuple(SectionSolution(body) for body in self.result.bodies)

    @property
    def table(self) -> DataTable:
        """One row a part."""
        rows = [dict(next(iter(part.table))) for part in self.parts]
        return DataTable.of_rows(rows, self.parts[0].units, self.result.section.name)

    def _main_table(self) -> DataTable:
        return self.table

    def to_dict(self) -> dict[str, Any]:
        """JSON-able, versioned: what `soapfilm section --json` prints."""
        from .report.section.contact_only_record import contact_only_record

        return contact_only_record(self.result)

    def text(self) -> str:
        """The table of `soapfilm section` as text."""
        from .report.section.contact_only_table import contact_only_table

        return contact_only_table(self.result)

    def stress(self, *_: Any, **__: Any) -> Any:
        """Refused: such parts have no common stress.

        Raises
        ------
        InputError
            Always, with what to do.
        """
        raise InputError(
            "the parts are in contact only and not connected, so they have no common stress, shear "
            "centre or warping; weld them, or take one of `parts`"
        )

    def __repr__(self) -> str:
        count = len(self.result.bodies)
        return (
            f"PartsSolution of {self.result.section.name!r}, {count} parts not joined: {self.J!r}"
        )

    def _repr_html_(self) -> str:
        rows = [("sum", "J", repr(self.J).partition(" = ")[2])]
        rows += [(p.section.name, "J", repr(p.J).partition(" = ")[2]) for p in self.parts]
        return notebook_table(f"{self.result.section.name}: parts in contact only", rows)
