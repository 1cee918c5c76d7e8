"""What the rays of a sand heap meet (see `heap_rays`): lines, arcs, and vertices that turn back."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.alike import AlikeEdges
from ....geometry.outline.contour import arc_circles, edge_points, edge_tangents

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: What is nothing, by the section's size.
_LEAST = 1e-9
#: Vertices that turn back by less than this (radians) are none.
STRAIGHT = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class HeapBorders:
    """What rays meet: straight edges `lines` by start, direction and length; `arcs` by centre,
    radius, side, middle direction and cosine of half the angle; vertices that turn back as tips;
    each (m, k), with the height of its contour. `slot` (n,) is where each edge stands among what
    is met: lines, arcs, then tips."""

    lines: Ints
    arcs: Ints
    slot: Ints
    x: Array
    y: Array
    u: Array
    v: Array
    length: Array
    height: Array
    tip_x: Array
    tip_y: Array
    tip_height: Array
    arc_height: Array
    cx: Array
    cy: Array
    radius: Array
    side: Array
    mx: Array
    my: Array
    cosine: Array

    def of_rows(self, row: Ints) -> HeapBorders:
        """Those of some outlines, (m, r)."""
        return self._each(lambda part: part[:, row])

    def over_places(self) -> HeapBorders:
        """With an axis for the places of each outline, (m, 1, k)."""
        return self._each(lambda part: part[:, None])

    def _each(self, change) -> HeapBorders:  # type: ignore[no-untyped-def]
        names = [n for n in self.__slots__ if n not in ("lines", "arcs", "slot")]
        return replace(self, **{n: change(getattr(self, n)) for n in names})

    @property
    def count(self) -> int:
        """Numbers that one place has."""
        return len(self.lines) + len(self.arcs) + len(self.tip_x)


def heap_borders(edges: AlikeEdges, heights: Array) -> HeapBorders:
    """Lines, arcs and tips of k alike outlines' edges; `heights` (k, contours) are of the sand at
    each contour."""
    k = len(edges)
    chord = edges.end - edges.start
    length = np.hypot(chord[..., 0], chord[..., 1])
    arcs = np.flatnonzero(edges.bulges[0])
    s, e, b = edges.start[:, arcs], edges.end[:, arcs], edges.bulges[:, arcs]
    flat = s.reshape(-1, 2), e.reshape(-1, 2), b.ravel()
    centre, radius = (part.reshape(k, -1, *part.shape[1:]) for part in arc_circles(*flat))
    middle = edge_points(*flat, np.array([0.5])).reshape(k, -1, 2) - centre
    lines = np.flatnonzero(edges.bulges[0] == 0)
    tips = np.flatnonzero((turns_of(edges) < -STRAIGHT).any(axis=0))
    height = heights[:, edges.contour]
    x, y = edges.start[:, lines].transpose(2, 0, 1)
    u, v = (chord / length[..., None])[:, lines].transpose(2, 0, 1)
    tip_x, tip_y = edges.end[:, tips].transpose(2, 0, 1)
    slot = np.empty(len(edges.after), dtype=np.int64)
    slot[np.append(lines, arcs)] = np.arange(len(slot))
    columns = (
        x, y, u, v, length[:, lines], height[:, lines], tip_x, tip_y, height[:, tips],
        height[:, arcs], centre[..., 0], centre[..., 1], radius, -np.sign(b),
        middle[..., 0] / radius, middle[..., 1] / radius, np.cos(2 * np.arctan(np.abs(b))),
    )  # fmt: skip
    return HeapBorders(lines, arcs, slot, *(np.ascontiguousarray(part.T) for part in columns))


def turns_of(edges: AlikeEdges) -> Array:
    """(k, n) how far the border turns at the end of each edge (radians), to the left."""
    flat = edges.start.reshape(-1, 2), edges.end.reshape(-1, 2), edges.bulges.ravel()
    ends = edge_tangents(*flat, np.array([0.0, 1.0])).reshape(*edges.bulges.shape, 2, 2)
    arriving, leaving = ends[:, :, 1], ends[:, edges.after, 0]
    cross = arriving[..., 0] * leaving[..., 1] - arriving[..., 1] * leaving[..., 0]
    return np.asarray(np.arctan2(cross, np.sum(arriving * leaving, axis=2)))


def meetings(
    x: Array,
    y: Array,
    nx: Array,
    ny: Array,
    height: Array,
    b: HeapBorders,
    free: Array | None = None,
) -> Array:
    """(m, ...) how far rays (...) run until they meet each line, arc and tip; infinite where they
    do not. `free` gets the same of lines and arcs that run on beyond their ends."""
    out = np.full((b.count, *x.shape), np.inf)
    one = len(b.lines)
    two = one + len(b.arcs)
    # what is nothing, as a length: a ray may end just where a plateau begins
    least = _LEAST * float(np.ptp(x) + np.ptp(y))
    with np.errstate(divide="ignore", invalid="ignore"):
        if one:
            rise, dx, dy = height - b.height, x - b.x, y - b.y
            turned = ny * b.u - nx * b.v
            t = (dy * b.u - dx * b.v - rise) / (1 - turned)
            foot = dx * b.u + dy * b.v + t * (nx * b.u + ny * b.v)
            good = (t >= -least) & (t + rise >= -least) & (foot >= 0) & (foot <= b.length)
            good &= turned < 1 - _LEAST
            _put(out, free, slice(0, one), t, good)
        if two > one:
            rise, dx, dy = height - b.arc_height, x - b.cx, y - b.cy
            reached = b.radius + b.side * rise
            toward = nx * dx + ny * dy - reached * b.side
            t = (reached**2 - dx * dx - dy * dy) / (2 * toward)
            far = reached + b.side * t
            good = (dx + t * nx) * b.mx + (dy + t * ny) * b.my >= far * b.cosine
            good &= (t >= -least) & (t + rise >= -least) & (far >= 0) & (np.abs(toward) > least)
            _put(out, free, slice(one, two), t, good)
        if len(b.tip_x):
            rise, dx, dy = height - b.tip_height, x - b.tip_x, y - b.tip_y
            toward = rise - nx * dx - ny * dy
            t = (dx * dx + dy * dy - rise * rise) / (2 * toward)
            good = (toward > least) & (t >= -least) & (t + rise >= -least)
            _put(out, free, slice(two, None), t, good)
    return out


def nearest_of(met: Array) -> tuple[Ints, Array]:
    """Which border each ray meets first, and how far it runs until then, from (m, ...)."""
    least = met[0].copy()
    first = np.zeros(least.shape, dtype=np.int64)
    for k in range(1, len(met)):
        nearer = met[k] < least
        first[nearer] = k
        np.minimum(least, met[k], out=least)
    return first, least


def _put(out: Array, free: Array | None, where: slice, t: Array, good: NDArray[np.bool_]) -> None:
    np.copyto(out[where], t, where=good)
    if free is not None:
        free[where] = t
