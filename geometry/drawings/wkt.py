"""Well-known text into strokes, read by shapely: polygons, lines and collections of them.

The text has no unit; it must be given. Curve types of the standard are not read by shapely: use DXF
for arcs.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from ..errors import FileFormatError
from .bounds import MAX_DEPTH, MAX_EDGES, MAX_ENTITIES, check_count
from .scale import drawing_unit
from .stroke import Sheet, Stroke

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry


def read_wkt(data: bytes, unit: str | None = None) -> Sheet:
    """Strokes of one or several geometries, one after another.

    Raises
    ------
    FileFormatError
        If shapely cannot read the text, or it holds points or curves.
    UnitError
        If `unit` is not given.
    """
    check_count(data.count(b","), 2 * MAX_EDGES, "points")
    text = data.decode("utf-8-sig", errors="replace")
    _check_depth(text)
    unit, notes = drawing_unit(unit, None, "WKT has no place for it")
    strokes: list[Stroke] = []
    for number, polygon_or_line in enumerate(_simple(_parsed(text)), 1):
        check_count(number, MAX_ENTITIES, "geometries")
        strokes += _strokes(polygon_or_line, number)
    check_count(sum(len(s) for s in strokes), MAX_EDGES, "edges")
    return Sheet(tuple(strokes), unit, notes=tuple(notes))


def _check_depth(text: str) -> None:
    """GEOS descends once for each parenthesis; a hostile text must not exhaust its stack."""
    depth = 0
    for bracket in re.findall(r"[()]", text):
        depth += 1 if bracket == "(" else -1
        check_count(depth, MAX_DEPTH, "nested parentheses")


def _parsed(text: str) -> Any:
    import shapely

    if re.search(
        r"\b(CURVE|COMPOUNDCURVE|CIRCULARSTRING|CURVEPOLYGON|MULTICURVE|MULTISURFACE)\b", text, re.I
    ):
        raise FileFormatError(
            "curved WKT types are not read; use DXF, whose bulges keep arcs exact"
        )
    # Several geometries, one a line, are as common as one.
    joined = re.sub(r"\)[\s;]*(?=[A-Za-z])", "),", text.strip().rstrip(";"))
    try:
        return shapely.from_wkt(f"GEOMETRYCOLLECTION({joined})")
    except shapely.errors.GEOSException as error:
        reason = " ".join(str(error).split())[:120]
        raise FileFormatError(
            f"cannot be read as WKT ({reason}); write it like POLYGON((0 0, 100 0, ...))"
        ) from error


def _simple(geometry: BaseGeometry) -> Iterator[Any]:
    if hasattr(geometry, "geoms"):
        for part in geometry.geoms:
            yield from _simple(part)
    else:
        yield geometry


def _strokes(geometry: Any, number: int) -> Iterator[Stroke]:
    """Each polygon is a group of its own: it says by itself what is hole and what is solid."""
    import shapely

    source = f"{geometry.geom_type} {number}"
    if geometry.is_empty:
        return
    if geometry.geom_type == "Polygon":
        for ring in (geometry.exterior, *geometry.interiors):
            yield Stroke(
                shapely.get_coordinates(ring), group=f"|{number}", source=source, closed=True
            )
    elif geometry.geom_type in ("LineString", "LinearRing"):
        yield Stroke(shapely.get_coordinates(geometry), source=source)
    else:
        raise FileFormatError(f"{source} is no outline; use POLYGON, MULTIPOLYGON or LINESTRING")
