"""Fully plastic torque: twice the volume of the sand heap that stands on the section."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...geometry.boolean import union
from ...geometry.section import Section

if TYPE_CHECKING:
    import shapely

Array = NDArray[np.float64]

#: Largest distance between an arc and the chords that stand for it in the heap, by twice the area
#: over the border's length, the thickness of walls: chords that thin a wall lower the plateau.
_FACET = 5e-5
#: Gauss points on each of the stretches of the heap's height.
_HEAP_POINTS, _HEAP_STRETCHES = 4, 12


@dataclass(frozen=True, slots=True)
class PlasticTorque:
    """Fully plastic torque per unit shear yield stress, or the reason there is none."""

    value: float | None
    reason: str = ""


def plastic_torque(section: Section) -> PlasticTorque:
    """Twice the volume under the heap of slope one that stands on the section (Nadai's sand heap).

    A hole is a level plateau whose height is the cheapest way to the outer border, travel across
    holes being free: the highest field with slope at most one, zero outside and constant on each
    hole, which is the lower-bound optimum of limit analysis. (Nadai, Z. angew. Math. Mech. 3 (1923)
    442; for holes Sadowsky, J. Appl. Mech. 8 (1941) A166, both cited from memory.) The volume is
    summed over levels, each the area of an exact offset of the outline with arcs faceted to 5e-5 of
    the walls' thickness; its accuracy is about 1e-4.
    """
    materials = [r.material for r in section.regions]
    if any(m != materials[0] for m in materials):
        return PlasticTorque(
            None, "several materials: the sand heap holds for one shear yield stress"
        )
    if section.slits:
        return PlasticTorque(None, "the heap of a section with slits is not available")
    import shapely

    # merged before arcs are faceted: chords of two regions would leave slivers between them, and
    # the heap takes any hole, however thin, for a way that costs nothing
    body = union(section.regions) if len(section.regions) > 1 else section.regions
    if len(body) > 1:
        return PlasticTorque(None, "the outline is not one piece")
    facet = _FACET * 2 * body[0].area() / sum(c.length() for c in body[0].contours)
    outer = shapely.Polygon(body[0].outline.polyline(facet))
    holes = [shapely.Polygon(h.polyline(facet)) for h in body[0].holes]
    heights = _plateaus(outer, holes)
    top = _top(outer, holes, heights)
    x, w = np.polynomial.legendre.leggauss(_HEAP_POINTS)
    knots = np.unique(
        np.concatenate([np.linspace(0, top, _HEAP_STRETCHES + 1), [h for h in heights if h < top]])
    )
    volume = 0.0
    for low, high in itertools.pairwise(knots):
        for node, weight in zip(x, w, strict=True):
            level = (low + high) / 2 + (high - low) / 2 * node
            volume += weight * (high - low) / 2 * _area_above(outer, holes, heights, level).area
    return PlasticTorque(float(2 * volume))


def _area_above(
    outer: shapely.Polygon, holes: list[shapely.Polygon], heights: Array, level: float
) -> shapely.Geometry:
    """Where the heap is higher than a level; holes that are plateaus above it count as filled."""
    import shapely

    inside = outer.buffer(-level, quad_segs=24)
    low = [
        h.buffer(level - c, quad_segs=24) for h, c in zip(holes, heights, strict=True) if c < level
    ]
    return inside.difference(shapely.union_all(low)) if low else inside


def _plateaus(outer: shapely.Polygon, holes: list[shapely.Polygon]) -> Array:
    """Height of each hole: the shortest way to the outer border, free across holes (Dijkstra by
    hand: few holes)."""
    n = len(holes)
    height = np.array([outer.exterior.distance(h) for h in holes])
    between = np.array([[a.distance(b) for b in holes] for a in holes]).reshape(n, n)
    for _ in range(n):
        height = np.minimum(height, (between + height).min(axis=1, initial=np.inf)) if n else height
    return height


def _top(outer: shapely.Polygon, holes: list[shapely.Polygon], heights: Array) -> float:
    """Height of the heap's summit: doubled from the mean thickness until nothing is higher, then
    halved to a part of itself, however thin the walls."""
    area = outer.area - sum(h.area for h in holes)
    low, high = 0.0, area / (outer.length + sum(h.length for h in holes))
    while _area_above(outer, holes, heights, high).area > 0:
        low, high = high, 2 * high
    for _ in range(12):
        middle = (low + high) / 2
        if _area_above(outer, holes, heights, middle).area > 0:
            low = middle
        else:
            high = middle
    return float(high)
