"""Carriers: where the lines and circles of edges cross, and edges brought to such points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..outline.contour import arc_circles
from .path import Path

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """One straight or arc edge; `shrunk` when its arc has become its centre point."""

    start: Array
    end: Array
    bulge: float
    shrunk: bool = False

    @classmethod
    def of(cls, path: Path, k: int) -> Edge:
        """Edge k of a path (negative: from the end)."""
        k %= len(path)
        return cls(path.points[k], path.points[k + 1], float(path.bulges[k]))

    def circle(self) -> tuple[Array, float]:
        """Centre and radius of an arc edge."""
        centre, radius = arc_circles(self.start[None], self.end[None], np.array([self.bulge]))
        return centre[0], float(radius[0])

    def moved(self, start: Array, end: Array) -> Edge:
        """The edge on the same line or circle with new end points."""
        if self.bulge == 0.0:
            return Edge(start, end, 0.0)
        centre, _ = self.circle()
        sweep = (
            4 * np.arctan(self.bulge)
            - _turn(centre, self.start, start)
            + _turn(centre, self.end, end)
        )
        return Edge(start, end, float(np.tan(sweep / 4)))

    def backwards(self) -> Edge:
        """The same edge run the other way."""
        return Edge(self.end, self.start, -self.bulge, self.shrunk)

    def nearest(self, point: Array) -> tuple[Array, Array]:
        """Point of the edge nearest to a given one, and the unit direction of the edge there."""
        if self.bulge == 0.0:
            d = self.end - self.start
            s = float(np.clip(d @ (point - self.start) / (d @ d), 0, 1))
            return self.start + s * d, d / np.hypot(*d)
        centre, radius = self.circle()
        out = point - centre
        away = float(np.hypot(*out))
        if away > 0 and 0 <= self.fraction(point) <= 1:
            foot = centre + out * (radius / away)
        else:
            foot = min((self.start, self.end), key=lambda p: float(np.hypot(*(p - point))))
        spoke = (foot - centre) / radius * np.sign(self.bulge)
        return foot, np.array([-spoke[1], spoke[0]])

    def fraction(self, point: Array) -> float:
        """Where a point of the edge's line or circle lies: 0 at the start, 1 at the end."""
        if self.bulge == 0.0:
            d = self.end - self.start
            return float(d @ (point - self.start)) / float(d @ d)
        centre, _ = self.circle()
        half = 2 * np.arctan(self.bulge)
        middle = centre + _rotated(self.start - centre, half)
        return 0.5 + _turn(centre, middle, point) / (2 * float(half))


def _turn(centre: Array, first: Array, second: Array) -> float:
    """Angle in (-pi, pi] from one point to another about a centre."""
    return float(np.angle(complex(*(second - centre)) / complex(*(first - centre))))


def _rotated(v: Array, angle: float) -> Array:
    c, s = np.cos(angle), np.sin(angle)
    return np.array([c * v[0] - s * v[1], s * v[0] + c * v[1]])


def meeting_points(a: Edge, b: Edge) -> list[Array]:
    """Points where the lines or circles of two edges cross: none, one or two."""
    if a.bulge == 0.0 and b.bulge == 0.0:
        point = line_crossing(a.start, a.end - a.start, b.start, b.end - b.start)
        return [] if point is None else [point]
    if a.bulge == 0.0:
        return _line_circle(a, *b.circle())
    if b.bulge == 0.0:
        return _line_circle(b, *a.circle())
    return _two_circles(*a.circle(), *b.circle())


def line_crossing(p: Array, d: Array, q: Array, e: Array) -> Array | None:
    """Where the lines p + s d and q + t e cross; None when they are parallel to rounding."""
    cross = d[0] * e[1] - d[1] * e[0]
    if abs(cross) <= 1e-9 * np.hypot(*d) * np.hypot(*e):
        return None
    r = q - p
    point: Array = p + d * ((r[0] * e[1] - r[1] * e[0]) / cross)
    return point


def _line_circle(edge: Edge, centre: Array, radius: float) -> list[Array]:
    d = (edge.end - edge.start) / np.hypot(*(edge.end - edge.start))
    foot = edge.start + d * float(d @ (centre - edge.start))
    half2 = radius**2 - float(np.sum((foot - centre) ** 2))
    return [] if half2 < 0 else [foot - d * np.sqrt(half2), foot + d * np.sqrt(half2)]


def _two_circles(c: Array, r: float, k: Array, s: float) -> list[Array]:
    gap = float(np.hypot(*(k - c)))
    if gap <= 1e-12 * max(r, s):  # concentric
        return []
    along = (gap**2 + r**2 - s**2) / (2 * gap)
    half2 = r**2 - along**2
    u = (k - c) / gap
    left = np.array([-u[1], u[0]])
    return [] if half2 < 0 else [c + along * u + sign * np.sqrt(half2) * left for sign in (-1, 1)]
