"""DXF drawings into strokes: LINE, ARC, CIRCLE, LWPOLYLINE, POLYLINE, ELLIPSE, SPLINE, and blocks
of them; HATCH where nothing else draws an outline.

Everything must lie in a plane parallel to x-y. Layers that are off or frozen, references to blocks
that are invisible or on a frozen layer, centre lines, and kinds that draw no outline (text,
dimensions) are passed over and named in the notes.
"""

from __future__ import annotations

import io
import logging
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Set
from typing import Any

import numpy as np

from ..errors import FileFormatError
from .bounds import MAX_DEPTH, MAX_ENTITIES, MAX_RECORDS, check_count
from .centre_line import is_centre_line
from .curves import elliptic_edges, spline_edges
from .dxf_hatch import hatch_strokes
from .scale import drawing_unit
from .stroke import Array, Sheet, Stroke, on_layer

#: $INSUNITS of the DXF reference, as far as sections are drawn in them.
UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}
_BINARY = b"AutoCAD Binary DXF"
_END = re.compile(rb"[\r\n][ \t]*0[ \t]*\r?\n[ \t]*EOF\s*\Z")
_RECORD = re.compile(rb"^[ \t]*0[ \t]*\r?\n[ \t]*[A-Za-z]", re.MULTILINE)
#: Directions closer to the z axis than this are parallel to it; programs write 1e-16 for zero.
_PLANE = 1e-9


def read_dxf(data: bytes, unit: str | None = None) -> Sheet:
    """Strokes of the model space of an ASCII DXF file.

    Raises
    ------
    FileFormatError
        If the bytes are no complete DXF file, or an entity leaves the plane.
    UnitError
        If neither the header ($INSUNITS) nor `unit` names the unit.
    """
    document = _document(data)
    code = int(document.header.get("$INSUNITS", 0))
    silent = f"its $INSUNITS is {code}" if code else "its header leaves $INSUNITS unset"
    unit, notes = drawing_unit(unit, UNITS.get(code), silent)
    frozen = {layer.dxf.name.casefold() for layer in document.layers if layer.is_frozen()}
    hidden = frozen | {layer.dxf.name.casefold() for layer in document.layers if layer.is_off()}
    line_types = {
        layer.dxf.name.casefold(): str(layer.dxf.linetype).upper() for layer in document.layers
    }
    passed: Counter[str] = Counter()
    strokes: list[Stroke] = []
    hatches: list[tuple[Any, str]] = []
    space = document.modelspace()
    check_count(len(space), MAX_ENTITIES, "entities")
    for entity, layer in _flat(space, [0], frozen):
        kind = entity.dxftype()
        # all of a block goes with its reference, unless the layer is off only: what has a layer of
        # its own then stays
        if layer.casefold() in hidden or entity.dxf.get("invisible", 0):
            passed["hidden " + kind] += 1
        elif is_centre_line(entity, line_types):
            passed["centre line" if kind == "LINE" else f"centre line ({kind})"] += 1
        elif kind == "HATCH":
            hatches.append((entity, layer))
        elif kind not in _READERS:
            passed[kind] += 1
        else:
            stroke = _READERS[kind](entity, "" if layer == "0" else layer, _name(entity))
            strokes += [stroke] if stroke is not None else []
    if hatches and not strokes:
        for entity, layer in hatches:
            strokes += hatch_strokes(entity, "" if layer == "0" else layer, _name(entity))
            check_count(len(strokes), MAX_ENTITIES, "outlines of hatches")
        notes.append("outlines taken from hatches: nothing else draws any")
    elif hatches:
        passed["HATCH"] = len(hatches)
    if passed:
        notes.append("not read: " + ", ".join(f"{n} {kind}" for kind, n in sorted(passed.items())))
    return Sheet(tuple(strokes), unit, notes=tuple(notes))


