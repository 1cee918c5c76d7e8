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
    edge_tangents,
    segment_area,
)
from .contour_distance import plateaus
from .heap_borders import (
    STRAIGHT,
    HeapBorders,
    heap_borders,
    leave_out,
    meetings,
    tangents_of,
    turns_of,
)

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: Places along each edge, and into how many parts a piece between three of them is cut where the
#: nearest border changes.
_PLACES, _PARTS = 17, 16
#: Rays start this share of an edge from its ends, where the next edge begins.
_ASIDE = 1e-7


@dataclass(frozen=True, slots=True, eq=False)
class _Rays:
    """Places and directions of rays, (k, g, p) in g groups along an edge or around a vertex: with
    the height and curvature of their border (k, g, 1), the length or angle (k, g) of the group, the
    edges (g, 2) that its rays do not meet, and whether it is a fan (g,)."""

    x: Array
    y: Array
    nx: Array
    ny: Array
    height: Array
    curvature: Array
    extent: Array
    own: Ints
    fan: NDArray[np.bool_]


def heap_volumes(edges: AlikeEdges) -> tuple[Array, Array]:
    """(k,) volumes of the heaps on k outlines, and what part of its area (k,) each leaves open."""
    heights = plateaus(edges)
    borders = heap_borders(edges, heights)
    parts = [_along_edges(edges, heights), *_around_vertices(edges, heights)]
    place, volume, area = (np.zeros(len(edges)) for _ in range(3))
    for rays in parts:
        more = _summed(rays, borders)
        volume, area = volume + more[0], area + more[1]
    of_contour = edges.contour[:, None] == np.arange(heights.shape[1])
    sizes = _swept(edges) @ of_contour.astype(float)
    volume = volume - np.sum(heights * sizes, axis=1)
    place = sizes.sum(axis=1)
    return volume, np.abs(area / place - 1)


def _swept(edges: AlikeEdges) -> Array:
    """(k, n) what each edge adds to the signed area of its contour."""
    p, q = (part - edges.start[:, :1] for part in (edges.start, edges.end))
    straight = (p[..., 0] * q[..., 1] - p[..., 1] * q[..., 0]) / 2
    return np.asarray(straight + segment_area(np.sum((q - p) ** 2, axis=2), edges.bulges))


def _along_edges(edges: AlikeEdges, heights: Array) -> _Rays:
    k, n = edges.bulges.shape
    s = np.clip(np.linspace(0, 1, _PLACES), _ASIDE, 1 - _ASIDE)
    flat = edges.start.reshape(-1, 2), edges.end.reshape(-1, 2), edges.bulges.ravel()
    points = edge_points(*flat, s).reshape(k, n, -1, 2)
    along = edge_tangents(*flat, s).reshape(k, n, -1, 2)
    length = edge_lengths(*flat).reshape(k, n)
    along /= length[..., None, None]
    bent = 4 * np.arctan(edges.bulges) / length
    own = np.repeat(np.arange(n)[:, None], 2, axis=1)
    return _Rays(
        points[..., 0], points[..., 1], -along[..., 1], along[..., 0],
        heights[:, edges.contour, None], bent[..., None], length, own, np.zeros(n, dtype=bool),
    )  # fmt: skip


def _around_vertices(edges: AlikeEdges, heights: Array) -> list[_Rays]:
    """Fans around the vertices that turn back, if there are any."""
    k, arriving = len(edges), tangents_of(edges)[0]
    turn = np.minimum(turns_of(edges), 0.0)
    some = np.flatnonzero((turn < -STRAIGHT).any(axis=0))
    if not some.size:
        return []
    first = np.arctan2(arriving[:, some, 0], -arriving[:, some, 1])  # of the normal on the left
    way = first[..., None] + np.linspace(0, 1, _PLACES) * turn[:, some, None]
    at = edges.end[:, some, None]
    return [
        _Rays(
            np.broadcast_to(at[..., 0], way.shape), np.broadcast_to(at[..., 1], way.shape),
            np.cos(way), np.sin(way), heights[:, edges.contour[some], None],
            np.zeros((k, len(some), 1)), -turn[:, some],
            np.stack([some, edges.after[some]], axis=1), np.ones(len(some), dtype=bool),
        )
    ]  # fmt: skip


