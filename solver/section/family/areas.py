"""Area properties of many outlines of one build, by the line integrals of `area.properties`."""

from __future__ import annotations

import numpy as np

from ....geometry.material import Material
from ....geometry.outline.alike import AlikeEdges
from ....geometry.outline.contour import arc_circles, edge_quadrature
from ..area.properties import AreaProperties, ElasticModuli, second_moments
from ..mesh.section_mesh import Array

#: Arcs are integrated in pieces of at most this turn, as `edge_quadrature` does.
_TURN = np.pi / 4


def area_properties_of(edges: AlikeEdges, material: Material) -> list[AreaProperties]:
    """Of each outline, filled with one material."""
    pieces, _ = edges.cut(_TURN)
    near = (edges.start.min(axis=1) + edges.start.max(axis=1)) / 2
    rough = _moments(pieces, near, 1)
    centroid = near + np.stack([rough[1, 0], rough[0, 1]], axis=1) / rough[0, 0][:, None]
    m = _moments(pieces, centroid, 3)
    moments = [
        second_moments(float(x), float(y), float(xy))
        for x, y, xy in zip(m[0, 2], m[2, 0], m[1, 1], strict=True)
    ]
    angle = np.array([one.angle for one in moments])
    turns = np.arange(4) * np.pi / 2 + np.stack([np.zeros(len(angle)), angle], axis=1)[..., None]
    reach = extremes(edges, centroid, turns.reshape(len(angle), 8))
    out = []
    for k, one in enumerate(moments):
        area, (right, top, left, bottom, u, v, w, z) = float(m[0, 0][k]), reach[k].tolist()
        principal = np.array([one.x, one.y, one.major, one.minor])
        moduli = ElasticModuli(
            one.x / top,
            one.x / bottom,
            one.y / right,
            one.y / left,
            one.major / max(v, z),
            one.minor / max(u, w),
        )
        mass = None if material.density is None else material.density * area
        third = np.array([m[3, 0][k] + m[1, 2][k], m[2, 1][k] + m[0, 3][k]])
        radii = np.sqrt(principal / area)
        out.append(AreaProperties(area, area, mass, centroid[k], one, moduli, radii, third))
    return out


def _moments(pieces: AlikeEdges, origin: Array, most: int) -> dict[tuple[int, int], Array]:
    """(k,) int x^a y^b dA about the origins (k, 2), by (a, b), up to a degree."""
    k = len(pieces)
    shift = origin[:, None]
    start, end = ((part - shift).reshape(-1, 2) for part in (pieces.start, pieces.end))
    points, steps = edge_quadrature(start, end, pieces.bulges.ravel())
    x, y = (np.ascontiguousarray(part).reshape(k, -1) for part in points.T)
    across, out = x * steps[:, 1].reshape(k, -1), {}
    for a in range(most + 1):
        term = across
        for b in range(most + 1 - a):
            out[a, b] = term.sum(axis=1) / (a + 1)
            term = term * y
        across = across * x
    return out


def extremes(edges: AlikeEdges, origin: Array, angles: Array) -> Array:
    """(k, d) how far each outline reaches from its origin (k, 2) in directions (k, d), radians,
    exact for arcs."""
    way = np.stack([np.cos(angles), np.sin(angles)], axis=2)
    reach = np.einsum("knc,kdc->kdn", edges.start - origin[:, None], way).max(axis=2)
    arcs = np.flatnonzero(edges.bulges[0])
    if arcs.size:
        k = len(edges)
        bulge = edges.bulges[:, arcs]
        start, end = (part[:, arcs].reshape(-1, 2) for part in (edges.start, edges.end))
        centre, radius = arc_circles(start, end, bulge.ravel())
        from_centre = edges.start[:, arcs] - centre.reshape(k, -1, 2)
        first = np.arctan2(from_centre[..., 1], from_centre[..., 0])
        sweep = 4 * np.arctan(bulge)
        turned = np.sign(sweep)[..., None] * (angles[:, None] - first[..., None])
        passed = turned % (2 * np.pi) < np.abs(sweep)[..., None]
        away = np.einsum("knc,kdc->knd", centre.reshape(k, -1, 2) - origin[:, None], way)
        top = np.where(passed, away + radius.reshape(k, -1, 1), -np.inf).max(axis=1)
        reach = np.maximum(reach, top)
    return np.asarray(reach)