def _document(data: bytes) -> Any:
    if data.startswith(_BINARY):
        raise FileFormatError("this is a binary DXF file; save it as ASCII DXF")
    if re.match(rb"AC10\d\d", data):
        raise FileFormatError("this is a DWG file; save it as ASCII DXF")
    if not re.match(
        rb"\s*(999[\s\S]*?)?0\s*\r?\n\s*SECTION\b", data[:10_000].removeprefix(b"\xef\xbb\xbf")
    ):
        raise FileFormatError("this is not a DXF file: it does not begin with a section")
    if not _END.search(data[-200:]):
        raise FileFormatError(
            "the DXF file ends before its EOF mark; it is truncated, save it again"
        )
    # Counted before the library builds an object for each of them.
    check_count(sum(1 for _ in _RECORD.finditer(data)), MAX_RECORDS, "DXF records")
    from ezdxf.filemanagement import read
    from ezdxf.lldxf.validator import dxf_info

    # Without a handler Python would print the library's remarks on damaged files to stderr.
    logging.getLogger("ezdxf").addHandler(logging.NullHandler())
    info = dxf_info(io.StringIO(data.decode("utf-8", errors="ignore")))
    # Files from R2007 (AC1021) on are UTF-8, older ones in the code page that their header names.
    encoding = "utf-8" if info.version >= "AC1021" else info.encoding
    return read(io.StringIO(data.decode(encoding, errors="surrogateescape")))


def _flat(
    entities: Iterable[Any],
    count: list[int],
    frozen: Set[str],
    outer: str | None = None,
    depth: int = 0,
) -> Iterator[tuple[Any, str]]:
    """Entities with their layers; block references replaced by the entities they show, unless they
    are invisible or on a frozen layer: those stand for themselves."""
    for entity in entities:
        count[0] += 1
        check_count(count[0], MAX_ENTITIES, "entities (copies of blocks included)")
        # A block's entities on layer 0 take the layer of the reference.
        layer = entity.dxf.get("layer", "0")
        layer = outer if outer is not None and layer == "0" else layer
        unseen = layer.casefold() in frozen or entity.dxf.get("invisible", 0)
        if entity.dxftype() != "INSERT" or unseen:
            yield entity, layer
            continue
        if depth >= MAX_DEPTH:
            raise FileFormatError(
                f"block {entity.dxf.name!r} is nested more than {MAX_DEPTH} deep; explode it"
            )
        check_count(count[0] + entity.mcount, MAX_ENTITIES, "entities (copies of blocks included)")
        for copy in entity.multi_insert() if entity.mcount > 1 else (entity,):
            yield from _flat(copy.virtual_entities(), count, frozen, layer, depth + 1)


def _name(entity: Any) -> str:
    handle = entity.dxf.handle
    return f"{entity.dxftype()} {handle}" if handle else entity.dxftype()


def _hand(entity: Any, name: str, layer: str) -> float:
    """+1 or -1 as the entity's plane is seen from above or below (then its x runs to the left)."""
    x, y, z = entity.dxf.extrusion
    length = float(np.sqrt(x * x + y * y + z * z))
    if not (length > 0 and np.hypot(x, y) <= _PLANE * length):
        raise FileFormatError(
            f"{name}{on_layer(layer)} does not lie in the x-y plane; flatten the drawing"
        )
    return 1.0 if z > 0 else -1.0


def _level(points: Array, name: str, layer: str) -> Array:
    """x and y of points at one height."""
    z = points[:, 2]
    if np.ptp(z) > _PLANE * max(1.0, float(np.abs(points).max())):
        raise FileFormatError(
            f"{name}{on_layer(layer)} runs from z = {z.min():g} to {z.max():g}; flatten the drawing"
        )
    return points[:, :2]


def _line(entity: Any, layer: str, name: str) -> Stroke:
    ends = np.array([tuple(entity.dxf.start), tuple(entity.dxf.end)])
    return Stroke(_level(ends, name, layer), layer=layer, source=name)


def _arc(entity: Any, layer: str, name: str) -> Stroke:
    start, end = float(entity.dxf.start_angle), float(entity.dxf.end_angle)
    sweep = (end - start) % 360.0 or 360.0
    return _turned(entity, layer, name, np.radians(start), np.radians(sweep))


