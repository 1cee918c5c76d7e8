"""Bounds of the torsion constant that share nothing with the solver: areas, offsets, known shapes.

All hold for one material and follow from trial functions of the two extremum principles.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from math import pi

import numpy as np
import shapely
from soapfilm.geometry.section import Region

from .closed_form import rectangle

#: Levels of the heap whose offsets make the lower bound, and segments of a quarter of a round end.
_LEVELS, _ROUND = 16, 8
#: Chords leave arcs by this part of the wall's thickness at most.
_FACET = 1e-4


@dataclass(frozen=True, slots=True)
class Bounds:
    """What J can be at least and at most, and by which argument."""

    lower: float
    upper: float
    by: str


def faceted(region: Region, within: float = _FACET) -> shapely.Polygon:
    """The region with chords for arcs, `within` a part of its mean thickness of them."""
    facet = within * 2 * region.area() / sum(c.length() for c in region.contours)
    return shapely.Polygon(
        region.outline.polyline(facet), [hole.polyline(facet) for hole in region.holes]
    )


def bounds(region: Region) -> Bounds:
    """The best of the bounds below, widened by what the chords may have moved them."""
    body = faceted(region)
    lower = sand_heap(body) * (1 - 40 * _FACET)
    uppers = {
        "the second moments": two_moments(body),
        "the area": ring_of_equal_areas(body),
        "the box around it": box_around(body),
    }
    by = min(uppers, key=lambda name: uppers[name])
    return Bounds(lower, uppers[by] * (1 + 40 * _FACET), by)


def two_moments(body: shapely.Polygon) -> float:
    """4 I_1 I_2/(I_1 + I_2): the warping c x y on principal axes as a trial function."""
    ix = iy = ixy = 0.0
    origin = np.array(body.centroid.coords[0])
    rings = [(1.0, body.exterior), *((-1.0, hole) for hole in body.interiors)]
    for side, ring in rings:
        p = shapely.get_coordinates(ring) - origin
        (x0, y0), (x1, y1) = p[:-1].T, p[1:].T
        cross = x0 * y1 - x1 * y0
        cross *= side * np.sign(cross.sum())
        ix += float(cross @ (y0**2 + y0 * y1 + y1**2)) / 12
        iy += float(cross @ (x0**2 + x0 * x1 + x1**2)) / 12
        ixy += float(cross @ (2 * (x0 * y0 + x1 * y1) + x0 * y1 + x1 * y0)) / 24
    return 4 * (ix * iy - ixy**2) / (ix + iy)


def ring_of_equal_areas(body: shapely.Polygon) -> float:
    """A round ring with the same area and the same area of holes is the stiffest (Polya &
    Weinstein, Ann. Math. 52 (1950) 154, from memory; without holes Saint-Venant's conjecture)."""
    full = shapely.Polygon(body.exterior).area
    return float((full**2 - (full - body.area) ** 2) / (2 * pi))


def box_around(body: shapely.Polygon) -> float:
    """The solid rectangle around it: J grows with every material added."""
    box = shapely.get_coordinates(body.minimum_rotated_rectangle)
    sides = np.hypot(*np.diff(box[:3], axis=0).T)
    return rectangle(float(sides.max()), float(sides.min()))


def sand_heap(body: shapely.Polygon) -> float:
    """Trial stress functions that depend on the height of the sand heap alone.

    The heap has the slope one on the material and is level over holes. Let phi have the slope g_i
    between the levels h_i and h_(i+1), M_i be the material and F_i the mean of the area above
    (holes included) between them. 2 l(phi) - a(phi, phi) is largest for g_i = 2 F_i dh_i/M_i:

        J >= sum over i of 4 (F_i dh_i)^2/M_i.

    With many levels exact for thin strips (b t^3/3) and for a thin cell (Bredt); F_i is taken from
    below, by the area above the higher level.
    """
    outer, holes = shapely.Polygon(body.exterior), [shapely.Polygon(h) for h in body.interiors]
    height = _plateaus(outer, holes)
    top = _top(body, outer, holes, height)
    levels = np.unique(np.concatenate([np.linspace(0, top, _LEVELS + 1), height[height < top]]))
    # holes level but for rounding: the material between them would be a rounding too
    levels = levels[np.diff(levels, prepend=-top) > 1e-9 * top]
    whole = outer
    total = 0.0
    for low, high in itertools.pairwise(levels):
        above = _above(outer, holes, height, high)
        material = whole.difference(above).intersection(body).area
        if material > 0:
            total += 4 * (above.area * (high - low)) ** 2 / material
        whole = above
    return total


def _top(
    body: shapely.Polygon, outer: shapely.Polygon, holes: list[shapely.Polygon], height: np.ndarray
) -> float:
    """A level near the summit: doubled from the mean thickness until nothing is above, then
    halved."""
    low, high = 0.0, body.area / body.length
    while _above(outer, holes, height, high).area > 0:
        low, high = high, 2 * high
    for _ in range(4):
        middle = (low + high) / 2
        if _above(outer, holes, height, middle).area > 0:
            low = middle
        else:
            high = middle
    return high


def _plateaus(outer: shapely.Polygon, holes: list[shapely.Polygon]) -> np.ndarray:
    """Height of each hole: the shortest way to the outer border, free across holes."""
    height = np.array([outer.exterior.distance(h) for h in holes])
    between = np.array([[a.distance(b) for b in holes] for a in holes])
    for _ in range(len(holes) if len(holes) > 1 else 0):
        nearer = np.minimum(height, (between + height).min(axis=1))
        if np.array_equal(nearer, height):
            break
        height = nearer
    return height


def _above(
    outer: shapely.Polygon, holes: list[shapely.Polygon], height: np.ndarray, level: float
) -> shapely.Geometry:
    """Where the heap is higher than a level."""
    inside = outer.buffer(-level, quad_segs=_ROUND)
    low = [
        hole.buffer(level - h, quad_segs=_ROUND)
        for hole, h in zip(holes, height, strict=True)
        if h < level
    ]
    return inside.difference(shapely.union_all(low)) if low else inside
