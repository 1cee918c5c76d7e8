"""Outlines of hatched areas in DXF drawings: their boundary paths as strokes."""

from __future__ import annotations

from typing import Any

import numpy as np

from ..errors import FileFormatError
from .bounds import MAX_ENTITIES, check_count
from .curves import elliptic_edges, spline_edges
from .stroke import Stroke, on_layer


def hatch_strokes(hatch: Any, layer: str, name: str) -> list[Stroke]:
    """The boundary of a HATCH, a stroke for each polyline and for each edge of the others."""
    if tuple(hatch.dxf.get("extrusion", (0, 0, 1))) != (0, 0, 1):
        raise FileFormatError(
            f"{name}{on_layer(layer)} does not lie in the x-y plane; flatten the drawing"
        )
    strokes: list[Stroke] = []
    for path in hatch.paths:
        if hasattr(path, "vertices"):
            strokes += _polyline(path, layer, name)
            continue
        check_count(len(path.edges), MAX_ENTITIES, "edges around a hatch")
        strokes += [_edge(edge, layer, name) for edge in path.edges]
    return strokes


def _polyline(path: Any, layer: str, name: str) -> list[Stroke]:
    rows = np.array([(v[0], v[1], v[2] if len(v) > 2 else 0.0) for v in path.vertices], dtype=float)
    if len(rows) < 2:
        return []
    points = np.vstack([rows[:, :2], rows[:1, :2]])
    return [Stroke(points, rows[:, 2], layer=layer, source=name, closed=True)]


def _edge(edge: Any, layer: str, name: str) -> Stroke:
    kind = type(edge).__name__
    if kind == "LineEdge":
        return Stroke([tuple(edge.start)[:2], tuple(edge.end)[:2]], layer=layer, source=name)
    if kind in ("ArcEdge", "EllipseEdge"):
        centre = tuple(edge.center)[:2]
        if kind == "ArcEdge":
            u, ratio = np.array([float(edge.radius), 0.0]), 1.0
            start, end = np.radians([edge.start_angle, edge.end_angle])
        else:
            u, ratio = np.array(tuple(edge.major_axis)[:2], dtype=float), float(edge.ratio)
            start, end = float(edge.start_param), float(edge.end_param)
        whole = abs(abs(end - start) - 2 * np.pi) < 1e-9 or start == end
        sweep = 2 * np.pi if whole else (end - start) % (2 * np.pi)
        v = ratio * np.array([-u[1], u[0]])
        points, bulges, curves = elliptic_edges(centre, u, v, float(start), float(sweep))
        return Stroke(points, bulges, layer=layer, source=name, closed=bool(whole), curves=curves)
    tool = edge.construction_tool()
    check_count(len(tool.control_points), MAX_ENTITIES, "points in a spline")
    control = np.array([tuple(p)[:2] for p in tool.control_points])
    weights = list(tool.weights()) or None
    points, bulges, curves = spline_edges(control, list(tool.knots()), tool.order - 1, weights)
    return Stroke(points, bulges, layer=layer, source=name, curves=curves)
