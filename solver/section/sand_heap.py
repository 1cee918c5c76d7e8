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
    heap = _Heap(outer, holes, _plateaus(outer, holes))
    x, w = np.polynomial.legendre.leggauss(_HEAP_POINTS)
    knots = heap.knots()
    volume, base = 0.0, _Base(outer, 0.0)
    for low, high in itertools.pairwise(knots):
        for node, weight in zip(x, w, strict=True):
            level = (low + high) / 2 + (high - low) / 2 * node
            volume += weight * (high - low) / 2 * heap.above(base, level).area
        base = base.lighter(heap.above(base, high), high)
    return PlasticTorque(float(2 * volume))


@dataclass(frozen=True, slots=True)
class _Base:
    """Where the heap is higher than a level: what higher levels are found from."""

    shape: shapely.Geometry
    level: float

    def lighter(self, shape: shapely.Geometry, level: float) -> _Base:
        """The new one if it has no more vertices: small features of the outline go with the first
        offsets, while round ends of offsets only gather vertices and errors."""
        import shapely

        counts = shapely.get_num_coordinates([shape, self.shape])
        return _Base(shape, level) if counts[0] <= counts[1] else self


@dataclass(frozen=True, slots=True)
class _Heap:
    """The heap on an outline whose holes are plateaus of known heights."""

    outer: shapely.Polygon
    holes: list[shapely.Polygon]
    heights: Array

    @property
    def thickness(self) -> float:
        """Area over the length of all borders: half the mean wall."""
        area = self.outer.area - sum(h.area for h in self.holes)
        return float(area / (self.outer.length + sum(h.length for h in self.holes)))

    def above(self, base: _Base, level: float) -> shapely.Geometry:
        """Where the heap is higher than a level, not below that of the base; holes that are
        plateaus above it count as filled."""
        import shapely

        inside = base.shape.buffer(base.level - level, quad_segs=24)
        tiny = 1e-9 * self.thickness  # a hole grown by next to nothing comes out empty
        grown = [
            hole.buffer(level - c, quad_segs=24) if level - c > tiny else hole
            for hole, c in zip(self.holes, self.heights, strict=True)
            if base.level <= c < level
        ]
        return inside.difference(shapely.union_all(grown)) if grown else inside

    def knots(self) -> Array:
        """Levels between which the area above is smooth: equal stretches, and every plateau."""
        top = self.top()
        levels = [np.linspace(0, top, _HEAP_STRETCHES + 1), self.heights[self.heights < top]]
        found = np.unique(np.concatenate(levels))
        return np.asarray(found[np.append(True, np.diff(found) > 1e-9 * top)])

    def top(self) -> float:
        """Height of the summit: doubled steps until nothing is higher, then halved to a part of
        itself, however thin the walls."""
        base, low, step = _Base(self.outer, 0.0), 0.0, self.thickness
        while not (higher := self.above(base, low + step)).is_empty:
            base, low, step = base.lighter(higher, low + step), low + step, 2 * step
        for _ in range(12):
            step /= 2
            if not (higher := self.above(base, low + step)).is_empty:
                base, low = base.lighter(higher, low + step), low + step
        return low + step


def _plateaus(outer: shapely.Polygon, holes: list[shapely.Polygon]) -> Array:
    """Height of each hole: the shortest way to the outer border, free across holes (Dijkstra by
    hand: few holes)."""
    n = len(holes)
    height = np.array([outer.exterior.distance(h) for h in holes])
    between = np.array([[a.distance(b) for b in holes] for a in holes]).reshape(n, n)
    for _ in range(n):
        height = np.minimum(height, (between + height).min(axis=1, initial=np.inf)) if n else height
    return height
