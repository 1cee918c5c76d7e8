"""What of a section's text can be dragged: each value with its place in the drawing.

A handle is a dict that the page reads:

- `at`: the value's address, as studies have it ("plate.1.thickness"); of a point its two;
- `kind`: "value" (dragged along `direction`), "point" (dragged anywhere), "switch" (true or false)
  or "typed" (no place moves with it alone, or it follows from others);
- `name`, `unit`, `value` (a number in `unit`, a point's two, or a truth), `text` as written;
- `place` [x, y] in the drawing; `direction`, a unit vector; `gain`: value per length dragged;
- `least`, `most`: bounds of sense, or None;
- `map`: of a point in a turned or mirrored entry, rows of the matrix from drag to values.

Places and gains of plates and outlines are known exactly. A parametric shape is built again with
each dimension a little larger, and the middle of the edge that moves most takes the handle.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..geometry.errors import SoapfilmError
from ..geometry.outline.contour import edge_points, edge_tangents
from ..geometry.outline.placement import Placement
from ..geometry.section import Section
from ..geometry.section_file.entry import Entry
from ..geometry.section_file.entry_list import entries_of, units_of
from ..geometry.section_file.linked_numbers import linked
from .shape_handles import shape_values
from .standing import designation, standing

Array = NDArray[np.float64]
Handle = dict[str, Any]

#: Outlines of more vertices than this are for an editor; handles would hide the drawing.
MOST_VERTICES = 300
#: Entries that take no placement.
_UNPLACED = ("plate", "weld")
#: Sizes that make sense, as shares of the section's own.
_LEAST, _MOST = 1e-3, 10.0


def handles(table: Mapping[str, Any], text: str, section: Section) -> list[Handle]:
    """Handles of all entries of a section file, in the drawing of the section it describes."""
    values = linked(table, table.get("unit"))
    entries = entries_of(values, text, units_of(table.get("unit"), None))
    found: list[Handle] = []
    size = section.size()
    for entry in entries:
        raw = table[entry.kind][entry.number - 1]
        maker = _MAKERS.get(entry.kind)
        if maker is None:
            continue
        placement = Placement.move(0.0, 0.0) if entry.kind in _UNPLACED else entry.placement()
        for handle in maker(entry, section):
            found.append(_finished(handle, entry, raw, placement, section.unit, size))
    _place_welds(found, entries)
    return found


def _place_welds(found: list[Handle], entries: list[Entry]) -> None:
    """Welds that are not made stand where the lines of their plates come nearest."""
    from shapely import LineString
    from shapely.ops import nearest_points

    lines = {
        entry.table.get("name", f"plate {entry.number}"): entry for entry in entries
        if entry.kind == "plate"
    }  # fmt: skip
    for handle in found:
        if handle["place"] is not None or not str(handle["at"]).startswith("weld."):
            continue
        number = int(str(handle["at"]).split(".")[1])
        weld = next(e for e in entries if e.kind == "weld" and e.number == number)
        ends = [lines.get(name) for name in weld.table.get("between", [])]
        if len(ends) == 2 and None not in ends:
            a, b = (LineString(e.vertices(e.table["points"], "points")[0]) for e in ends if e)
            p, q = nearest_points(a, b)
            handle["place"] = [(p.x + q.x) / 2, (p.y + q.y) / 2]


def _finished(
    handle: Handle, entry: Entry, raw: Any, placement: Placement, unit: str, size: float
) -> Handle:
    """A maker's handle with its address, its text, and its place in the drawing."""
    parts = handle.pop("keys")
    written = [_at(raw, keys) for keys in parts]
    head = f"{entry.kind}.{entry.number}"
    addresses = [f"{head}.{'.'.join(keys)}" for keys in parts]
    handle["at"] = addresses if handle["kind"] == "point" else addresses[0]
    called = entry.table.get("name") or f"{entry.kind} {entry.number}"
    handle["name"] = f"{handle['name']} of {called}"
    handle.setdefault("unit", unit)
    handle.setdefault("least", None)
    handle.setdefault("most", None)
    if handle.pop("length", False):
        handle["least"], handle["most"] = _LEAST * size, _MOST * size
    handle["text"] = ", ".join(_shown(value, handle["unit"]) for value in written)
    if handle.get("place") is not None:
        handle["place"] = [float(c) for c in placement.apply([handle["place"]])[0]]
    if handle.get("direction") is not None:
        handle["direction"] = [float(c) for c in placement.matrix @ handle["direction"]]
    if handle["kind"] == "point" and not handle.pop("fixed", False) and _turned(placement):
        handle["map"] = np.linalg.inv(placement.matrix).tolist()
    handle.pop("fixed", None)
    if any(isinstance(value, str) and value.lstrip().startswith("=") for value in written):
        handle["kind"] = "typed" if handle["kind"] == "value" else handle["kind"]
        handle["follows"] = handle["text"]
    return handle


def _turned(placement: Placement) -> bool:
    return bool(np.abs(placement.matrix - np.eye(2)).max() > 1e-8)


def _at(raw: Any, keys: tuple[str, ...]) -> Any:
    """What the text has at keys of an entry; None where it has nothing."""
    for key in keys:
        index = {"x": 0, "y": 1, "bulge": 2}.get(key)
        try:
            if isinstance(raw, list):
                raw = raw[index if index is not None else int(key) - 1]
            else:
                raw = raw[key]
        except (KeyError, IndexError, ValueError, TypeError):
            return None
    return raw


def _shown(value: Any, unit: str) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return f"{value:.10g} {unit}".rstrip()
    return "" if value is None else str(value)


