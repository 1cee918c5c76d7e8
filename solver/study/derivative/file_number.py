"""The numbers of a section or member file that derivatives are taken to: dimensions of its
sections, unless others are asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ....geometry.errors import InputError
from ....geometry.keys.description import file_kind
from ....geometry.quantity import LENGTHS, split
from ....geometry.section_file.linked_numbers import TABLE
from ..file.address import value_at
from ..file.parameter import Value

#: Lengths that are no dimensions of what is drawn.
_NO_DIMENSION = ("deviation", "arcs_within", "thickness_at")
#: A step is this share of the number, and of the section's size at most.
_STEP, _STEP_BY_SIZE = 1e-3, 1e-5


@dataclass(frozen=True, slots=True)
class FileNumber:
    """One number of a file.

    Attributes
    ----------
    name : str
        What it is called.
    addresses : tuple of str
        Places that all hold it (see `address`).
    value : float
    unit : str
        Its own, "" for a plain number in the file's unit.
    """

    name: str
    addresses: tuple[str, ...]
    value: float
    unit: str = ""

    def assigned(self, value: float) -> dict[str, Value]:
        """The number with another value, as the file is to have it."""
        written: Value = f"{value!r} {self.unit}" if self.unit else value
        return dict.fromkeys(self.addresses, written)

    def step(self, size: float, size_unit: str, written_unit: str) -> float:
        """A step for differences of the outline, in the number's own unit.

        Parameters
        ----------
        size : float
            Of the outline, in `size_unit`.
        written_unit : str
            That plain numbers of the file are in.
        """
        own = self.unit or written_unit
        if own in LENGTHS and size_unit in LENGTHS:
            size *= float(LENGTHS[size_unit] / LENGTHS[own])
        most = _STEP_BY_SIZE * size
        return min(_STEP * abs(self.value), most) if self.value else most


def dimensions_of(tables: Mapping[str, Any]) -> list[FileNumber]:
    """Every dimension of a file's sections: lengths of their parts (coordinates, which have no
    size of their own, apart) and named quantities."""
    found = _parts(tables, "")
    sections = tables.get("section", {})
    for name, inner in sections.items() if isinstance(sections, Mapping) else ():
        if isinstance(inner, Mapping):
            found += _parts(inner, f"section.{name}.")
    return found


def _parts(tables: Mapping[str, Any], prefix: str) -> list[FileNumber]:
    """The dimensions of one section's tables, their addresses with a prefix."""
    described = file_kind("section")
    found: list[FileNumber] = []
    named = tables.get(TABLE, {})
    for key in named if isinstance(named, Mapping) else ():
        found += _numbers(named, key, f"{prefix}{TABLE}.{key}")
    for kind in ("shape", "plate", "weld"):
        lengths = [k.name for k in described.named(kind).keys if k.holds == "length"]
        entries = tables.get(kind, [])
        for n, entry in enumerate(entries if isinstance(entries, list) else [], 1):
            label = _label(tables, kind, n, entry)
            for key in lengths:
                if key in entry and key not in _NO_DIMENSION:
                    found += _numbers(entry, key, f"{prefix}{label}.{key}")
    return found


def asked_number(tables: Mapping[str, Any], words: str) -> FileNumber:
    """A number by its address, or by "name = address, address" for one that stands at several.

    Raises
    ------
    InputError
        Where the address leads to no number, or several addresses to different ones.
    """
    name, _, places = words.rpartition("=")
    addresses = tuple(part.strip() for part in places.split(",") if part.strip())
    if not addresses:
        raise InputError(f'{words!r} names no number; write its address, like "shape.1.XDim"')
    read = [_number(value_at(tables, address)) for address in addresses]
    for address, number in zip(addresses, read, strict=True):
        if number is None:
            raise InputError(
                f"{address} holds no number of its own; name one that is written in the file, or "
                "a quantity that it follows from"
            )
    if len(set(read)) > 1:
        raise InputError(f"{places.strip()}: the file has different values there; name them apart")
    assert read[0] is not None
    return FileNumber(name.strip() or addresses[0], addresses, *read[0])


def numbers_of(tables: Mapping[str, Any], asked: Sequence[str] = ()) -> tuple[FileNumber, ...]:
    """The numbers asked for, or all dimensions."""
    if asked:
        return tuple(asked_number(tables, words) for words in asked)
    return tuple(dimensions_of(tables))


def _label(tables: Mapping[str, Any], kind: str, n: int, entry: Mapping[str, Any]) -> str:
    """The entry's name where it alone bears it, else its kind and number."""
    name = entry.get("name")
    every = [
        e.get("name")
        for entries in tables.values()
        if isinstance(entries, list)
        for e in entries
        if isinstance(e, Mapping)
    ]
    alone = isinstance(name, str) and name and every.count(name) == 1 and name not in tables
    return str(name) if alone else f"{kind}.{n}"


def _numbers(holder: Mapping[str, Any], key: str, address: str) -> Iterator[FileNumber]:
    """The number of a key, or those of its list."""
    value = holder[key]
    if isinstance(value, list):
        for n, item in enumerate(value, 1):
            if (number := _number(item)) is not None:
                yield FileNumber(f"{address}.{n}", (f"{address}.{n}",), *number)
    elif (number := _number(value)) is not None:
        yield FileNumber(address, (address,), *number)


def _number(value: object) -> tuple[float, str] | None:
    """A plain number or a quantity; None for an expression and all else."""
    if isinstance(value, bool) or value is None:
        return None
    if isinstance(value, (int, float)):
        return float(value), ""
    if isinstance(value, str) and not value.lstrip().startswith("="):
        return split(value)
    return None
