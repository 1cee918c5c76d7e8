"""Addresses of values in a TOML file: "web.thickness", "shape.2.XDim", "deck.points.4.y".

An address is read from left to right, its parts parted by points:

- the name of an entry (`name = "web"`), in the file or in a section of a member file; or the kind
  of entry and its number among its kind, counted from 1; or a table, as in "material.steel.E";
- a key of that entry, which need not be written there yet (an optional one gets its value);
- within a list the number of an item, counted from 1, or the name of one that has a name; within a
  vertex also "x", "y" and "bulge", within a pair "x" and "y".
"""

from __future__ import annotations

import copy
import difflib
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from ....geometry.errors import InputError

Tables = dict[str, Any]
_COORDINATES = {"x": 0, "y": 1, "bulge": 2}
_OFFERED = 8


def assigned(tables: Mapping[str, Any], values: Mapping[str, Any]) -> Tables:
    """A copy of the tables with values at addresses.

    Raises
    ------
    InputError
        For an address that leads nowhere, with what there is at the place where it goes astray.
    """
    changed = copy.deepcopy(dict(tables))
    for address, value in values.items():
        holder, key = place_of(changed, address)
        holder[key] = value
    return changed


def value_at(tables: Mapping[str, Any], address: str) -> Any:
    """What stands at an address, None when the key is not written there.

    Raises
    ------
    InputError
        As `assigned` does.
    """
    holder, key = place_of(tables, address)
    return holder.get(key) if isinstance(holder, Mapping) else holder[key]


def check_apart(tables: Mapping[str, Any], addresses: Iterable[str]) -> None:
    """See that addresses lead somewhere, and each to another place.

    Raises
    ------
    InputError
        As `assigned` does, and for a place that two of them name, however they are written.
    """
    known: dict[tuple[int, Any], str] = {}
    for address in addresses:
        holder, key = place_of(tables, address)
        other = known.get((id(holder), key))
        if other is not None:
            also = "" if other == address else f", as {other!r} too"
            raise InputError(
                f"address {address!r} is set twice{also}; one value can hold there only"
            )
        known[id(holder), key] = address


def place_of(tables: Mapping[str, Any], address: str) -> tuple[Any, Any]:
    """The list or table that holds an address's value, and the index or key in it.

    Raises
    ------
    InputError
        As `assigned` does.
    """
    holder: Any = tables
    rest = address
    while True:
        choices = dict(_choices(holder))
        part = _first(rest, choices)
        if part is None:
            word = rest.split(".")[0]
            if isinstance(holder, Mapping) and holder is not tables and "." not in rest and word:
                return holder, word  # an optional key that is not written yet
            borne = _bearers(holder, rest)
            if len(borne) > 1:
                raise InputError(
                    f"address {address!r}: {' and '.join(borne)} are named {word!r}; say which, "
                    f"like {borne[0]}{rest[len(word) :]}"
                )
            raise InputError(f"address {address!r}: {_astray(word, choices)}")
        at, key = choices[part]
        rest = rest[len(part) + 1 :]
        if not rest:
            if isinstance(at[key], Mapping) or (at is tables and isinstance(at[key], list)):
                inner = [name for name, _ in _choices(at[key])]
                raise InputError(
                    f"address {address!r} names a whole entry; say which of its values: "
                    f"{', '.join(inner[:_OFFERED])}"
                )
            return at, key
        holder = at[key]


def _choices(holder: Any) -> Iterator[tuple[str, tuple[Any, Any]]]:
    """Every word that leads on from here, with the container and key it stands for."""
    if isinstance(holder, Mapping):
        yield from _named_entries(holder)
        for key in holder:
            yield key, (holder, key)
    elif isinstance(holder, list):
        for k, item in enumerate(holder):
            yield str(k + 1), (holder, k)
            if isinstance(item, Mapping) and isinstance(item.get("name"), str):
                yield item["name"], (holder, k)
        if 2 <= len(holder) <= 3 and not any(isinstance(i, (list, Mapping)) for i in holder):
            for word, k in _COORDINATES.items():
                if k < len(holder):
                    yield word, (holder, k)


def _named_entries(tables: Mapping[str, Any]) -> Iterator[tuple[str, tuple[Any, Any]]]:
    """Entries of all lists by their name, if only one bears it and no table or list does."""
    seen: dict[str, list[tuple[Any, Any]]] = {}
    for entries in tables.values():
        if isinstance(entries, list):
            for k, entry in enumerate(entries):
                name = entry.get("name") if isinstance(entry, Mapping) else None
                if isinstance(name, str) and name:
                    seen.setdefault(name, []).append((entries, k))
    for name, places in seen.items():
        if len(places) == 1 and name not in tables:
            yield name, places[0]


def _bearers(holder: Any, rest: str) -> list[str]:
    """Addresses of all entries whose name begins the rest of an address."""
    if not isinstance(holder, Mapping):
        return []
    return [
        f"{table}.{k + 1}"
        for table, entries in holder.items()
        if isinstance(entries, list)
        for k, entry in enumerate(entries)
        if isinstance(entry, Mapping)
        and isinstance(name := entry.get("name"), str)
        and name
        and (rest == name or rest.startswith(f"{name}."))
    ]


def _first(rest: str, choices: Mapping[str, Any]) -> str | None:
    """The longest choice with which the rest of an address starts: names may hold points."""
    fits = [c for c in choices if rest == c or rest.startswith(f"{c}.")]
    return max(fits, key=len, default=None)


def _astray(word: str, choices: Mapping[str, Any]) -> str:
    known = list(choices)
    if not known:
        return f"{word!r} leads into a plain value; end the address before it"
    near = difflib.get_close_matches(word, known, 1, 0.5)
    shown = ", ".join(known[:_OFFERED]) + (" ..." if len(known) > _OFFERED else "")
    hint = f"did you mean {near[0]!r}?" if near else f"there are {shown}"
    return f"there is no {word!r}; {hint}"
