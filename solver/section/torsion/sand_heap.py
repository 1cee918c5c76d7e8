"""Fully plastic torque: twice the volume of the sand heap that stands on the section."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.contour import Contour, arc_circles, edge_points
from ....geometry.planar.boolean import union
from ....geometry.section import Section

if TYPE_CHECKING:
    import shapely

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: Largest distance between an arc and the chords that stand for it in the heap, by twice the area
#: over the border's length, the thickness of walls: where chords keep the area, and where they lie
#: in the void all of them.
_FACET, _FACET_OUTSIDE = 1e-4, 4e-5
#: Part of the volume that the summation over levels may leave open, and the most levels it takes.
_LEFT_OPEN, _MOST_LEVELS = 2e-5, 150
#: An outline of more vertices than this is heavy: its offsets are made in steps that double, each
#: from the one before, which has fewer vertices, and are smoothed by this part of the thickness.
_HEAVY, _SMOOTHED = 2000, 2e-6
#: Vertices that all offsets together may have: thousands of round ends would take longer than the
#: whole of the rest. The first offset's are counted before it is made, and a heap has some four
#: times as many.
_MOST_VERTICES, _OFFSETS = 400_000, 4
#: Chords of a quarter circle around a re-entrant corner of an offset.
_QUARTER = 32
_TOO_MANY = (
    "the outline has too many corners for the sand heap; draw its arcs as arcs, or leave out "
    "detail that hardly changes the area"
)


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
    summed over levels, each the area of an exact offset of the outline with arcs faceted to 1e-4 of
    the walls' thickness or less; its accuracy is about 1e-4.
    """
    materials = [r.material for r in section.regions]
    if any(m != materials[0] for m in materials):
        return PlasticTorque(
            None, "several materials: the sand heap holds for one shear yield stress"
        )
    if section.slits:
        return PlasticTorque(None, "the sand heap of a section with slits is not available")
    import shapely

    # merged before arcs are faceted: chords of two regions would leave slivers between them, and
    # the heap takes any hole, however thin, for a way that costs nothing
    body = union(section.regions) if len(section.regions) > 1 else section.regions
    if len(body) > 1:
        return PlasticTorque(None, "the outline is not one piece")
    outline, voids = body[0].outline, body[0].holes
    wall = 2 * body[0].area() / sum(c.length() for c in body[0].contours)
    facet = (_FACET_OUTSIDE if voids else _FACET) * wall
    inside = np.sign(outline.area()) if voids else 0.0
    outer = shapely.Polygon(_chords(outline, facet, inside))
    holes = [shapely.Polygon(_chords(h, facet, -np.sign(h.area()))) for h in voids]
    if _OFFSETS * _round_ends(outer) > _MOST_VERTICES:
        return PlasticTorque(None, _TOO_MANY)
    heap = _Heap(outer, holes, _plateaus(outer, holes), wall)
    volume = heap.volume()
    if volume is None:
        return PlasticTorque(None, _TOO_MANY)
    return PlasticTorque(2 * volume)


def _round_ends(outer: shapely.Polygon) -> int:
    """Vertices of the arcs that the first offset gets around the outline's re-entrant corners."""
    points = np.asarray(outer.exterior.coords)[:-1]
    on = np.roll(points, -1, axis=0) - points
    before = np.roll(on, 1, axis=0)
    cross = before[:, 0] * on[:, 1] - before[:, 1] * on[:, 0]
    turn = np.arctan2(cross, (before * on).sum(axis=1))
    away = -np.sign(turn.sum()) * turn
    return int(np.ceil(away[away > 0] / (math.pi / 2) * _QUARTER).sum())


def _chords(contour: Contour, deviation: float, inside: float) -> Array:
    """(m, 2) points of chords that leave the arcs of a contour by at most `deviation`.

    Where there are plateaus, chords lie in the void, convex arcs circumscribed and the others
    inscribed, so that none of them thins the wall that a plateau's height is: `inside` is then the
    sign of the area of a contour with the material inside. With `inside` 0 they keep the area.
    """
    parts = contour.chords(deviation)
    outside = (contour.bulges != 0) & (contour.bulges * inside >= 0)
    count = parts + outside
    edge = np.repeat(np.arange(len(count)), count)
    nth = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
    moved = outside[edge] & (nth > 0)
    start, end, bulge = (part[edge] for part in (contour.points, contour.ends, contour.bulges))
    share = np.where(moved, nth - 0.5, nth) / parts[edge]
    points = edge_points(start, end, bulge, share[:, None])[:, 0]
    if moved.any():
        centre, _ = arc_circles(start[moved], end[moved], bulge[moved])
        by = _outward(4 * np.arctan(np.abs(bulge[moved])), parts[edge[moved]], bool(inside))
        points[moved] += (points[moved] - centre) * by[:, None]
    return points


def _outward(angle: Array, n: Ints, circumscribed: bool) -> Array:
    """How far outward, by the radius, the n corners between the ends of arcs lie, at equal angles:
    for chords that touch the arc, or for the arc's own area."""
    step = angle / n
    if circumscribed:
        return np.asarray(1 / np.cos(step / 2) - 1)
    sines = (n - 1) * np.sin(step) + np.sin(step / 2)
    return np.asarray((n * step - sines - np.sin(step / 2)) / (2 * sines))


@dataclass(frozen=True, slots=True, eq=False)
class _Cut:
    """The heap cut at a level: area and border of where it is higher.

    Attributes
    ----------
    filled : tuple of int
        Holes whose plateaus are not below the level: they count as area.
    base : _Cut or None
        Cut from which higher ones are found; None for this one itself.
    """

    level: float
    area: float
    length: float
    shape: shapely.Geometry
    vertices: int
    filled: tuple[int, ...]
    base: _Cut | None = None


