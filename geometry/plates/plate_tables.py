"""Plates and welds of a section file: the tables ``[[plate]]`` and ``[[weld]]``.

All plates and welds of a file make one part together, where the first of them stands.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from ..errors import InputError
from ..material import Material
from ..section import Region, Section
from ..section_file.entry import Entry, naming
from .assembly import assemble
from .plate import CORNERS, LINES, Plate
from .weld import KINDS, Weld

#: Kinds of entries that are read together.
PLATED = ("plate", "weld")


@dataclass(frozen=True, slots=True)
class PlateGroup:
    """The plates and welds of a file, read but not yet put together."""

    plates: tuple[Plate, ...]
    welds: tuple[Weld, ...]
    unit: str

    def joined_to(self, parts: Sequence[Region]) -> Section:
        """The section of what stands before them in the file, the plates, and the welds."""
        return assemble(self.plates, self.welds, parts=parts, unit=self.unit)


def plate_group(entries: Sequence[Entry], material: Callable[[Entry], Material]) -> PlateGroup:
    """Read all entries of the kinds `PLATED`.

    Parameters
    ----------
    entries : sequence of Entry
    material : callable
        Finds the material that an entry names.

    Raises
    ------
    InputError
        For a missing, unknown or wrong key; the message names the entry.
    """
    plates, welds = [], []
    for entry in entries:
        with naming(entry.label):
            data = (_plate if entry.kind == "plate" else _weld)(entry, material)
            made = entry.kind == "plate" or entry.flag("made", default=True)
            entry.close()
        if entry.kind == "plate":
            plates.append(Plate(**data))
        elif made:
            welds.append(Weld(**data))
    return PlateGroup(tuple(plates), tuple(welds), entries[0].units.length)


def _plate(entry: Entry, material: Callable[[Entry], Material]) -> dict[str, Any]:
    points, bulges = entry.vertices(entry.need("points", "[[0, 0], [100, 0]]"), "points")
    closed = entry.flag("closed")
    if not closed and bulges[-1] != 0.0:
        raise InputError("points: the last one of an open line has no edge after it and no bulge")
    first, last = _one_or_two(entry, "thickness")
    return {
        "name": entry.text("name") or f"plate {entry.number}",
        "points": tuple(points),
        "bulges": tuple(bulges if closed else bulges[:-1]),
        "thickness": first,
        "end_thickness": None if last == first else last,
        "closed": closed,
        "bend_radius": entry.length("bend_radius"),
        "line": entry.choice("line", tuple(LINES), "centre"),
        "corner": entry.choice("corner", CORNERS, "lap"),
        "material": material(entry),
    }


def _weld(entry: Entry, material: Callable[[Entry], Material]) -> dict[str, Any]:
    between = entry.need("between", '["flange", "web"]')
    names = isinstance(between, list) and all(isinstance(name, str) for name in between)
    if not names or len(between) != 2:
        raise InputError('between names two plates, like ["flange", "web"]')
    return {
        "name": entry.text("name") or f"weld {entry.number}",
        "between": tuple(between),
        "kind": entry.choice("kind", KINDS, "fillet"),
        "leg": _one_or_two(entry, "leg") if entry.has("leg") else None,
        "depth": entry.length("depth"),
        "near": entry.point("near"),
        "weld_length": entry.length("length"),
        "pitch": entry.length("pitch"),
        "material": material(entry) if entry.has("material") else None,
    }


def _one_or_two(entry: Entry, key: str) -> tuple[float, float]:
    """A length, or [first, second]."""
    value = entry.need(key, "10")
    if isinstance(value, list):
        if len(value) != 2:
            raise InputError(f"{key} is one length, or a list of two for its two ends or sides")
        first, second = entry.point(key)
        return first, second
    both = entry.length(key)
    assert both is not None  # `need` has seen it
    return both, both
