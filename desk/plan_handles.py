"""What of a member's text can be dragged in plan: spans and pieces of them, stations of what stands
along it, and how far aside its loads stand.

Handles as those of a section, in the coordinates of the straightened plan: [station, aside], aside
toward the section's +x. A station in words ("middle", "end of span 1") follows the spans until it
is dragged: then it becomes a length.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..geometry.errors import InputError
from ..geometry.section_file.entry import Entry
from ..geometry.units import Units
from ..solver.member.file.positions import Along
from ..solver.member.file.span_tables import axis_of

Handle = dict[str, Any]

#: Lists of a member file whose tables stand at stations, and the keys that say where.
_STATIONS = {
    "support": ("at",),
    "spring": ("at",),
    "diaphragm": ("at", "from", "to"),
    "load": ("at", "from", "to"),
    "secondary_beam": ("at",),
    "hinge": ("at",),
    "kink": ("at",),
    "mass": ("at",),
    "segment": ("from", "to"),
}
#: What a station is of, where the key alone does not say it.
_WORDS = {"at": "station", "from": "start", "to": "end"}
#: Lengths of the pieces of a span.
_PIECES = ("straight", "arc", "transition")


def plan_handles(table: Mapping[str, Any], along: float) -> list[Handle]:
    """Handles of a member file.

    Parameters
    ----------
    table : mapping
        The file's tables.
    along : float
        Factor from the file's unit to the plan's.
    """
    units = Units(table.get("unit", "mm"))
    found = [handle for handle, _, _ in _lengths(table, units, along)]
    try:
        _, spans = axis_of(table, False, units)
    except InputError:
        return found
    places = Along(spans, units)
    for kind, keys in _STATIONS.items():
        for number, raw in enumerate(_tables(table, kind), start=1):
            entry = Entry(kind, number, dict(raw), units)
            found += _stations(entry, keys, places, along)
            if kind in ("load", "mass"):
                found += _asides(entry, places, along)
            found += _spacing(entry, places, along)
    return found


def curve_handles(
    table: Mapping[str, Any], along: float
) -> Iterator[tuple[float, float, float, Handle]]:
    """Each radius: where its arc begins, the arc's length and the radius in the plan's unit, and a
    handle that has no place yet."""
    units = Units(table.get("unit", "mm"))
    for handle, raw, start in _lengths(table, units, along):
        radius = _length(raw.get("radius"), units)
        if radius is None or radius == 0 or "transition" in raw:
            continue
        address = f"{handle['at'].rpartition('.')[0]}.radius"
        name = f"radius{handle['name'].removeprefix('length')}"
        curve = _handle(address, name, raw["radius"], radius, 0.0, units, along)
        arc = float(handle["value"])
        curve["least"], curve["most"] = (arc / 6, None) if radius > 0 else (None, -arc / 6)
        yield start * along, arc * along, radius * along, curve


def _lengths(
    table: Mapping[str, Any], units: Units, along: float
) -> Iterator[tuple[Handle, Mapping[str, Any], float]]:
    """Lengths of spans and of their pieces by their ends, with the table that has them and where
    they begin, as far as the lengths before are known."""
    start = 0.0
    for number, span in enumerate(_tables(table, "span"), start=1):
        rows: list[tuple[str, str, Mapping[str, Any], str]]
        rows = [(f"span.{number}.length", f"length of span {number}", span, "length")]
        if isinstance(span.get("plan"), list):
            rows = []
            for k, piece in enumerate(span["plan"], start=1):
                key = next((p for p in _PIECES if isinstance(piece, Mapping) and p in piece), "")
                name = f"length of piece {k} of span {number}"
                rows.append((f"span.{number}.plan.{k}.{key}", name, piece, key))
        for address, name, raw, key in rows:
            value = _length(raw.get(key), units) if key else None
            if value is None:
                return
            handle = _handle(address, name, raw[key], value, start + value, units, along)
            yield handle, raw, start
            start += value


def _stations(entry: Entry, keys: tuple[str, ...], places: Along, along: float) -> Iterator[Handle]:
    """Stations that the entry states, in words too."""
    head = f"{entry.kind}.{entry.number}"
    for key in keys:
        for address, value in _values(entry.table.get(key), f"{head}.{key}"):
            station = _station(entry, key, value, places)
            if station is None:
                continue
            name = f"{_WORDS[key]} of {_called(entry)}{_which(address, entry.table[key])}"
            start = places.base(entry)[0]
            handle = _handle(address, name, value, station - start, station, entry.units, along)
            handle["track"] = entry.kind
            yield handle


def _which(address: str, value: Any) -> str:
    """Which of several stations a handle is for."""
    several = isinstance(value, list) and len(value) > 1
    return f", {address.rpartition('.')[2]} of {len(value)}" if several else ""


def _asides(entry: Entry, places: Along, along: float) -> Iterator[Handle]:
    """How far a load stands toward the section's +x: its place, where that is a point."""
    point = entry.table.get("place")
    if not isinstance(point, list) or len(point) != 2:
        return
    value = _length(point[0], entry.units)
    at = entry.table.get("at")
    if value is None or isinstance(at, list):
        return
    stated = {"from": "start", "to": "end"} | dict(entry.table) if at is None else {"at": at}
    keys = ("from", "to") if at is None else ("at",)
    ends = [_station(entry, key, stated[key], places) for key in keys]
    known = [z for z in ends if z is not None]
    if len(known) != len(ends):
        return
    head = f"{entry.kind}.{entry.number}.place.1"
    name = f"place across of {_called(entry)}"
    middle = sum(known) / len(known)
    handle = _handle(head, name, point[0], value, middle, entry.units, along)
    handle["place"][1], handle["direction"], handle["least"] = value * along, [0.0, 1.0], None
    handle["track"] = "aside"
    yield handle


def _spacing(entry: Entry, places: Along, along: float) -> Iterator[Handle]:
    """What stands at equal distances, by the second of it."""
    value = _length(entry.table.get("every"), entry.units)
    first = _station(entry, "from", entry.table.get("from", "start"), places)
    if value is None or first is None:
        return
    address, name = f"{entry.kind}.{entry.number}.every", f"spacing of {_called(entry)}"
    handle = _handle(address, name, entry.table["every"], value, first + value, entry.units, along)
    handle["least"], handle["track"] = places.length / 100, entry.kind
    yield handle


def _station(entry: Entry, key: str, value: Any, places: Along) -> float | None:
    """Where a stated position is; None of one that is none."""
    try:
        asked = Entry(entry.kind, entry.number, {**entry.table, key: value}, entry.units)
        return places.position(asked, key)
    except InputError:
        return None


def _called(entry: Entry) -> str:
    return str(entry.table.get("name") or f"{entry.kind.replace('_', ' ')} {entry.number}")


def _handle(
    address: str, name: str, raw: Any, value: float, station: float, units: Units, along: float
) -> Handle:
    text = raw if isinstance(raw, str) else f"{raw:.10g} {units.length}"
    return {
        "at": address, "kind": "value", "name": name, "value": value, "unit": units.length,
        "text": text, "place": [station * along, 0.0], "direction": [1.0, 0.0], "gain": 1 / along,
        "least": 0.0, "most": None, "track": "span",
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
