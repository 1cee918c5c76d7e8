"""Candidates for a member's section: rolled shapes, and a section file with values changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ....geometry.catalogue import FAMILIES, search, shape
from ....geometry.errors import InputError
from ....geometry.grades import generic_material, grade
from ....geometry.units import Units
from ..file.parameter import Parameter, Value
from ..file.section_base import SectionBase
from .setting import Assignments

if TYPE_CHECKING:
    from ....geometry.section import Section

#: How an address begins that leads into the member file.
MEMBER = "member."


@dataclass(frozen=True, slots=True)
class Rolled:
    """A rolled shape in a generic material.

    Attributes
    ----------
    designation, material : str
    family : str
    """

    designation: str
    material: str
    family: str = ""

    @property
    def changes(self) -> Assignments:
        """None of the member."""
        return ()

    @property
    def label(self) -> str:
        """The designation."""
        return self.designation

    def section(self) -> Section:
        """The shape, in its table's unit."""
        unit = FAMILIES[self.family].unit if self.family else shape(self.designation).unit
        return shape(self.designation, generic_material(self.material, Units(unit)))


@dataclass(frozen=True, slots=True)
class Shaped:
    """A section file with values at addresses.

    Attributes
    ----------
    base : SectionBase
    assignments : tuple of (address, value)
    label : str
    changes : tuple of (address, value)
        Of the member's diaphragms.
    """

    base: SectionBase
    assignments: Assignments
    label: str
    changes: Assignments = ()

    def section(self) -> Section:
        """The section, in its file's unit."""
        return self.base.section(dict(self.assignments))


@dataclass(frozen=True, slots=True)
class Altered:
    """The member file itself with values at addresses, of several of its sections maybe.

    Attributes
    ----------
    assignments : tuple of (address, value)
    label : str
    """

    assignments: Assignments
    label: str


def shaped(base: SectionBase | None, values: Sequence[tuple[Parameter, Value]]) -> Shaped | Altered:
    """A section file, or the member file where there is none, with parameters set, called by their
    values."""
    label = ", ".join(f"{p.name} = {_shown(v)}" for p, v in values)
    every = [(address, v) for p, v in values for address in p.sets]
    if base is None:
        return Altered(tuple(every), label)
    own = tuple((a, v) for a, v in every if not of_member(a))
    others = tuple((a.removeprefix(MEMBER), v) for a, v in every if of_member(a))
    return Shaped(base, own, label, others)


def of_member(address: str) -> bool:
    """Whether an address leads into the member file, "member.diaphragm.1.thickness"."""
    return address.startswith(MEMBER)


def rolled_shapes(families: Iterable[str], material: str) -> Iterator[Rolled]:
    """All shapes of some families (of all when none is named), in a generic material.

    Raises
    ------
    InputError
        For an unknown family or grade.
    """
    name = grade(material).name
    chosen = list(families) or list(FAMILIES)
    for family in chosen:
        entries = search(family)
        if not entries:
            raise InputError(f"shape family {family!r} has no shape")
        for entry in entries:
            yield Rolled(entry.designation, name, entry.family.name)


def _shown(value: Value) -> str:
    return f"{value:.6g}" if isinstance(value, float) else str(value)
