"""The section file a study changes, and what is solved with the changed values."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from ....geometry.errors import InputError, SoapfilmError
from ....geometry.input_file import name_of
from ....geometry.section_file.entry import naming
from ....geometry.section_file.text import parsed, read_text
from ..run.content import digest
from .address import assigned, check_apart
from .companions import companions_digest, content_of
from .parameter import Value

if TYPE_CHECKING:
    from ....geometry.section import Section
    from ..run.cache import RecordCache

#: What is said of a section by its name already, or never changes within a study.
_LEFT_OUT = ("name", "length_unit", "material")


class Base(Protocol):
    """What a study needs of the file it changes; it travels to workers whole."""

    @property
    def digest(self) -> str:
        """Key of everything a result depends on, the changed values apart."""

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the results, in order."""

    @property
    def main(self) -> str:
        """The result a figure shows when none is named."""

    @property
    def unit(self) -> str:
        """Length unit of the results."""

    def check(self, addresses: Iterable[str]) -> None:
        """See that addresses lead somewhere."""

    def solved(
        self, assignments: Mapping[str, Value], accuracy: float, cache: RecordCache | None
    ) -> dict[str, Any]:
        """Results by column, with values at addresses."""


@dataclass(frozen=True, slots=True)
class SectionBase:
    """A section file's text.

    Attributes
    ----------
    text : str
    name : str
        Of the section, unless the file states one.
    folder : str
        Where the drawings it names are sought; workers elsewhere need the same folder.
    files : str
        Digest of those files' content.
    output_unit : str
        Length unit of the results where it is not the file's.
    """

    text: str
    name: str
    folder: str = "."
    files: str = ""
    output_unit: str = ""

    @classmethod
    def from_file(cls, path: Path, output_unit: str = "") -> SectionBase:
        """Read a section file; results are in `output_unit`, or in the file's own.

        Raises
        ------
        InputError
            If it is a drawing: only a section file has values with addresses.
        """
        if path.suffix.lower() != ".toml":
            raise InputError(
                f"{path}: only a section file (.toml) has values to change; put the drawing's "
                "dimensions in one"
            )
        with naming(str(path)):
            text = read_text(path)
            tables = parsed(text)
            if "span" in tables:
                raise InputError('this is a member file; name it by member = "..."')
            folder = path.resolve().parent
            files = companions_digest(tables, folder)
            return cls(text, name_of(path), str(folder), files, output_unit)

    @property
    def digest(self) -> str:
        """Key of everything a result depends on, the changed values apart."""
        shown = (self.output_unit,) if self.output_unit else ()
        return digest("section file", self.name, *content_of(self.text), self.files, *shown)

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
        return self.output_unit or self.written_unit

    @property
    def written_unit(self) -> str:
        """Length unit of the file's bare numbers."""
        unit = tables_of(self.text).get("unit")
        return unit if isinstance(unit, str) else ""

    def check(self, addresses: Iterable[str]) -> None:
        """See that addresses lead somewhere, each to another place.

        Raises
        ------
        InputError
            With what there is where an address goes astray, or what two of them set.
        """
        check_apart(tables_of(self.text), addresses)

    def section(self, assignments: Mapping[str, Value]) -> Section:
        """The section with values at addresses, in the unit of the results.

        Raises
        ------
        InputError
            As reading the changed file would.
        """
        from ....geometry.conversion import in_unit
        from ....geometry.section_file.section_file import section_from_table

        tables = assigned(tables_of(self.text), assignments)
        made = section_from_table(tables, self.text, name=self.name, folder=Path(self.folder))
        return in_unit(made, self.output_unit) if self.output_unit else made

    def solved(
        self, assignments: Mapping[str, Value], accuracy: float, cache: RecordCache | None
    ) -> dict[str, Any]:
        """Results by column.

        Raises
        ------
        SoapfilmError
            If the changed file has no valid section, or it cannot be solved.
        """
        from ..run.solving import solved_properties

        record = solved_properties(self.section(assignments), accuracy, cache).record()
        return {name: record[name] for name in self.columns}

    def solved_together(
        self, several: Sequence[Mapping[str, Value]], accuracy: float
    ) -> list[dict[str, Any] | SoapfilmError]:
        """Results by column of several rows, or what is wrong with one.

        Sections of one build share a mesh (see `section.family`). Nothing is looked up or kept in
        a cache: it would cost a good part of what solving does.
        """
        from ...section.family.solve import solve_sections
        from ..run.solving import met_properties

        found: list[Section | SoapfilmError] = []
        for assignments in several:
            try:
                found.append(self.section(assignments))
            except SoapfilmError as error:
                found.append(error)
        sections = [one for one in found if not isinstance(one, SoapfilmError)]
        results = iter(solve_sections(sections, accuracy))
        out: list[dict[str, Any] | SoapfilmError] = []
        for one in found:
            result = one if isinstance(one, SoapfilmError) else next(results)
            try:
                if isinstance(result, SoapfilmError):
                    raise result
                record = met_properties(result, accuracy).record()
                out.append({name: record[name] for name in self.columns})
            except SoapfilmError as error:
                out.append(error)
        return out


def section_columns() -> tuple[str, ...]:
    """Names of the results of a section, in order."""
    from dataclasses import fields

    from ..run.properties import Properties

    return tuple(f.name for f in fields(Properties) if f.name not in _LEFT_OUT)


@lru_cache(maxsize=8)
def tables_of(text: str) -> dict[str, Any]:
    """A file's tables, parsed once a process; whoever changes them copies them first."""
    return parsed(text)