# -- plates ----------------------------------------------------------------------------------------
def _plate(entry: Entry, _: Section) -> Iterator[Handle]:
    points, bulges = entry.vertices(entry.table["points"], "points")
    closed = entry.flag("closed")
    if len(points) > MOST_VERTICES:
        return
    yield from _vertices(points, bulges, closed, ("points",), "end" if not closed else "corner")
    yield from _thicknesses(entry, points, bulges, closed)


def _thicknesses(
    entry: Entry, points: list[tuple[float, float]], bulges: list[float], closed: bool
) -> Iterator[Handle]:
    """One handle on the plate's face; two where it tapers, near its ends."""
    given = entry.table["thickness"]
    line = entry.choice("line", ("centre", "left", "right"), "centre")
    start, end, bulge = _edges(points, bulges, closed)
    if isinstance(given, list):
        first, second = entry.point("thickness")
        spots: list[tuple[int, float, Any, tuple[str, ...]]]
        spots = [(0, 0.1, first, ("thickness", "1")), (-1, 0.9, second, ("thickness", "2"))]
    else:
        longest = int(np.argmax(np.hypot(*(end - start).T)))
        spots = [(longest, 0.5, entry.length("thickness"), ("thickness",))]
    for edge, s, thickness, keys in spots:
        some = slice(edge, None) if edge == -1 else slice(edge, edge + 1)
        at = edge_points(start[some], end[some], bulge[some], np.array([s]))[0, 0]
        along = edge_tangents(start[some], end[some], bulge[some], np.array([s]))[0, 0]
        left = np.array([-along[1], along[0]]) / np.hypot(*along)
        side, share = (-1.0, 1.0) if line == "left" else (1.0, 1.0 if line == "right" else 0.5)
        yield {
            "keys": [keys],
            "kind": "value",
            "name": "thickness" if len(spots) == 1 else f"thickness at end {keys[1]}",
            "value": float(thickness),
            "place": at + side * share * thickness * left,
            "direction": side * left,
            "gain": 1 / share,
            "length": True,
        }


# -- outlines --------------------------------------------------------------------------------------
def _outline(entry: Entry, _: Section) -> Iterator[Handle]:
    points, bulges = entry.vertices(entry.table["points"], "points")
    holes = entry.table.get("holes", [])
    if len(points) + sum(len(hole) for hole in holes) > MOST_VERTICES:
        return
    yield from _vertices(points, bulges, True, ("points",), "corner")
    for k, hole in enumerate(holes, start=1):
        inner, turns = entry.vertices(hole, f"hole {k}")
        yield from _vertices(inner, turns, True, ("holes", str(k)), f"hole {k}, corner")
    yield from standing(entry)


def _vertices(
    points: list[tuple[float, float]], bulges: list[float], closed: bool,
    keys: tuple[str, ...], word: str,
) -> Iterator[Handle]:  # fmt: skip
    """Each vertex, and each arc by its middle."""
    for k, point in enumerate(points, start=1):
        yield {
            "keys": [(*keys, str(k), "x"), (*keys, str(k), "y")],
            "kind": "point",
            "name": f"{word} {k}",
            "value": list(point),
            "place": np.array(point),
        }
    start, end, bulge = _edges(points, bulges, closed)
    for k in map(int, np.flatnonzero(bulge)):
        chord = end[k] - start[k]
        length = float(np.hypot(*chord))
        right = np.array([chord[1], -chord[0]]) / length
        yield {
            "keys": [(*keys, str(k + 1), "bulge")],
            "kind": "value",
            "name": f"arc after {word} {k + 1}",
            "value": float(bulge[k]),
            "unit": "",
            "place": (start[k] + end[k]) / 2 + right * float(bulge[k]) * length / 2,
            "direction": right,
            "gain": 2 / length,
        }


def _edges(
    points: list[tuple[float, float]], bulges: list[float], closed: bool
) -> tuple[Array, Array, Array]:
    start = np.array(points, dtype=float)
    if closed:
        return start, np.roll(start, -1, axis=0), np.array(bulges)
    return start[:-1], start[1:], np.array(bulges[: len(points) - 1])


# -- shapes ----------------------------------------------------------------------------------------
def _shape(entry: Entry, section: Section) -> Iterator[Handle]:
    if "shape" in entry.table:
        yield designation(entry)
    else:
        for value in shape_values(entry):
            more = {"keys": [(value["key"],)], "kind": "value", "length": True}
            yield {k: v for k, v in value.items() if k != "key"} | more
    yield from standing(entry)


# -- welds -----------------------------------------------------------------------------------------
def _weld(entry: Entry, section: Section) -> Iterator[Handle]:
    """Made or not, and the leg, beside the throat; of one not made beside where it would be."""
    made = entry.flag("made", default=True)
    name = entry.text("name") or f"weld {entry.number}"
    pattern = re.compile(rf"{re.escape(name)}(?:[ ,#-]*\d+)?")
    places = [np.array(j.points).mean(0) for j in section.joints if pattern.fullmatch(j.name)]
    near = entry.point("near")
    place = places[0] if places else None if near is None else np.array(near)
    yield {
        "keys": [("made",)],
        "kind": "switch",
        "name": "weld",
        "value": made,
        "unit": "",
        "place": place,
        "places": [p.tolist() for p in places],
    }
    if isinstance(entry.table.get("leg"), (int, float, str)):
        try:
            leg = entry.length("leg")
        except SoapfilmError:
            return
        yield {
            "keys": [("leg",)],
            "kind": "typed",
            "name": "leg",
            "value": leg,
            "place": place,
            "length": True,
        }


def _drawing(entry: Entry, _: Section) -> Iterator[Handle]:
    yield from standing(entry)


_MAKERS = {
    "plate": _plate, "outline": _outline, "shape": _shape, "weld": _weld, "drawing": _drawing,
}  # fmt: skip
