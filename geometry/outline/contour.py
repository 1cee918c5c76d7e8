"""A contour: one closed run of straight and circular-arc edges, kept exact.

Each edge runs from a vertex to the next (the last one closes the run) and carries a *bulge*, the
open DXF convention: the tangent of a quarter of the included angle, positive when the arc turns
anticlockwise from start to end, 0 for a straight edge, 1 for a half circle. An arc is therefore
exact in its end points and one number, and stays so under every similarity; nothing here facets it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..errors import GeometryError
from .placement import Placement

Array = NDArray[np.float64]

#: Gauss-Legendre rule used along an edge; with arcs cut to 45 degrees it integrates the polynomial
#: moments used here (degree up to 7 in the coordinates) to rounding.
_GAUSS_X, _GAUSS_W = np.polynomial.legendre.leggauss(12)
_MAX_ARC = np.pi / 4
#: Angles (4, 1) at which a circle reaches its largest or smallest x or y, and their directions.
_QUARTERS = np.arange(4)[:, None] * np.pi / 2
_COMPASS = np.array([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]])


@dataclass(frozen=True, slots=True, eq=False)
class Contour:
    """A closed run of straight and circular-arc edges.

    Parameters
    ----------
    points : (n, 2) float array
        Vertices in order, the first one not repeated. Any consistent length unit.
    bulges : (n,) float array, optional
        Bulge of the edge from vertex i to vertex i + 1; zeros (all straight) when left out.

    Raises
    ------
    GeometryError
        If the arrays do not have these shapes, hold NaN or infinity, or have too few vertices
        (three for straight edges, two when an edge is an arc).
    """

    points: Array
    bulges: Array

    def __init__(self, points: ArrayLike, bulges: ArrayLike | None = None) -> None:
        p = np.array(points, dtype=float)
        if p.ndim != 2 or p.shape[1:] != (2,):
            raise GeometryError(f"contour points must have shape (n, 2), got {p.shape}")
        b = np.zeros(len(p)) if bulges is None else np.array(bulges, dtype=float)
        if b.shape != (len(p),):
            raise GeometryError(f"one bulge per edge: expected {len(p)} bulges, got {b.shape}")
        bad = np.flatnonzero(~np.isfinite(p).all(axis=1) | ~np.isfinite(b))
        if bad.size:
            i = int(bad[0])
            raise GeometryError(
                f"vertex {i + 1} is not a finite number: {tuple(p[i])}, bulge {b[i]}; give real "
                f"coordinates"
            )
        if len(p) < 2 or (len(p) < 3 and not b.any()):
            raise GeometryError(f"a contour needs three vertices (two with an arc), got {len(p)}")
        p.setflags(write=False)
        b.setflags(write=False)
        object.__setattr__(self, "points", p)
        object.__setattr__(self, "bulges", b)

    # -- constructors ------------------------------------------------------------------------------
    @classmethod
    def circle(cls, centre: Sequence[float], radius: float) -> Contour:
        """The full circle, anticlockwise, as two half-circle edges."""
        x, y = centre
        return cls([[x - radius, y], [x + radius, y]], [1.0, 1.0])

    # -- edges -------------------------------------------------------------------------------------
    def __len__(self) -> int:
        return len(self.points)

    @property
    def ends(self) -> Array:
        """(n, 2) end point of each edge: the next vertex."""
        return np.concatenate([self.points[1:], self.points[:1]])

    @property
    def is_polygon(self) -> bool:
        """True when every edge is straight."""
        return not self.bulges.any()

    def area(self) -> float:
        """Signed enclosed area: positive when the contour runs anticlockwise."""
        p, q = self.points - self.points[0], self.ends - self.points[0]
        straight = 0.5 * float(np.sum(p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]))
        if self.is_polygon:
            return straight
        chord2 = np.sum((q - p) ** 2, axis=1)
        return straight + float(np.sum(segment_area(chord2, self.bulges)))

    def length(self) -> float:
        """Length of the contour, arcs along the arc."""
        return float(np.sum(edge_lengths(self.points, self.ends, self.bulges)))

    def bounds(self) -> tuple[float, float, float, float]:
        """(xmin, ymin, xmax, ymax), exact for arcs."""
        pts = self.points
        if not self.is_polygon:
            pts = np.vstack([pts, arc_extremes(pts, self.ends, self.bulges)])
        (x0, y0), (x1, y1) = pts.min(axis=0), pts.max(axis=0)
        return float(x0), float(y0), float(x1), float(y1)

    # -- transforms --------------------------------------------------------------------------------
    def reversed(self) -> Contour:
        """The same curve run the other way from the same first vertex."""
        return Contour(np.roll(self.points[::-1], 1, axis=0), 0.0 - self.bulges[::-1])

    def oriented(self, anticlockwise: bool = True) -> Contour:
        """This contour, run in the asked direction."""
        return self if (self.area() > 0) == anticlockwise else self.reversed()

    def placed(self, placement: Placement) -> Contour:
        """Its image under a placement, run so that the enclosed side stays on the same hand."""
        image = Contour(
            placement.apply(self.points), -self.bulges if placement.mirrors else self.bulges
        )
        return image.reversed() if placement.mirrors else image

    # -- sampling ----------------------------------------------------------------------------------
    def polyline(self, deviation: float) -> Array:
        """(m, 2) points on the contour whose chords leave the arcs by at most `deviation` (for
        drawing and for predicates only; the solver never sees it)."""
        if self.is_polygon:
            return self.points.copy()
        start, end, bulge = self.points, self.ends, self.bulges
        count = self.chords(deviation)
        edge = np.repeat(np.arange(len(self)), count)
        nth = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
        share = (nth / count[edge])[:, None]
        return edge_points(start[edge], end[edge], bulge[edge], share)[:, 0]

    def chords(self, deviation: float) -> NDArray[np.int64]:
        """(n,) how many equal chords leave each arc by at most `deviation`, two at least and 5000
        at most; 1 for straight edges."""
        count = np.ones(len(self), dtype=np.int64)
        arcs = np.flatnonzero(self.bulges)
        angle = np.abs(4 * np.arctan(self.bulges[arcs]))
        _, radius = arc_circles(self.points[arcs], self.ends[arcs], self.bulges[arcs])
        # a chord's rise 2 R sin^2(step/4); not by arccos, which loses a flat arc's digits
        step = 4 * np.arcsin(np.sqrt(np.minimum(deviation / (2 * radius), 1.0)))
        count[arcs] = np.clip(np.ceil(angle / np.maximum(step, angle / 5000)), 2, 5000)
        return count

    def __repr__(self) -> str:
        arcs = int(np.count_nonzero(self.bulges))
        x0, y0, x1, y1 = self.bounds()
        return f"Contour({len(self)} edges, {arcs} arcs, box ({x0:g}, {y0:g}) to ({x1:g}, {y1:g}))"


# -- kernels on arrays of edges --------------------------------------------------------------------
def segment_area(chord2: Array, bulge: Array) -> Array:
    """Signed area between chord and arc, positive to the right of an anticlockwise arc's chord.

    With half angle a = 2 atan(b): area = (c/(2 sin a))^2 (a - sin a cos a). For small angles the
    difference loses digits, so the series c^2/4 (2a/3 + 2a^3/15 ...) takes over.
    """
    if not bulge.any():
        return np.zeros_like(chord2)
    a = 2 * np.arctan(bulge)
    small = np.abs(a) < 1e-2
    safe = np.where(small, 1.0, a)
    exact = (safe - np.sin(safe) * np.cos(safe)) / np.sin(safe) ** 2
    series = a * (2 / 3 + a**2 * (4 / 45 + a**2 * (4 / 315)))
    return chord2 / 4 * np.where(small, series, exact)


def edge_lengths(start: Array, end: Array, bulge: Array) -> Array:
    """(n,) lengths of the edges."""
    chord = np.hypot(*(end - start).T)
    a = 2 * np.arctan(np.abs(bulge))
    return np.asarray(chord / np.sinc(a / np.pi))


def arc_circles(start: Array, end: Array, bulge: Array) -> tuple[Array, Array]:
    """Centres (n, 2) and radii (n,) of arc edges (bulge must not be 0).

    The centre lies on the left of an anticlockwise arc of less than half a turn, at c (1 - b^2)/(4
    b) from the chord's middle.
    """
    d = end - start
    left = np.stack([-d[:, 1], d[:, 0]], axis=1)
    centre = (start + end) / 2 + left * ((1 - bulge**2) / (4 * bulge))[:, None]
    radius = np.hypot(*d.T) * (1 + bulge**2) / (4 * np.abs(bulge))
    return centre, radius


def edge_points(start: Array, end: Array, bulge: Array, s: Array) -> Array:
    """(n, k, 2) points on each edge at the parameters s in [0, 1], uniform in arc length.

    Written relative to the chord, so it is exact at both ends and has no singular case as the bulge
    vanishes: along = sin(sa)/sin(a) cos((1-s)a), across = -sin(sa) sin((1-s)a)/sin(a), a = half
    angle.
    """
    d = end - start
    if not bulge.any():
        return np.asarray(start[:, None] + np.atleast_2d(s)[..., None] * d[:, None])
    right = np.stack([d[:, 1], -d[:, 0]], axis=1)
    a = 2 * np.arctan(bulge)[:, None]
    s = np.broadcast_to(np.atleast_2d(s), (len(start), np.shape(s)[-1]))
    ratio = s * np.sinc(s * a / np.pi) / np.sinc(a / np.pi)
    along = ratio * np.cos((1 - s) * a)
    across = ratio * np.sin((1 - s) * a)
    moved = along[..., None] * d[:, None] + across[..., None] * right[:, None]
    return np.asarray(start[:, None] + moved)


def edge_tangents(start: Array, end: Array, bulge: Array, s: Array) -> Array:
    """(n, k, 2) derivative of `edge_points` with respect to s: length of the edge times unit
    tangent."""
    d = end - start
    if not bulge.any():
        return np.repeat(d[:, None], np.shape(s)[-1], axis=1)
    right = np.stack([d[:, 1], -d[:, 0]], axis=1)
    a = 2 * np.arctan(bulge)[:, None]
    s = np.broadcast_to(np.atleast_2d(s), (len(start), np.shape(s)[-1]))
    along = np.cos((1 - 2 * s) * a) / np.sinc(a / np.pi)
    across = np.sin((1 - 2 * s) * a) / np.sinc(a / np.pi)
    return np.asarray(along[..., None] * d[:, None] + across[..., None] * right[:, None])


def sub_bulge(bulge: Array, fraction: Array) -> Array:
    """Bulge of a part of an arc that covers the given fraction of its angle."""
    return np.tan(np.arctan(bulge) * fraction)


def arc_extremes(start: Array, end: Array, bulge: Array) -> Array:
    """(m, 2) points where arcs reach their largest or smallest x or y strictly inside the edge."""
    arcs = np.flatnonzero(bulge)
    if not arcs.size:
        return np.empty((0, 2))
    s, e, b = start[arcs], end[arcs], bulge[arcs]
    centre, radius = arc_circles(s, e, b)
    first = np.arctan2(*(s - centre).T[::-1])
    sweep = 4 * np.arctan(b)
    ahead = np.where(sweep > 0, _QUARTERS - first, first - _QUARTERS) % (2 * np.pi)
    quarter, arc = np.nonzero(ahead < np.abs(sweep))
    return np.asarray(centre[arc] + radius[arc, None] * _COMPASS[quarter])


def split_long_arcs(
    start: Array, end: Array, bulge: Array, limit: float
) -> tuple[Array, Array, Array]:
    """The same edges with every arc cut into equal parts of at most `limit` radians."""
    parts = np.maximum(1, np.ceil(np.abs(4 * np.arctan(bulge)) / limit - 1e-9)).astype(int)
    if parts.max(initial=1) == 1:
        return start, end, bulge
    edge = np.repeat(np.arange(len(bulge)), parts)
    k = np.arange(len(edge)) - np.repeat(np.cumsum(parts) - parts, parts)
    n = parts[edge]
    s, e, b = start[edge], end[edge], bulge[edge]
    p = edge_points(s, e, b, np.stack([k / n, (k + 1) / n], axis=1))
    return p[:, 0], p[:, 1], sub_bulge(b, 1 / n)


def edge_quadrature(start: Array, end: Array, bulge: Array) -> tuple[Array, Array]:
    """Gauss points (m, 2) on the edges and weighted tangents (m, 2), dx and dy, for line
    integrals."""
    s, e, b = split_long_arcs(start, end, bulge, _MAX_ARC)
    u = (_GAUSS_X + 1) / 2
    points = edge_points(s, e, b, u)
    steps = edge_tangents(s, e, b, u) * (_GAUSS_W / 2)[:, None]
    return points.reshape(-1, 2), steps.reshape(-1, 2)
