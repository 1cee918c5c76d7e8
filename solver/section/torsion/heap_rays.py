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
    meetings,
    nearest_of,
    turns_of,
)

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: Places along each edge, then along each piece between three of them in which the nearest border
#: changes or the sum is rough; and how often in all pieces are looked at.
_PLACES, LEVELS = 9, 3
#: Outlines whose rays are in work at once: they stay within the processor's own memory.
_AT_ONCE = 32
#: Two pieces that give this much more or less than one in their place are looked at more closely;
#: their own error is a fifteenth.
_ROUGH = 1e-3
#: Differences of distances that are none, by the section's size.
_AS_NEAR = 1e-9
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


def heap_volumes(edges: AlikeEdges, levels: int = LEVELS) -> tuple[Array, Array]:
    """(k,) volumes of the heaps on k outlines, and what part of its area (k,) each leaves open.
    Where the nearest border changes the strips are looked at `levels` times, ever more closely."""
    heights = plateaus(edges)
    parts = [
        _summed(_all_rays(own, some), heap_borders(own, some), levels)
        for own, some in (
            (edges.rows(slice(k, k + _AT_ONCE)), heights[k : k + _AT_ONCE])
            for k in range(0, len(edges), _AT_ONCE)
        )
    ]
    volume, area = np.concatenate(parts, axis=1)
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


def _summed(rays: _Rays, borders: HeapBorders, levels: int) -> Array:
    """(2, k) volume and area of the strips of all groups."""
    k, g = rays.bulge.shape
    row, group = np.divmod(np.arange(k * g), g)
    begin, width = np.zeros(len(row)), 1.0
    out = np.zeros((2, k))
    for level in range(levels):
        share = begin[:, None] + width * np.linspace(0, 1, _PLACES)
        strips = _Strips.met_by(rays, borders, row, group, share)
        pieces, (parts, rough) = strips.mixed, strips.smooth()
        if level + 1 == levels:
            parts[:, pieces] = strips.cut()[:, pieces]
        else:
            pieces = pieces | rough
            parts[:, pieces] = 0.0
        step = rays.extent[row, group] * width / (_PLACES - 1)
        for total, part in zip(out, parts.sum(axis=1) * step, strict=True):
            total += np.bincount(row, part, k)
        piece, owner = np.nonzero(pieces)
        width *= 2 / (_PLACES - 1)
        row, group, begin = row[owner], group[owner], begin[owner] + piece * width
        if not row.size:
            break
    return out


@dataclass(frozen=True, slots=True, eq=False)
class _Strips:
    """Rays at some places of r strips.

    Attributes
    ----------
    beyond : (m, p, r)
        How far each runs until it meets each border, that runs on beyond its ends.
    nearest, reach : (p, r)
        The border that it meets first, and how far it runs until then.
    mixed : (p // 2, r) bool
        Pieces of three places that have no border in common which is nearest to all three.
    height, bent, most : (r,)
        Height and curvature of the border that it starts from, and how far it may run.
    fan : (r,) bool
    """

    beyond: Array
    nearest: Ints
    reach: Array
    mixed: NDArray[np.bool_]
    height: Array
    bent: Array
    most: Array
    fan: NDArray[np.bool_]

    @classmethod
    def met_by(
        cls, rays: _Rays, borders: HeapBorders, row: Ints, group: Ints, share: Array
    ) -> _Strips:
        """At shares (r, p) of groups."""
        x, y, nx, ny = (np.ascontiguousarray(p.T) for p in rays.at(row, group, share))
        height = rays.height[row, group]
        beyond = np.empty((borders.count, *x.shape))
        met = meetings(x, y, nx, ny, height, borders.of_rows(row).over_places(), beyond)
        for own in borders.slot[rays.own[group]].T:  # rays do not meet what they start from
            met[own, :, np.arange(len(row))] = np.inf
        bent = rays.curvature[row, group]
        # rays from inside an arc end in its centre at the latest
        most = np.where(bent > 0, 1 / np.where(bent > 0, bent, 1.0), np.inf)
        nearest, reach = nearest_of(met)
        nothing = _AS_NEAR * float(np.ptp(x) + np.ptp(y))
        middle, mixed = nearest[None, 1::2], np.zeros((len(x) // 2, len(row)), dtype=bool)
        for side in (slice(0, -1, 2), slice(2, None, 2)):  # two may be as near all along
            its = np.take_along_axis(met[:, side], middle, axis=0)[0]
            mixed |= np.minimum(its, most) > np.minimum(reach[side], most) + nothing
        return cls(beyond, nearest, reach, mixed, height, bent, most, rays.fan[group])

    def smooth(self) -> tuple[Array, NDArray[np.bool_]]:
        """(2, p // 2, r) volume and area of pieces by Simpson's rule, by the places' distance, and
        where (p // 2, r) two pieces in one give something else."""
        f = self._of(self.reach)
        each = (f[:, :-1:2] + 4 * f[:, 1::2] + f[:, 2::2]) / 3
        both, once = each[:, ::2] + each[:, 1::2], (f[:, :-1:4] + 4 * f[:, 2::4] + f[:, 4::4]) / 1.5
        size = np.abs(both)
        least = 0.1 * size.mean(axis=(1, 2), keepdims=True)
        rough = (np.abs(both - once) > _ROUGH * np.maximum(size, least)).any(axis=0)
        return each, np.repeat(rough, 2, axis=0)

    def cut(self) -> Array:
        """The same cut where the nearest border changes: between two places the rays end on two
        borders' planes, which meet where both are as far."""
        one, two = self.nearest[:-1], self.nearest[1:]
        low, high = self.reach[:-1], self.reach[1:]
        with np.errstate(divide="ignore", invalid="ignore"):
            far_low = np.take_along_axis(self.beyond[:, :-1], two[None], axis=0)[0] - low
            far_high = np.take_along_axis(self.beyond[:, 1:], one[None], axis=0)[0] - high
            at = far_low / (far_low + far_high)
            top = low + at * (far_high + high - low)
            odd = ~((at >= 0) & (at <= 1) & np.isfinite(top) & (one != two))
        at, top = np.where(odd, 0.5, at), np.where(odd, (low + high) / 2, top)
        bits = np.zeros((2, *at.shape))
        for a, b, part in ((low, top, at), (top, high, 1 - at)):
            bits += part * (self._of(a) + 4 * self._of((a + b) / 2) + self._of(b)) / 6
        return bits[:, ::2] + bits[:, 1::2]

    def _of(self, reach: Array) -> Array:
        """(2, ...) volume and area of strips as long as the border that they start from, by it."""
        reach, height, bent = np.minimum(reach, self.most), self.height, self.bent
        volume = reach * (height + reach * ((1 - height * bent) / 2 - bent * reach / 3))
        around = reach**2 * (height / 2 + reach / 3)
        area = reach * (1 - bent * reach / 2)
        return np.stack(
            [np.where(self.fan, around, volume), np.where(self.fan, reach**2 / 2, area)]
        )
