"""GeoJSON into strokes: polygons, lines, and features that name their part.

The standard (RFC 7946) means longitude and latitude; drawings of sections use plane coordinates, so
the unit comes from the caller or from a member `"length_unit"` of the file's outermost object.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import numpy as np

from ..errors import FileFormatError
from .bounds import MAX_DEPTH, MAX_EDGES, MAX_ENTITIES, check_count
from .scale import drawing_unit
from .stroke import Array, Sheet, Stroke

_NAMES = ("layer", "name", "material")
#: Levels of lists around a position, by type.
_SHAPES = {"LineString": 1, "MultiLineString": 2, "Polygon": 2, "MultiPolygon": 3}


def read_geojson(data: bytes, unit: str | None = None) -> Sheet:
    """Strokes of the geometries of a GeoJSON file.

    A feature's part is named by its property "layer", "name" or "material".

    Raises
    ------
    FileFormatError
        If the file is no GeoJSON, or holds a geometry without outlines.
    UnitError
        If nobody names the unit.
    """
    # Counted before Python builds an object for each of them.
    check_count(data.count(b"["), 4 * MAX_EDGES, "lists")
    try:
        root = json.loads(data.decode("utf-8-sig"))
    except RecursionError as error:
        raise FileFormatError("the lists of this file are nested too deep for GeoJSON") from error
    except ValueError as error:
        raise FileFormatError(f"this is not valid JSON ({error}); save it again") from error
    if not isinstance(root, dict):
        raise FileFormatError('a GeoJSON file is one object with a "type"')
    declared = root.get("length_unit")
    if declared is not None and not isinstance(declared, str):
        raise FileFormatError('"length_unit" must be a text like "mm"')
    unit, notes = drawing_unit(unit, declared, 'GeoJSON has none unless it carries "length_unit"')
    strokes: list[Stroke] = []
    edges = 0
    for number, (geometry, layer) in enumerate(_geometries(root), 1):
        check_count(number, MAX_ENTITIES, "geometries")
        for stroke in _strokes(geometry, layer, number):
            edges += len(stroke)
            check_count(edges, MAX_EDGES, "edges")
            strokes.append(stroke)
    return Sheet(tuple(strokes), unit, notes=tuple(notes))


def _geometries(root: dict[str, Any]) -> Iterator[tuple[dict[str, Any], str]]:
    """Every simple geometry with the name of its part."""
    pending: list[tuple[Any, str, int]] = [(root, "", 0)]
    while pending:
        item, layer, depth = pending.pop()
        if not isinstance(item, dict):
            raise FileFormatError(f"expected a GeoJSON object, found {str(item)[:40]!r}")
        check_count(depth, MAX_DEPTH, "nested collections")
        kind = item.get("type")
        if kind == "FeatureCollection":
            pending += [(f, layer, depth + 1) for f in reversed(_list(item, "features"))]
        elif kind == "GeometryCollection":
            pending += [(g, layer, depth + 1) for g in reversed(_list(item, "geometries"))]
        elif kind == "Feature":
            if item.get("geometry") is not None:
                pending.append((item["geometry"], _part(item) or layer, depth + 1))
        else:
            yield item, layer


def _list(item: dict[str, Any], key: str) -> list[Any]:
    value = item.get(key)
    if not isinstance(value, list):
        raise FileFormatError(f"a {item['type']} needs a list of {key}")
    return value


def _part(feature: dict[str, Any]) -> str:
    properties = feature.get("properties")
    if not isinstance(properties, dict):
        return ""
    return next(
        (str(properties[k])[:200] for k in _NAMES if isinstance(properties.get(k), str)), ""
    )


def _strokes(geometry: dict[str, Any], layer: str, number: int) -> Iterator[Stroke]:
    kind = geometry.get("type")
    if not isinstance(kind, str) or kind not in _SHAPES:
        raise FileFormatError(
            f"geometry {number} is of type {str(kind)[:40]!r}; outlines are {', '.join(_SHAPES)} "
            "and collections"
        )
    runs = geometry.get("coordinates")
    for _ in range(3 - _SHAPES[kind]):
        runs = [runs]
    source = f"{kind} {number}"
    polygon = "Polygon" in kind
    for k, rings in enumerate(_sequence(runs, source)):
        for ring in _sequence(rings, source):
            points = _positions(ring, source)
            if polygon:
                points = (
                    points if (points[0] == points[-1]).all() else np.vstack([points, points[:1]])
                )
            # Each polygon says by itself what is hole and what is solid.
            group = f"{layer}|{number}|{k}" if polygon else layer
            yield Stroke(points, layer=layer, group=group, source=source, closed=polygon)


def _sequence(value: Any, source: str) -> list[Any]:
    if not isinstance(value, list):
        raise FileFormatError(
            f"{source}: expected a list of coordinates, found {str(value)[:40]!r}"
        )
    return value


def _positions(ring: Any, source: str) -> Array:
    """(n, 2) points of a list of positions; heights are left out."""
    rows = _sequence(ring, source)
    check_count(len(rows), MAX_EDGES, "positions")
    points = []
    for row in rows:
        numbers = isinstance(row, list) and 2 <= len(row) <= 4
        if not numbers or not all(type(x) in (int, float) for x in row):
            raise FileFormatError(f"{source}: a position is two numbers, found {str(row)[:40]!r}")
        points.append(row[:2])
    if len(points) < 2:
        raise FileFormatError(f"{source} has {len(points)} positions; an outline needs three")
    return np.array(points, dtype=float)
