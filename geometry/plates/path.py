"""A path: an open run of straight and circular-arc edges, the line a plate follows or a contact
runs along.

Same bulge convention as `contour`: exact for arcs, positive when they turn anticlockwise.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..errors import GeometryError
from ..outline.contour import edge_lengths, edge_points, edge_tangents, sub_bulge

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Path:
    """An open run of edges.

    Parameters
    ----------
    points : (n, 2) float array
        Vertices in order, n >= 2; a path that returns to its start repeats the first one.
    bulges : (n - 1,) float array, optional
        Bulge of the edge from vertex i to vertex i + 1; zeros when left out.

    Raises
    ------
    GeometryError
        For other shapes, numbers that are not finite, or two equal vertices in a row.
    """

    points: Array
    bulges: Array

    def __init__(self, points: ArrayLike, bulges: ArrayLike | None = None) -> None:
        try:
            p = np.array(points, dtype=float)
            b = np.zeros(max(len(p) - 1, 0)) if bulges is None else np.array(bulges, dtype=float)
        except (TypeError, ValueError) as error:
            raise GeometryError(
                "the points of a line are pairs of numbers, [[x, y], [x, y], ...]"
            ) from error
        if p.ndim != 2 or p.shape[1:] != (2,) or len(p) < 2:
            raise GeometryError(
                f"a line needs two points (x, y) or more, got an array of shape {p.shape}"
            )
        if b.shape != (len(p) - 1,):
            raise GeometryError(
                f"{len(p)} points need {len(p) - 1} bulges, one an edge, got {b.size}"
            )
        if not (np.isfinite(p).all() and np.isfinite(b).all()):
            raise GeometryError(
                "a point or bulge of the line is not a finite number; give real coordinates"
            )
        same = np.flatnonzero((p[1:] == p[:-1]).all(axis=1))
        if same.size:
            i = int(same[0])
            raise GeometryError(
                f"points {i + 1} and {i + 2} of the line are the same, {place(p[i])}; drop one"
            )
        p.setflags(write=False)
        b.setflags(write=False)
        object.__setattr__(self, "points", p)
        object.__setattr__(self, "bulges", b)

    def __len__(self) -> int:
        return len(self.bulges)

    @property
    def edge_lengths(self) -> Array:
        """(n - 1,) lengths of the edges, along the arc."""
        return edge_lengths(self.points[:-1], self.points[1:], self.bulges)

    @property
    def length(self) -> float:
        """Length along the path."""
        return float(self.edge_lengths.sum())

    @property
    def returns(self) -> bool:
        """True when the last point is the first one again (to rounding)."""
        size = float(np.abs(self.points - self.points[0]).max())
        return bool(np.hypot(*(self.points[-1] - self.points[0])) <= 1e-9 * size)

    def directions(self) -> tuple[Array, Array]:
        """Unit tangents (n - 1, 2) at the start and at the end of every edge."""
        s, e, b = self.points[:-1], self.points[1:], self.bulges
        t = edge_tangents(s, e, b, np.array([0.0, 1.0]))
        t = t / np.hypot(t[..., 0], t[..., 1])[..., None]
        return t[:, 0], t[:, 1]

    def turns(self) -> Array:
        """(n - 2,) angles by which the direction turns at the inner vertices, anticlockwise."""
        first, last = self.directions()
        a, b = last[:-1], first[1:]
        turn: Array = np.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], np.sum(a * b, axis=1))
        return turn

    def point_at(self, distance: float) -> Array:
        """(2,) the point that lies this far along the path."""
        edge, s = self._locate(distance)
        k = slice(edge, edge + 1)
        start, end = self.points[:-1][k], self.points[1:][k]
        point: Array = edge_points(start, end, self.bulges[k], np.array([s]))[0, 0]
        return point

    def part(self, start: float, end: float) -> Path:
        """The stretch between two distances along the path, start < end."""
        (i, s), (j, t) = self._locate(start), self._locate(end)
        if s == 1.0 and i < len(self) - 1:
            i, s = i + 1, 0.0
        if t == 0.0 and j > 0:
            j, t = j - 1, 1.0
        first = self.points[i] if s == 0.0 else self.point_at(start)
        last = self.points[j + 1] if t == 1.0 else self.point_at(end)
        bulges = self.bulges[i : j + 1].copy()
        if i == j:
            bulges[0] = sub_bulge(bulges[:1], np.array([t - s]))[0]
        else:
            bulges[0] = sub_bulge(bulges[:1], np.array([1 - s]))[0]
            bulges[-1] = sub_bulge(bulges[-1:], np.array([t]))[0]
        return Path(np.vstack([first, self.points[i + 1 : j + 1], last]), bulges)

    def reversed(self) -> Path:
        """The same path run the other way."""
        return Path(self.points[::-1], -self.bulges[::-1])

    def _locate(self, distance: float) -> tuple[int, float]:
        """Edge and fraction of it at a distance along the path."""
        lengths = self.edge_lengths
        reached = np.concatenate([[0.0], np.cumsum(lengths)])
        slack = 1e-12 * reached[-1]
        edge = int(
            np.clip(np.searchsorted(reached, distance + slack, side="right") - 1, 0, len(self) - 1)
        )
        s = float(np.clip((distance - reached[edge]) / lengths[edge], 0.0, 1.0))
        return edge, 0.0 if s * lengths[edge] <= slack else 1.0 if (1 - s) * lengths[
            edge
        ] <= slack else s


def place(point: ArrayLike) -> str:
    """A point as error messages print it: (12.5, 0)."""
    x, y = np.asarray(point, dtype=float) + 0.0  # no "-0"
    return f"({x:.6g}, {y:.6g})"