def _circle(entity: Any, layer: str, name: str) -> Stroke:
    return _turned(entity, layer, name, np.pi, 2 * np.pi)


def _turned(entity: Any, layer: str, name: str, start: float, sweep: float) -> Stroke:
    hand, radius = _hand(entity, name, layer), float(entity.dxf.radius)
    x, y, _ = entity.dxf.center
    points, bulges, _ = elliptic_edges(
        (hand * x, y), (hand * radius, 0.0), (0.0, radius), float(start), float(sweep)
    )
    return Stroke(points, bulges, layer=layer, source=name, closed=sweep == 2 * np.pi)


def _ellipse(entity: Any, layer: str, name: str) -> Stroke:
    hand = _hand(entity, name, layer)
    u = _level(np.array([(0.0, 0.0, 0.0), tuple(entity.dxf.major_axis)]), name, layer)[1]
    v = hand * float(entity.dxf.ratio) * np.array([-u[1], u[0]])
    start, end = float(entity.dxf.start_param), float(entity.dxf.end_param)
    whole = abs(abs(end - start) - 2 * np.pi) < 1e-9 or start == end
    sweep = 2 * np.pi if whole else (end - start) % (2 * np.pi)
    points, bulges, curves = elliptic_edges(tuple(entity.dxf.center)[:2], u, v, start, sweep)
    return Stroke(points, bulges, layer=layer, source=name, closed=whole, curves=curves)


def _lwpolyline(entity: Any, layer: str, name: str) -> Stroke | None:
    rows = np.array(entity.get_points("xyb"), dtype=float).reshape(-1, 3)
    return _polyline(rows, bool(entity.closed), _hand(entity, name, layer), layer, name)


def _old_polyline(entity: Any, layer: str, name: str) -> Stroke | None:
    if not (entity.is_2d_polyline or entity.is_3d_polyline):
        raise FileFormatError(f"{name}{on_layer(layer)} is a mesh, not an outline; delete it")
    # Bit 16 marks the frame of a smoothed polyline; the smoothed vertices stand beside it.
    seen = [v.dxf for v in entity.vertices if not v.dxf.flags & 16]
    rows = np.array([(*v.location, v.get("bulge", 0.0)) for v in seen], dtype=float).reshape(-1, 4)
    if not len(rows):
        return None
    _level(rows[:, :3], name, layer)
    hand = _hand(entity, name, layer) if entity.is_2d_polyline else 1.0
    return _polyline(rows[:, [0, 1, 3]], bool(entity.is_closed), hand, layer, name)


def _polyline(rows: Array, closed: bool, hand: float, layer: str, name: str) -> Stroke | None:
    """Rows of x, y and bulge."""
    if len(rows) < 2:
        return None
    points = np.column_stack([hand * rows[:, 0], rows[:, 1]])
    bulges = hand * rows[:, 2]
    if closed:
        points = np.vstack([points, points[:1]])
    else:
        bulges = bulges[:-1]
    return Stroke(points, bulges, layer=layer, source=name, closed=closed)


def _spline(entity: Any, layer: str, name: str) -> Stroke:
    check_count(
        len(entity.control_points) + len(entity.fit_points), MAX_ENTITIES, "points in a spline"
    )
    check_count(int(entity.dxf.degree), 25, "as the degree of a spline")
    tool = entity.construction_tool()
    control = np.array([tuple(p) for p in tool.control_points])
    flat = _level(control, name, layer)
    weights = list(tool.weights()) or None
    points, bulges, curves = spline_edges(flat, list(tool.knots()), tool.order - 1, weights)
    return Stroke(points, bulges, layer=layer, source=name, curves=curves)


_READERS = {
    "LINE": _line,
    "ARC": _arc,
    "CIRCLE": _circle,
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _old_polyline,
    "ELLIPSE": _ellipse,
    "SPLINE": _spline,
}
