"""A study over shapes that a function makes: sections made in Python, one a row.

The function is called here, for one point at a time; what travels to workers is the section it
made. So it need not be importable there, and a row's key is the section itself: a function that is
changed finds again the rows whose sections it did not change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from ....geometry.errors import InputError, SoapfilmError
from ..run.content import digest, section_key
from .parameter import Value
from .section_base import section_columns

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ..run.cache import RecordCache


@dataclass(frozen=True, slots=True)
class MadeShape:
    """One section, or why the function made none; it takes the part of the file of its row.

    Attributes
    ----------
    section : Section or None
    error : str
    """

    section: Section | None
    error: str = ""

    @property
    def digest(self) -> str:
        """Key of the section."""
        return (
            digest("no shape", self.error) if self.section is None else section_key(self.section, 0)
        )

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the results, in order."""
        return section_columns()

    @property
    def main(self) -> str:
        """The result a figure shows when none is named."""
        return "torsion_constant"

    @property
    def unit(self) -> str:
        """Length unit of the results."""
        return "" if self.section is None else self.section.unit

    def check(self, addresses: Iterable[str]) -> None:
        """Nothing is addressed in a section that is made."""

    def solved(
        self, assignments: Mapping[str, Value], accuracy: float, cache: RecordCache | None
    ) -> dict[str, Any]:
        """Results by column.

        Raises
        ------
        SoapfilmError
            If there is no section, or it cannot be solved.
        """
        from ..run.solving import solved_properties

        if self.section is None:
            raise InputError(self.error)
        record = solved_properties(self.section, accuracy, cache).record()
        return {name: record[name] for name in self.columns}


@dataclass(frozen=True, slots=True)
class ShapeFunction:
    """What makes the sections.

    Attributes
    ----------
    make : function
        A section from the parameters by name.
    name : str
    length : str
        Length unit of all its sections.
    keys : dict
        Digest of the shape of each point so far: the function is not called again for it.
    """

    make: Callable[..., Section]
    name: str
    length: str
    keys: dict[str, str] = field(default_factory=dict, compare=False, repr=False)

    @property
    def digest(self) -> str:
        """Key of what all rows have in common; the shapes have their own."""
        return digest("made shapes", self.length)

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the results, in order."""
        return section_columns()

    @property
    def main(self) -> str:
        """The result a figure shows when none is named."""
        return "torsion_constant"

    @property
    def unit(self) -> str:
        """Length unit of the results."""
        return self.length

    def check(self, addresses: Iterable[str]) -> None:
        """The function itself says what it cannot take."""

    def at(self, assignments: Mapping[str, Value]) -> MadeShape:
        """The shape of a point; a refusal of the package's own becomes the row's error."""
        try:
            section = self.make(**assignments)
        except SoapfilmError as error:
            return MadeShape(None, str(error))
        if section.unit != self.length:
            raise InputError(
                f"{self.name} made a section in {section.unit or 'no unit'} and one in "
                f"{self.length or 'no unit'}; the rows of a study are in one unit"
            )
        return MadeShape(section)

    def key(self, assignments: Mapping[str, Value]) -> str:
        """Digest of the shape of a point."""
        point = digest(dict(assignments))
        if point not in self.keys:
            self.keys[point] = self.at(assignments).digest
        return self.keys[point]

    def solved(
        self, assignments: Mapping[str, Value], accuracy: float, cache: RecordCache | None
    ) -> dict[str, Any]:
        """Results by column (see `MadeShape.solved`)."""
        return self.at(assignments).solved(assignments, accuracy, cache)
