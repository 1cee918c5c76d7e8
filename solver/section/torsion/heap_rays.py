"""The sand heap by rays: of many outlines of one build at once, without offsets.

The heap's height is the least, over the borders, of the border's own height (0 on the outer one, a
plateau's on a hole) and the distance to it. So it consists of strips: from each place of a border a
ray runs inward, along which the height grows by one, until another border is as near. A disc that
touches the border there and grows meets edge j when

    line:   t = ((p - q) . m - w) / (1 - n . m),
    arc:    t = ((r + s w)^2 - |p - c|^2) / (2 (n . (p - c) - s r - w)),   s = 1 seen from outside,
    vertex: t = (|p - y|^2 - w^2) / (2 (w + n . (y - p))),

p the place, n the normal there, q and m a point and the normal of the line, c and r centre and
radius, w the height of p's border over j's. (Insert p + t n into "distance = t + w".) The volume is
the integral over the borders of H t + (1 - H k) t^2/2 - k t^3/3 with curvature k, and around each
re-entrant vertex that of H t^2/2 + t^3/3 over the angle. The strips must fill the section: what
their areas leave open tells how good the sum is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.alike import AlikeEdges
from ....geometry.outline.contour import (
    edge_lengths,
    edge_points,
    segment_area,
)
from .contour_distance import plateaus
from .heap_borders import (
    STRAIGHT,
    HeapBorders,
    heap_borders,
    leave_out,
    meetings,
    turns_of,
)

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: Places along each edge, and into how many parts a piece between three of them is cut where the
#: nearest border changes.
_PLACES, _PARTS = 33, 8
#: Rays start this share of an edge from its ends, where the next edge begins.
_ASIDE = 1e-7


@dataclass(frozen=True, slots=True, eq=False)
class _Rays:
    """Rays of k outlines in g groups, from places along an edge or around a vertex.

    Attributes
    ----------
    start, end : (k, g, 2)
    bulge, first, turn : (k, g)
        The edge; the angle of the normal at its start, and how far it turns from there to its end.
    height, curvature, extent : (k, g)
        Of the border; and its length, or the angle of a fan.
    own : (g, 2) int
        Edges that the group's rays do not meet.
    fan : (g,) bool
        Whether they leave from a vertex.
    """

    start: Array
    end: Array
    bulge: Array
    first: Array
    turn: Array
    height: Array
    curvature: Array
    extent: Array
    own: Ints
    fan: NDArray[np.bool_]

    def at(self, row: Ints, group: Ints, share: Array) -> tuple[Array, ...]:
        """Places and directions x, y, nx, ny (r, p) of some groups at shares (r, p) of them."""
        own = row, group
        share = np.clip(share, _ASIDE, 1 - _ASIDE)
        points = edge_points(self.start[own], self.end[own], self.bulge[own], share)
        angle = self.first[own][:, None] + share * self.turn[own][:, None]
        return points[..., 0], points[..., 1], np.cos(angle), np.sin(angle)


def heap_volumes(edges: AlikeEdges) -> tuple[Array, Array]:
    """(k,) volumes of the heaps on k outlines, and what part of its area (k,) each leaves open."""
    heights = plateaus(edges)
    borders = heap_borders(edges, heights)
    volume, area = _summed(_all_rays(edges, heights), borders)
    of_contour = edges.contour[:, None] == np.arange(heights.shape[1])
    sizes = _swept(edges) @ of_contour.astype(float)
    # holes are plateaus; their contours run clockwise
    return volume - np.sum(heights * sizes, axis=1), np.abs(area / sizes.sum(axis=1) - 1)


def _swept(edges: AlikeEdges) -> Array:
    """(k, n) what each edge adds to the signed area of its contour."""
    p, q = (part - edges.start[:, :1] for part in (edges.start, edges.end))
    straight = (p[..., 0] * q[..., 1] - p[..., 1] * q[..., 0]) / 2
    return np.asarray(straight + segment_area(np.sum((q - p) ** 2, axis=2), edges.bulges))


def _all_rays(edges: AlikeEdges, heights: Array) -> _Rays:
    """Along all edges, and around the vertices that turn back."""
    k, n = edges.bulges.shape
    flat = edges.start.reshape(-1, 2), edges.end.reshape(-1, 2), edges.bulges.ravel()
    length, sweep = edge_lengths(*flat).reshape(k, n), 4 * np.arctan(edges.bulges)
    chord = edges.end - edges.start
    first = np.arctan2(chord[..., 0], -chord[..., 1]) - sweep / 2  # of the normal on the left
    turn = np.minimum(turns_of(edges), 0.0)
    some = np.flatnonzero((turn < -STRAIGHT).any(axis=0))
    tips, nothing = edges.end[:, some], np.zeros((k, len(some)))
    itself = np.arange(n)
    return _Rays(
        np.concatenate([edges.start, tips], axis=1),
        np.concatenate([edges.end, tips], axis=1),
        np.concatenate([edges.bulges, nothing], axis=1),
        np.concatenate([first, (first + sweep)[:, some]], axis=1),
        np.concatenate([sweep, turn[:, some]], axis=1),
        heights[:, edges.contour[np.append(itself, some)]],
        np.concatenate([sweep / length, nothing], axis=1),
        np.concatenate([length, -turn[:, some]], axis=1),
        np.stack([np.append(itself, some), np.append(itself, edges.after[some])], axis=1),
        np.arange(n + len(some)) >= n,
    )


def _summed(rays: _Rays, borders: HeapBorders) -> tuple[Array, Array]:
    """(k,) volume and area of the strips of all groups."""
    k, g = rays.bulge.shape
    row, group = np.divmod(np.arange(k * g), g)
    share = np.broadcast_to(np.linspace(0, 1, _PLACES), (k * g, _PLACES))
    x, y, nx, ny = (part.reshape(k, -1, 1) for part in rays.at(row, group, share))
    height = np.repeat(rays.height, _PLACES, axis=1)[..., None]
    met = meetings(x, y, nx, ny, height, borders.between()).reshape(k, g, _PLACES, -1)
    leave_out(met, rays.own[:, None], borders)
    nearest = np.argmin(met, axis=3)
    height, bent, fan = rays.height[..., None], rays.curvature[..., None], rays.fan[:, None]
    reach = _capped(np.take_along_axis(met, nearest[..., None], axis=3)[..., 0], bent)
    # pieces of three places each: by Simpson's rule where one border is the nearest all along
    mixed = ~_unmixed(nearest)
    step = rays.extent[..., None] / (_PLACES - 1)
    out = [
        np.where(mixed, 0.0, _simpson(kind(reach, height, bent, fan)) * step).sum(axis=(1, 2))
        for kind in (_volume, _area)
    ]
    row, group, piece = np.nonzero(mixed)
    if row.size:
        more = _closely(rays, borders, row, group, piece)
        out = [part + np.bincount(row, add, k) for part, add in zip(out, more, strict=True)]
    return out[0], out[1]


def _unmixed(nearest: Ints) -> NDArray[np.bool_]:
    """Which pieces of three places (..., p) have one border nearest to all three."""
    a, m, b = nearest[..., :-1:2], nearest[..., 1::2], nearest[..., 2::2]
    return np.asarray((a == m) & (m == b))


def _simpson(f: Array) -> Array:
    """Integrals over pieces of three places (..., p), by their distance."""
    return np.asarray((f[..., :-1:2] + 4 * f[..., 1::2] + f[..., 2::2]) / 3)


def _closely(
    rays: _Rays, borders: HeapBorders, row: Ints, group: Ints, piece: Ints
) -> tuple[Array, Array]:
    """Volume and area of pieces within which the nearest border changes, cut into parts: between
    two places the rays end on two borders' planes, which meet where both are as far."""
    r, q = len(row), _PARTS + 1
    width = 2 / (_PLACES - 1)
    share = (piece[:, None] + np.linspace(0, 1, q)) * width
    x, y, nx, ny = (part.reshape(-1, 1) for part in rays.at(row, group, share))
    height, bent = rays.height[row, group][:, None], rays.curvature[row, group][:, None]
    free = np.empty((r * q, borders.count))
    own = borders.of_rows(np.repeat(row, q))
    met = meetings(x, y, nx, ny, np.repeat(height, q, axis=0), own, free).reshape(r, q, -1)
    beyond = free.reshape(r, q, -1)
    leave_out(met, rays.own[group][:, None], borders)
    nearest = np.argmin(met, axis=2)
    reach = np.take_along_axis(met, nearest[..., None], axis=2)[..., 0]
    one, two = nearest[:, :-1, None], nearest[:, 1:, None]
    low, high = reach[:, :-1], reach[:, 1:]
    with np.errstate(invalid="ignore"):
        far_low = np.take_along_axis(beyond[:, :-1], two, axis=2)[..., 0] - low
        far_high = np.take_along_axis(beyond[:, 1:], one, axis=2)[..., 0] - high
        at = far_low / (far_low + far_high)
        top = low + at * (far_high + high - low)
        odd = ~((at >= 0) & (at <= 1) & np.isfinite(top) & (one != two)[..., 0])
    at, top = np.where(odd, 0.5, at), np.where(odd, (low + high) / 2, top)
    low, high, top, reach = (_capped(part, bent) for part in (low, high, top, reach))
    step = rays.extent[row, group][:, None] * width / _PARTS
    fan, same = rays.fan[group][:, None], _unmixed(nearest)
    out = []
    for kind in (_volume, _area):
        bits = np.zeros((r, _PARTS))
        for a, b, part in ((low, top, at), (top, high, 1 - at)):
            f = [kind(z, height, bent, fan) for z in (a, (a + b) / 2, b)]
            bits += part * (f[0] + 4 * f[1] + f[2]) / 6
        smooth = _simpson(kind(reach, height, bent, fan))
        out.append((np.where(same, smooth, bits[:, ::2] + bits[:, 1::2]) * step).sum(axis=1))
    return out[0], out[1]


def _volume(reach: Array, height: Array, bent: Array, fan: NDArray[np.bool_]) -> Array:
    plain = reach * (height + reach * ((1 - height * bent) / 2 - bent * reach / 3))
    return np.where(fan, reach**2 * (height / 2 + reach / 3), plain)


def _area(reach: Array, height: Array, bent: Array, fan: NDArray[np.bool_]) -> Array:
    return np.where(fan, reach**2 / 2, reach * (1 - bent * reach / 2))


def _capped(reach: Array, bent: Array) -> Array:
    """Rays from inside an arc end in its centre at the latest."""
    return np.minimum(reach, np.where(bent > 0, 1 / np.where(bent > 0, bent, 1.0), np.inf))
