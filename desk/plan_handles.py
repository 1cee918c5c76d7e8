"""What of a member's text can be dragged in plan: spans, and stations of what stands along it.

Handles as those of a section, in the plan's coordinates: [station, 0] along the straightened axis.
Stations in words ("end of span 1", "middle") follow the spans and are none.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..geometry.errors import InputError
from ..geometry.units import Units

Handle = dict[str, Any]

#: Lists of a member file whose tables stand at stations, and the keys that say where.
_STATIONS = {
    "support": ("at",),
    "spring": ("at",),
    "diaphragm": ("at",),
    "load": ("at", "from", "to"),
    "secondary_beam": ("at",),
    "hinge": ("at",),
    "mass": ("at",),
}
#: What a station is of, where the key alone does not say it.
_WORDS = {"at": "station", "from": "start", "to": "end"}


def plan_handles(table: Mapping[str, Any], along: float, length: float) -> list[Handle]:
    """Handles of a member file.

    Parameters
    ----------
    table : mapping
        The file's tables.
    along : float
        Factor from the file's unit to the plan's.
    length : float
        Of the member, in the plan's unit.
    """
    units = Units(table.get("unit", "mm"))
    found = list(_spans(table, units, along))
    for kind, keys in _STATIONS.items():
        for number, entry in enumerate(_tables(table, kind), start=1):
            called = entry.get("name") or f"{kind.replace('_', ' ')} {number}"
            for key in keys:
                for address, value in _values(entry.get(key), f"{kind}.{number}.{key}"):
                    at = _length(value, units)
                    if at is not None and 0 <= at * along <= length * (1 + 1e-9):
                        name = f"{_WORDS[key]} of {called}"
                        found.append(_handle(address, name, value, at, at, units, along))
    return found


def _spans(table: Mapping[str, Any], units: Units, along: float) -> Iterator[Handle]:
    """Each span's length by its end, as far as the lengths before it are known."""
    start = 0.0
    for number, span in enumerate(_tables(table, "span"), start=1):
        value = _length(span.get("length"), units)
        if value is None:
            return
        start += value
        yield _handle(f"span.{number}.length", f"length of span {number}", span["length"], value,
                      start, units, along)  # fmt: skip


def _handle(
    address: str, name: str, raw: Any, value: float, station: float, units: Units, along: float
) -> Handle:
    text = raw if isinstance(raw, str) else f"{raw:.10g} {units.length}"
    return {
        "at": address, "kind": "value", "name": name, "value": value, "unit": units.length,
        "text": text, "place": [station * along, 0.0], "direction": [1.0, 0.0], "gain": 1 / along,
        "least": 0.0, "most": None,
    }  # fmt: skip


def _tables(table: Mapping[str, Any], kind: str) -> list[Mapping[str, Any]]:
    entries = table.get(kind)
    return [e for e in entries if isinstance(e, Mapping)] if isinstance(entries, list) else []


def _values(value: Any, address: str) -> Iterator[tuple[str, Any]]:
    if isinstance(value, list):
        for k, item in enumerate(value, start=1):
            yield f"{address}.{k}", item
    elif value is not None:
        yield address, value


def _length(value: Any, units: Units) -> float | None:
    """A length that is stated as one; None for words, expressions and what is none."""
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        return None
    try:
        return float(units.read(value, "length", bare=units.length))
    except InputError:
        return None
