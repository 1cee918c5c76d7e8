"""The parts of a section file in the order in which they stand, and the units of the file."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from typing import Any

from ..errors import InputError, UnitError
from ..keys.section_keys import FILE
from ..plates.plate_tables import PLATED
from ..units import Units
from .entry import Entry
from .part_entries import HANDLERS

_MOST_ENTRIES = 1000
_KEYS = (*(key.name for key in FILE.named("").keys), "material")
_PARTS = (*HANDLERS, "drawing", *PLATED)
#: Headings of entries, in the order that TOML's tables do not keep.
HEADER = re.compile(r"^\s*\[\[\s*([A-Za-z_]+)\s*\]\]", re.MULTILINE)


def entries_of(table: Mapping[str, Any], text: str, units: Units) -> list[Entry]:
    """All parts of the file, in the order in which they stand there."""
    for key, value in table.items():
        if key in _PARTS:
            if not (isinstance(value, list) and all(isinstance(v, Mapping) for v in value)):
                raise InputError(f"{key}: write it as a table in double brackets, [[{key}]]")
        elif key not in _KEYS:
            known = [*_KEYS, *_PARTS]
            near = difflib.get_close_matches(key, known, n=1, cutoff=0.5)
            hint = f"did you mean {near[0]}?" if near else f"a section file has {', '.join(known)}"
            raise InputError(f"{key[:60]!r} is not known here; {hint}")
    kinds = [kind for kind in table if kind in _PARTS]
    counts = {kind: len(table[kind]) for kind in kinds}
    if not any(counts.values()):
        raise InputError(
            "there is no part; write [[shape]], [[outline]] or [[plate]] and its keys below it"
        )
    if sum(counts.values()) > _MOST_ENTRIES:
        raise InputError(f"more than {_MOST_ENTRIES} parts; combine some of them")
    order = [kind for kind in HEADER.findall(text) if kind in _PARTS]
    if len(kinds) > 1 and any(order.count(kind) != counts[kind] for kind in kinds):
        # Lists written inline, or a header inside a text: TOML keeps no order between two lists.
        raise InputError(
            f"the order of {' and '.join(kinds)} cannot be told; write each part under its own "
            f"[[{kinds[0]}]] line"
        )
    order = order if len(kinds) > 1 else kinds * counts[kinds[0]]
    seen = dict.fromkeys(kinds, 0)
    entries = []
    for kind in order:
        entries.append(Entry(kind, seen[kind] + 1, table[kind][seen[kind]], units))
        seen[kind] += 1
    return entries


def units_of(stated: object, asked: str | None) -> Units:
    """The units of a file: its own statement, or what was asked for where it makes none."""
    if stated is None and asked:
        return Units(asked)
    if stated is None:
        raise UnitError('unit is missing; state the length unit at the top, like unit = "mm"')
    if not isinstance(stated, str):
        raise UnitError(f'unit must be a text like "mm", got {str(stated)[:40]}')
    if asked and asked != stated:
        raise UnitError(f"the file is in {stated[:40]}, not in {asked}; leave --unit out")
    return Units(stated)
