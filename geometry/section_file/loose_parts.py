"""The parts of a section file one by one, for looking at a file that makes no section."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from ..errors import InputError
from ..plates.plate_tables import PLATED, plate_group
from ..section import Section
from .entry_list import entries_of, units_of
from .linked_numbers import linked
from .material_tables import Materials
from .section_file import part_of
from .text import parsed


def loose_parts(
    text: str, unit: str | None = None, folder: Path | None = None
) -> list[tuple[str, Section]]:
    """Every part that can be read by itself, in place, with the word that says how it combines.

    For looking at a file that `section_from_toml` refuses: nothing is merged or checked, and what
    cannot be read is left out. Plates whose welds do not fit come without them.

    Raises
    ------
    InputError
        If not even unit, materials and the list of parts can be read.
    """
    table = parsed(text)
    table = linked(table, table.get("unit", unit))
    units = units_of(table.get("unit"), unit)
    materials = Materials(table.get("material", {}), units)
    entries = entries_of(table, text, units)
    found: list[tuple[str, Section]] = []
    for entry in entries:
        if entry.kind not in PLATED:
            with suppress(InputError):
                found.append(part_of(entry, materials, folder))
    plates = [entry for entry in entries if entry.kind == "plate"]
    plated = [entry for entry in entries if entry.kind in PLATED]
    for group in (plated, plates, *([plate] for plate in plates)):
        with suppress(InputError):
            if group:
                found.append(("add", plate_group(group, materials.of).joined_to(())))
                if len(group) > 1:
                    break
    return found
