"""The unbounded corners of many sections on one mesh that follows each of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.alike import AlikeEdges
from ..mesh.nearness import edge_distance
from ..mesh.section_mesh import Array, border_angles
from ..torsion.sharp_corner import BOUNDED, STRAIGHT, SharpCorner
from .fields import StackedField


def alike_corners(
    stack: StackedField, edges: AlikeEdges, corners: tuple[SharpCorner, ...]
) -> tuple[list[tuple[SharpCorner, ...]], NDArray[np.bool_]]:
    """Corners of each section where those `corners` of the first mesh are, and which sections (k,)
    are unbounded just there."""
    mesh, k = stack.template.mesh, len(stack)
    angle = _angles(stack)
    with np.errstate(invalid="ignore"):
        exponent = np.where(np.abs(angle - np.pi) > STRAIGHT, np.pi / angle, np.nan)
        unbounded = exponent < BOUNDED
    points = np.array([c.point for c in corners]).reshape(-1, 1, 2)
    at = np.argmin(np.hypot(*np.moveaxis(mesh.vertices - points, 2, 0)), axis=1)
    expected = np.zeros(len(mesh.vertices), dtype=bool)
    expected[at] = True
    same = (unbounded == expected).all(axis=1)
    if not corners:
        return [()] * k, same
    where = stack.vertices[:, at]
    clear = _clearance(where, edges)
    out = []
    for own, places, exponents, angles, distances in zip(
        [corners] * k, where, exponent[:, at], angle[:, at], clear, strict=True
    ):
        row = zip(own, places, exponents, np.rad2deg(angles), distances, strict=True)
        out.append(
            tuple(
                replace(
                    c,
                    point=(float(x), float(y)),
                    exponent=float(power),
                    kind=f"re-entrant corner of {degrees:.0f} degrees",
                    clearance=float(distance),
                )
                for c, (x, y), power, degrees, distance in row
            )
        )
    return out, same


def _angles(stack: StackedField) -> Array:
    """(k, v) interior angle at each border vertex, nan elsewhere."""
    k, border = len(stack), stack.template.border
    step = (np.arange(k) * len(stack.template.mesh.vertices))[:, None]
    whole = replace(
        border,
        start=(border.start + step).ravel(),
        end=(border.end + step).ravel(),
        bulges=stack.template.border_bulges(stack.bulges).ravel(),
    )
    return border_angles(stack.mesh, whole).reshape(k, -1)


def _clearance(points: Array, edges: AlikeEdges) -> Array:
    """(k, c) distance of each corner (k, c, 2) to the nearest edge that does not end there."""
    k, c = points.shape[:2]
    n = edges.bulges.shape[1]
    start, end = (
        np.broadcast_to(part[:, None], (k, c, n, 2)).reshape(-1, 2)
        for part in (edges.start, edges.end)
    )
    bulges = np.broadcast_to(edges.bulges[:, None], (k, c, n)).ravel()
    spots = np.repeat(points.reshape(-1, 2), n, axis=0)
    distance = edge_distance(spots, start, end, bulges)
    near = 1e-9 * np.ptp(edges.start, axis=1).max()
    own = np.minimum(np.hypot(*(spots - start).T), np.hypot(*(spots - end).T)) < near
    distance[own] = np.inf
    return np.asarray(distance.reshape(k, c, n).min(axis=2))