def _summed(rays: _Rays, borders: HeapBorders) -> tuple[Array, Array]:
    """(k,) volume and area of the strips of all groups."""
    k, g, p = rays.x.shape
    flat = (part.reshape(k, -1, 1) for part in (rays.x, rays.y, rays.nx, rays.ny))
    height = np.broadcast_to(rays.height, (k, g, p)).reshape(k, -1, 1)
    met = meetings(*flat, height, borders.between()).reshape(k, g, p, -1)
    leave_out(met, rays.own[:, None], borders)
    nearest = np.argmin(met, axis=3)
    reach = _capped(np.take_along_axis(met, nearest[..., None], axis=3)[..., 0], rays.curvature)
    # pieces of three places each: by Simpson's rule where one border is the nearest all along
    a, m, b = nearest[..., :-1:2], nearest[..., 1::2], nearest[..., 2::2]
    mixed = (a != m) | (m != b)
    step = (rays.extent / (p - 1))[..., None]
    out = []
    fan = rays.fan[:, None]
    for kind in (_volume, _area):
        density = kind(reach, rays.height, rays.curvature, fan)
        whole = (density[..., :-1:2] + 4 * density[..., 1::2] + density[..., 2::2]) * step / 3
        out.append(np.where(mixed, 0.0, whole).sum(axis=(1, 2)))
    row, group, piece = np.nonzero(mixed)
    if row.size:
        more = _closely(rays, borders, row, group, piece)
        out = [part + np.bincount(row, add, k) for part, add in zip(out, more, strict=True)]
    return out[0], out[1]


def _closely(
    rays: _Rays, borders: HeapBorders, row: Ints, group: Ints, piece: Ints
) -> tuple[Array, Array]:
    """Volume and area of pieces within which the nearest border changes, cut into parts: between
    two places the rays end on two borders' planes, which meet where both are as far."""
    share = np.linspace(0, 2, _PARTS + 1)
    ends = []
    for part in (rays.x, rays.y, rays.nx, rays.ny):
        low, mid, high = (part[row, group, 2 * piece + i][:, None] for i in range(3))
        # through three places of a line, an arc or a turn: good to the third order
        t = share[None]
        ends.append((1 - t) * (2 - t) / 2 * low + t * (2 - t) * mid + t * (t - 1) / 2 * high)
    x, y, nx, ny = ends
    size = np.hypot(nx, ny)
    r, q = x.shape
    which = np.repeat(row, q)
    height, bent = rays.height[row, group], rays.curvature[row, group]
    flat = (part.reshape(-1, 1) for part in (x, y, nx / size, ny / size))
    free = np.empty((r * q, borders.count))
    met = meetings(*flat, np.repeat(height, q, axis=0), borders.of_rows(which), free)
    met, free = met.reshape(r, q, -1), free.reshape(r, q, -1)
    leave_out(met, rays.own[group][:, None], borders)
    nearest = np.argmin(met, axis=2)
    reach = np.take_along_axis(met, nearest[..., None], axis=2)[..., 0]
    one, two = nearest[:, :-1, None], nearest[:, 1:, None]
    low, high = reach[:, :-1], reach[:, 1:]
    with np.errstate(invalid="ignore"):
        far_low = np.take_along_axis(free[:, :-1], two, axis=2)[..., 0] - low
        far_high = np.take_along_axis(free[:, 1:], one, axis=2)[..., 0] - high
        at = far_low / (far_low + far_high)
        top = low + at * (far_high + high - low)
    odd = ~((at >= 0) & (at <= 1) & np.isfinite(top) & (one != two)[..., 0])
    at, top = np.where(odd, 0.5, at), np.where(odd, (low + high) / 2, top)
    low, high, top, reach = (_capped(part, bent) for part in (low, high, top, reach))
    step = (rays.extent[row, group] * 2 / (rays.x.shape[2] - 1) / _PARTS)[:, None]
    fan = rays.fan[group][:, None]
    same = (nearest[:, :-2:2] == nearest[:, 1::2]) & (nearest[:, 1::2] == nearest[:, 2::2])
    out = []
    for kind in (_volume, _area):
        bits = np.zeros((r, _PARTS))
        for p, q_, width in ((low, top, at), (top, high, 1 - at)):
            f = [kind(z, height, bent, fan) for z in (p, (p + q_) / 2, q_)]
            bits += width * (f[0] + 4 * f[1] + f[2]) / 6
        f_ = kind(reach, height, bent, fan)
        smooth = (f_[:, :-2:2] + 4 * f_[:, 1::2] + f_[:, 2::2]) / 3
        pairs = np.where(same, smooth, bits[:, ::2] + bits[:, 1::2])
        out.append((pairs * step).sum(axis=1))
    return out[0], out[1]


def _volume(reach: Array, height: Array, bent: Array, fan: NDArray[np.bool_]) -> Array:
    plain = reach * (height + reach * ((1 - height * bent) / 2 - bent * reach / 3))
    return np.where(fan, reach**2 * (height / 2 + reach / 3), plain)


def _area(reach: Array, height: Array, bent: Array, fan: NDArray[np.bool_]) -> Array:
    return np.where(fan, reach**2 / 2, reach * (1 - bent * reach / 2))


def _capped(reach: Array, bent: Array) -> Array:
    """Rays from inside an arc end in its centre at the latest."""
    return np.minimum(reach, np.where(bent > 0, 1 / np.where(bent > 0, bent, 1.0), np.inf))
