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
    arc_circles,
    edge_lengths,
    edge_points,
    edge_tangents,
    segment_area,
)
from ..mesh.nearness import edge_distance

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: Places along each edge, and into how many parts a piece between three of them is cut where the
#: nearest border changes.
_PLACES, _PARTS = 17, 16
#: Rays start this share of an edge from its ends, where the next edge begins.
_ASIDE = 1e-7
#: What is nothing, by the section's size.
_LEAST = 1e-9
#: Vertices that turn back by less than this (radians) have no fan.
_STRAIGHT = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class _Borders:
    """What rays meet, each (k, n): start `x`, `y`, direction `u`, `v`, length of straight edges;
    centre, radius, side, middle and half angle of arcs; height of each edge's contour."""

    x: Array
    y: Array
    u: Array
    v: Array
    length: Array
    height: Array
    arcs: Ints
    cx: Array
    cy: Array
    radius: Array
    side: Array
    mx: Array
    my: Array
    cosine: Array

    def of_rows(self, row: Ints) -> _Borders:
        """Those of some outlines, (r, n)."""
        return self._each(lambda part: part[row])

    def between(self) -> _Borders:
        """With an axis for the places of each outline, (k, 1, n)."""
        return self._each(lambda part: part[:, None])

    def _each(self, change) -> _Borders:  # type: ignore[no-untyped-def]
        names = [n for n in self.__slots__ if n != "arcs"]
        return _Borders(**{n: change(getattr(self, n)) for n in names}, arcs=self.arcs)


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
    heights = _plateaus(edges)
    borders = _borders(edges, heights)
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


def _borders(edges: AlikeEdges, heights: Array) -> _Borders:
    k = len(edges)
    chord = edges.end - edges.start
    length = np.hypot(chord[..., 0], chord[..., 1])
    arcs = np.flatnonzero(edges.bulges[0])
    s, e, b = edges.start[:, arcs], edges.end[:, arcs], edges.bulges[:, arcs]
    flat = s.reshape(-1, 2), e.reshape(-1, 2), b.ravel()
    centre, radius = (part.reshape(k, -1, *part.shape[1:]) for part in arc_circles(*flat))
    middle = edge_points(*flat, np.array([0.5])).reshape(k, -1, 2) - centre
    return _Borders(
        edges.start[..., 0], edges.start[..., 1], chord[..., 0] / length, chord[..., 1] / length,
        np.where(edges.bulges == 0, length, -1.0), heights[:, edges.contour], arcs,
        centre[..., 0], centre[..., 1], radius, -np.sign(b), middle[..., 0] / radius,
        middle[..., 1] / radius, np.cos(2 * np.arctan(np.abs(b))),
    )  # fmt: skip


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
    k, n = edges.bulges.shape
    flat = edges.start.reshape(-1, 2), edges.end.reshape(-1, 2), edges.bulges.ravel()
    ends = edge_tangents(*flat, np.array([0.0, 1.0])).reshape(k, n, 2, 2)
    arriving, leaving = ends[:, :, 1], ends[:, edges.after, 0]
    cross = arriving[..., 0] * leaving[..., 1] - arriving[..., 1] * leaving[..., 0]
    turn = np.minimum(np.arctan2(cross, np.sum(arriving * leaving, axis=2)), 0.0)
    some = np.flatnonzero((turn < -_STRAIGHT).any(axis=0))
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


def _summed(rays: _Rays, borders: _Borders) -> tuple[Array, Array]:
    """(k,) volume and area of the strips of all groups."""
    k, g, p = rays.x.shape
    n = borders.x.shape[1]
    flat = (part.reshape(k, -1, 1) for part in (rays.x, rays.y, rays.nx, rays.ny))
    height = np.broadcast_to(rays.height, (k, g, p)).reshape(k, -1, 1)
    met = _meetings(*flat, height, borders.between()).reshape(k, g, p, -1)
    _leave_out(met, np.broadcast_to(rays.own[:, None], (g, p, 2)), n)
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
    rays: _Rays, borders: _Borders, row: Ints, group: Ints, piece: Ints
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
    met = _meetings(*flat, np.repeat(height, q, axis=0), borders.of_rows(which))
    n = borders.x.shape[1]
    met = met.reshape(r, q, -1)
    _leave_out(met, np.broadcast_to(rays.own[group][:, None], (r, q, 2)), n)
    nearest = np.argmin(met, axis=2)
    reach = np.take_along_axis(met, nearest[..., None], axis=2)[..., 0]
    one, two = nearest[:, :-1, None], nearest[:, 1:, None]
    low, high = reach[:, :-1], reach[:, 1:]
    with np.errstate(invalid="ignore"):
        far_low = np.take_along_axis(met[:, :-1], two, axis=2)[..., 0] - low
        far_high = np.take_along_axis(met[:, 1:], one, axis=2)[..., 0] - high
        at = far_low / (far_low + far_high)
        top = low + at * (far_high + high - low)
    odd = ~(np.isfinite(top) & (one != two)[..., 0])
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


def _leave_out(met: Array, own: Ints, n: int) -> None:
    """Rays do not meet the edges that they start from."""
    for k in (0, 1):
        index = np.broadcast_to(own[..., k, None], (*met.shape[:-1], 1))
        np.put_along_axis(met, index, np.inf, axis=-1)


