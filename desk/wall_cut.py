"""Cutting a wall through by hand, and closing the cut again.

A cut is an outline of its own in the text, a hundredth of the wall wide, so the section that is
solved is a real one, and the cut can be seen, moved and taken away like any other entry.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import tomlkit
from numpy.typing import NDArray

from ..geometry.errors import InputError
from ..geometry.section import Section

Array = NDArray[np.float64]

#: What cuts by hand are named, so that they are known again.
NAME = "cut by hand"
#: Width of a cut, and how far it stands out on both sides, as shares of the wall.
_WIDTH, _BEYOND = 0.02, 0.25
#: A click farther from every wall than this share of the section's size cuts nothing; a wall
#: thicker than this share of it is none.
_NEAR, _THICKEST = 0.05, 0.4
_DEVIATION = 1e-5


def toggled(text: str, section: Section, at: tuple[float, float]) -> str:
    """The text with the wall at a place cut through, or with the cut that is there taken away.

    Raises
    ------
    InputError
        If there is no wall near.
    """
    document = tomlkit.parse(text)
    outlines: Any = document.get("outline", [])
    near = _NEAR * section.size()
    distances = [_distance(entry, at) if entry.get("name") == NAME else np.inf
                 for entry in outlines]  # fmt: skip
    if distances and min(distances) < near:
        del outlines[int(np.argmin(distances))]
        if not outlines:
            del document["outline"]
        return tomlkit.dumps(document)
    corners = ", ".join(f"[{x:.10g}, {y:.10g}]" for x, y in cut(section, at))
    return (
        f'{text.rstrip()}\n\n[[outline]]\nname = "{NAME}"\npoints = [{corners}]\ncombine = "cut"\n'
    )


def cut(section: Section, at: tuple[float, float]) -> Array:
    """(4, 2) corners of a rectangle that cuts the wall at a place through.

    Raises
    ------
    InputError
        If there is no wall near.
    """
    from shapely import LineString, Point, Polygon
    from shapely.ops import nearest_points, unary_union

    size = section.size()
    deviation = size * _DEVIATION
    material = unary_union([
        Polygon(r.outline.polyline(deviation), [h.polyline(deviation) for h in r.holes])
        for r in section.regions
    ])  # fmt: skip
    click = Point(at)
    if material.distance(click) > _NEAR * size:
        raise InputError(f"no wall is near ({at[0]:.4g}, {at[1]:.4g}); click on one to cut it")
    p = np.array(nearest_points(material.boundary, click)[0].coords[0])
    spot = np.array(nearest_points(material, click)[0].coords[0])
    for along in _normals(material, p, size):
        line = LineString([spot - size * along, spot + size * along])
        pieces = line.intersection(material)
        runs = [g for g in getattr(pieces, "geoms", [pieces]) if g.geom_type == "LineString"]
        run = min(runs, key=lambda g: g.distance(Point(spot)), default=None)
        if run is None or run.length > _THICKEST * size:
            continue
        a, b = np.array(run.coords[0]), np.array(run.coords[-1])
        wall = float(run.length)
        d = (b - a) / wall
        across = np.array([-d[1], d[0]]) * _WIDTH * wall / 2
        a, b = a - _BEYOND * wall * d, b + _BEYOND * wall * d
        return np.array([a - across, b - across, b + across, a + across])
    raise InputError("the material is too thick here to be a wall; click on a thin one")


def _normals(material: Any, p: Array, size: float) -> list[Array]:
    """The direction across the border at a point of it."""
    rings = []
    for polygon in getattr(material, "geoms", [material]):
        rings += [polygon.exterior, *polygon.interiors]
    best, found = np.inf, np.array([1.0, 0.0])
    for ring in rings:
        points = np.asarray(ring.coords)
        a, d = points[:-1], np.diff(points, axis=0)
        length2 = np.maximum((d**2).sum(axis=1), 1e-30 * size**2)
        s = np.clip(((p - a) * d).sum(axis=1) / length2, 0.0, 1.0)
        away = np.hypot(*(a + s[:, None] * d - p).T)
        k = int(np.argmin(away))
        if away[k] < best:
            best, found = float(away[k]), np.array([d[k, 1], -d[k, 0]]) / np.sqrt(length2[k])
    return [found]


def _distance(entry: Any, at: tuple[float, float]) -> float:
    """From a cut's middle line to a place."""
    from shapely import Point, Polygon

    try:
        points = [(float(row[0]), float(row[1])) for row in entry["points"]]
        return float(Polygon(points).distance(Point(at)))
    except (ValueError, TypeError, KeyError, IndexError):
        return float("inf")