@dataclass(frozen=True, slots=True, eq=False)
class _Stretch:
    """Part of the heap between two cuts, or above the last one (`high` None), with its volume and
    an estimate of that one's error; `split` is the level to look at next."""

    low: _Cut
    high: _Cut | None
    volume: float
    error: float
    split: float


def _stretch(low: _Cut, high: _Cut | None, known: float = np.inf) -> _Stretch:
    """Volume between two cuts.

    Since offsets move at unit speed, the area's slope is minus the border's length, and the area is
    a parabola as long as no part of the border vanishes (Steiner), which Hermite's cubic integrates
    exactly. At a ridge of one height the slope jumps. The tangents of both ends meet there, and the
    error is bounded by what both ends show of the jump; they show none in the middle between them,
    only the difference of their slopes: that is believed until a split has told (`known`).

    At the top the volume lies between a wedge's and a cone's, half and two thirds of area^2 by
    length, and no heap of that area is higher than a round one.
    """
    a, length = low.area, low.length
    if high is None:
        if not a:
            return _Stretch(low, None, 0.0, 0.0, low.level)
        cone = a**1.5 / (3 * math.sqrt(math.pi))
        return _Stretch(low, None, 7 / 12 * a**2 / length, cone, low.level + a / length)
    h, jump = high.level - low.level, length - high.length
    bent = high.area - a + h * (length + high.length) / 2
    error = h / 4 * abs(bent) + min(known, h**2 / 24 * abs(jump))
    part = (a - high.area - high.length * h) / (jump * h) if jump else 0.5
    split = low.level + h * (part if 0.01 < part < 0.99 else 0.5)
    return _Stretch(low, high, h / 2 * (a + high.area) - h**2 / 12 * jump, error, split)


@dataclass(frozen=True, slots=True)
class _Heap:
    """The heap on an outline of walls of a mean thickness, whose holes are plateaus of known
    heights."""

    outer: shapely.Polygon
    holes: list[shapely.Polygon]
    heights: Array
    wall: float

    @property
    def tiny(self) -> float:
        """Levels less than this apart are one."""
        return 1e-9 * self.wall

    def volume(self) -> float | None:
        """Sum over stretches; the one with the largest error is split until all are known, or the
        offsets have too many vertices."""
        stretches = self._first_stretches()
        handled = sum(s.low.vertices for s in stretches)
        for _ in range(_MOST_LEVELS):
            if handled > _MOST_VERTICES:
                return None
            if sum(s.error for s in stretches) <= _LEFT_OPEN * sum(s.volume for s in stretches):
                break
            one = max(stretches, key=lambda s: s.error)
            stretches.remove(one)
            middle = self.cut(one.low, one.split)
            handled += middle.vertices
            halves = _stretch(one.low, middle), _stretch(middle, one.high)
            found = abs(halves[0].volume + halves[1].volume - one.volume)
            stretches += [_stretch(s.low, s.high, found) for s in halves]
        return float(sum(s.volume for s in stretches))

    def _first_stretches(self) -> list[_Stretch]:
        """Between the plateaus, at which the area jumps."""
        whole, size = tuple(range(len(self.holes))), _vertices(self.outer)
        low = _Cut(0.0, self.outer.area, self.outer.length, self.outer, size, whole)
        out = []
        for level in np.unique(self.heights):
            if level - low.level > self.tiny:
                out.append(_stretch(low, self.cut(low, level)))
                low = self.cut(out[-1].high or low, level, above=True)
        step = self.wall / 4
        while low.area and low.vertices > _HEAVY:
            high = self.cut(low, low.level + step)
            out.append(_stretch(low, high))
            low, step = high, 2 * step
        return [*out, _stretch(low, None)]

    def cut(self, below: _Cut, level: float, *, above: bool = False) -> _Cut:
        """Cut at a level, found from a lower one; at that of a plateau just below or just above
        it."""
        import shapely

        base = below.base or below
        reached = level + self.tiny if above else level - self.tiny
        opened = [k for k in base.filled if self.heights[k] < reached]
        shape = base.shape
        if level > base.level:
            shape = shapely.buffer(shape, base.level - level, quad_segs=_QUARTER)
        if opened:
            shape = shape.difference(shapely.union_all([self._grown(k, level) for k in opened]))
        if _vertices(shape) > _HEAVY:
            shape = shape.simplify(_SMOOTHED * self.wall)
        size = _vertices(shape)
        filled = tuple(k for k in base.filled if k not in opened)
        # Small features of an outline go with the first offsets: their successors are lighter.
        # Round ends of offsets gather vertices and errors: then the base stays what it was.
        heavier = size > base.vertices + sum(_vertices(self.holes[k]) for k in opened)
        return _Cut(level, shape.area, shape.length, shape, size, filled, base if heavier else None)

    def _grown(self, hole: int, level: float) -> shapely.Geometry:
        """Where the slopes around a plateau are not above a level."""
        growth = level - self.heights[hole]
        if growth <= self.tiny:  # a hole grown by next to nothing comes out empty
            return self.holes[hole]
        return self.holes[hole].buffer(growth, quad_segs=_QUARTER)


def _vertices(shape: shapely.Geometry) -> int:
    import shapely

    return int(shapely.get_num_coordinates(shape))


def _plateaus(outer: shapely.Polygon, holes: list[shapely.Polygon]) -> Array:
    """Height of each hole: the shortest way to the outer border, free across holes (Dijkstra by
    hand: few holes)."""
    n = len(holes)
    height = np.array([outer.exterior.distance(h) for h in holes])
    between = np.array([[a.distance(b) for b in holes] for a in holes]).reshape(n, n)
    for _ in range(n):
        height = np.minimum(height, (between + height).min(axis=1, initial=np.inf)) if n else height
    return height