def _meetings(x: Array, y: Array, nx: Array, ny: Array, height: Array, b: _Borders) -> Array:
    """(..., 2 n) how far rays (..., 1) run until they meet each edge, and each edge's first vertex;
    infinite where they do not."""
    rise = height - b.height
    dx, dy = x - b.x, y - b.y
    n = dx.shape[-1]
    out = np.full((*dx.shape[:-1], 2 * n), np.inf)
    # what is nothing, as a length: a ray may end just where a plateau begins
    least = _LEAST * float(np.abs(dx).max())
    with np.errstate(divide="ignore", invalid="ignore"):
        across, turned = dy * b.u - dx * b.v, ny * b.u - nx * b.v
        t = (across - rise) / (1 - turned)
        foot = dx * b.u + dy * b.v + t * (nx * b.u + ny * b.v)
        good = (t >= -least) & (t + rise >= -least) & (foot >= 0) & (foot <= b.length)
        out[..., :n] = np.where(good & (turned < 1 - _LEAST), t, np.inf)
        toward = rise - nx * dx - ny * dy
        t = (dx * dx + dy * dy - rise * rise) / (2 * toward)
        good = (toward > least) & (t >= -least) & (t + rise >= -least)
        out[..., n:] = np.where(good, t, np.inf)
        if b.arcs.size:
            own = rise[..., b.arcs]
            ex, ey = x - b.cx, y - b.cy
            reached = b.radius + b.side * own
            toward = nx * ex + ny * ey - b.side * b.radius - own
            t = (reached**2 - ex * ex - ey * ey) / (2 * toward)
            far = reached + b.side * t
            within = (ex + t * nx) * b.mx + (ey + t * ny) * b.my >= far * b.cosine
            good = (t >= -least) & (t + own >= -least) & (far >= 0) & within
            out[..., b.arcs] = np.where(good & (np.abs(toward) > least), t, np.inf)
    return out


def _plateaus(edges: AlikeEdges) -> Array:
    """(k, c) height of each contour: the shortest way to the outer border, free across holes."""
    count = int(edges.contour.max()) + 1
    height = np.zeros((len(edges), count))
    if count == 1:
        return height
    between = _distances(edges, count)
    height[:, 1:] = between[:, 0, 1:]
    for _ in range(count - 2):
        height = np.minimum(height, (between + height[:, None]).min(axis=2))
        height[:, 0] = 0.0
    return height


def _distances(edges: AlikeEdges, count: int) -> Array:
    """(k, c, c) distances between contours: from a vertex to an edge, or along the line from an
    arc's centre to the nearest place of an edge, or from centre to centre of arcs one in the
    other."""
    k = len(edges)
    i, j = np.nonzero(edges.contour[:, None] != edges.contour)
    start, end = (part[:, j].reshape(-1, 2) for part in (edges.start, edges.end))
    bulge = edges.bulges[:, j].ravel()
    near = edge_distance(edges.start[:, i].reshape(-1, 2), start, end, bulge).reshape(k, -1)
    arcs = edges.bulges[0] != 0
    round_ = np.flatnonzero(arcs[i])
    if round_.size:
        near[:, round_] = np.minimum(near[:, round_], _from_arcs(edges, i[round_], j[round_]))
    out = np.full((k, count, count), np.inf)
    for a in range(count):
        for b in range(count):
            if a != b:
                own = (edges.contour[i] == a) & (edges.contour[j] == b)
                out[:, a, b] = near[:, own].min(axis=1)
    return np.minimum(out, out.transpose(0, 2, 1))


def _from_arcs(edges: AlikeEdges, i: Ints, j: Ints) -> Array:
    """(k, r) distances of arcs i and edges j between their ends, infinite where there is none."""
    k = len(edges)
    first, second = (
        [part[:, one].reshape(-1, 2) for part in (edges.start, edges.end)]
        + [edges.bulges[:, one].ravel()]
        for one in (i, j)
    )
    centre, radius = arc_circles(*first)
    middle = edge_points(*first, np.array([0.5]))[:, 0] - centre
    cosine = np.cos(2 * np.arctan(np.abs(first[2])))

    def passes(way: Array) -> NDArray[np.bool_]:
        size = np.hypot(*way.T)
        return np.asarray((way * middle).sum(axis=1) >= size * radius * cosine)

    straight = second[2] == 0
    chord = second[1] - second[0]
    t = np.clip(((centre - second[0]) * chord).sum(axis=1) / (chord**2).sum(axis=1), 0, 1)
    foot = second[0] + t[:, None] * chord - centre
    out = np.where(
        straight & passes(foot) & (np.hypot(*foot.T) > radius), np.hypot(*foot.T) - radius, np.inf
    )
    arcs = np.flatnonzero(~straight)
    if arcs.size:
        other, reach = arc_circles(*(part[arcs] for part in second))
        top = edge_points(*(part[arcs] for part in second), np.array([0.5]))[:, 0] - other
        half = np.cos(2 * np.arctan(np.abs(second[2][arcs])))
        way = other - centre[arcs]
        apart = np.hypot(*way.T)
        own_middle, own_radius = middle[arcs], radius[arcs]

        def both(sign: float, back: float) -> NDArray[np.bool_]:
            mine = sign * (way * own_middle).sum(axis=1) >= apart * own_radius * cosine[arcs]
            its = back * (way * top).sum(axis=1) >= apart * reach * half
            return np.asarray(mine & its)

        outside = np.where(both(1, -1), apart - own_radius - reach, np.inf)
        inside = np.where(both(1, 1), own_radius - apart - reach, np.inf)
        about = np.where(both(-1, -1), reach - apart - own_radius, np.inf)
        each = np.stack([outside, inside, about])
        out[arcs] = np.where(each >= 0, each, np.inf).min(axis=0)
    return out.reshape(k, -1)
