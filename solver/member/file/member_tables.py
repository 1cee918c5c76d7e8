"""The tables of a member file as a whole: which there are, and each of them in turn."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from ....geometry.errors import InputError, UnitError
from ....geometry.keys.member_keys import FILE
from ....geometry.section_file.entry import Entry, naming
from ....geometry.section_file.former_names import check_name
from ....geometry.section_file.kinds import MEMBER, refuse_other_kinds
from ....geometry.units import Units

#: Keys at the top, tables that stand once, and those that are lists: what is described is read.
KEYS = tuple(key.name for key in FILE.named("").keys)
SINGLE = tuple(
    t.name for t in FILE.tables if t.form in ("single", "named") and t.name != "quantity"
)
LISTS = tuple(table.name for table in FILE.tables if table.form == "list")
_MOST = 5000

Made = TypeVar("Made")


def check_tables(table: Mapping[str, Any]) -> None:
    """Every key at the top is a member file's, and of its kind."""
    refuse_other_kinds(table, MEMBER)
    known = (*KEYS, *SINGLE, *LISTS)
    for key, value in table.items():
        if key in ("branch", "branches"):
            raise InputError(
                f"{key}: a member is one line and has no branches; write each branch as a member "
                "of its own, with a support as stiff as what carries it there, and put the "
                "reactions found onto that other member as loads"
            )
        if key not in known:
            check_name(key)
            near = difflib.get_close_matches(key, known, n=1, cutoff=0.5)
            hint = f"did you mean {near[0]}?" if near else f"a member file has {', '.join(known)}"
            raise InputError(f"{key[:60]!r} is not known here; {hint}")
        if key in LISTS:
            if not isinstance(value, list) or not all(isinstance(v, Mapping) for v in value):
                raise InputError(f"{key}: write it as a table in double brackets, [[{key}]]")
            if len(value) > _MOST:
                raise InputError(f"more than {_MOST} tables [[{key}]]; use lists of positions")
        elif key in SINGLE and not isinstance(value, Mapping):
            raise InputError(f"{key}: write it as a table, [{key}] and its keys below")


#: Forces of members shorter than this, desk models, are told in N, not kN.
_SMALL = "1 m"


def units_of(stated: object, output: str | None = None) -> Units:
    """The units that key `unit` states, brought to another length unit where one is asked for."""
    if stated is None:
        raise UnitError('unit is missing; state the length unit at the top, like unit = "mm"')
    if not isinstance(stated, str):
        raise UnitError(f'unit must be a text like "mm", got {str(stated)[:40]}')
    units = Units(stated)
    return units if output in (None, stated) else Units(output or "", written=stated)


def shown_units(units: Units, length: float) -> Units:
    """The units in which a member of this length is told of."""
    return replace(units, small=length < units.read(_SMALL, "length"))


def single(table: Mapping[str, Any], kind: str, units: Units) -> Entry:
    """A table that stands once; empty when it is left out."""
    return Entry(kind, 0, table.get(kind, {}), units)


def entries(table: Mapping[str, Any], kind: str, units: Units) -> list[Entry]:
    """All tables of a kind."""
    return [Entry(kind, n, row, units) for n, row in enumerate(table.get(kind, []), 1)]


def every(
    table: Mapping[str, Any], kind: str, units: Units, read: Callable[[Entry], Sequence[Made]]
) -> list[Made]:
    """What all tables of a kind describe, errors named by their table."""
    found: list[Made] = []
    for entry in entries(table, kind, units):
        with naming(entry.label):
            found += read(entry)
    return found
