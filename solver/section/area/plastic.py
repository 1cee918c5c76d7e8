"""Plastic moduli: the section clipped exactly at its plastic neutral axes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.alike import AlikeEdges
from ....geometry.outline.contour import (
    arc_circles,
    edge_points,
    edge_quadrature,
    split_long_arcs,
    sub_bulge,
)
from ....geometry.section import Section

Array = NDArray[np.float64]

#: Longest arc (radians) that is integrated in one piece.
SHORT = np.pi / 6
#: Steps of Newton's method for a plastic neutral axis.
_STEPS = 100


@dataclass(frozen=True, slots=True)
class PlasticModuli:
    """Plastic section moduli and the neutral axes they belong to.

    Attributes
    ----------
    x, y : float or None
        int |y - y_n| dA and int |x - x_n| dA; in composite sections the full plastic moment over
        the reference strength, None when a strength is missing.
    neutral_y, neutral_x : float or None
        Position of the plastic neutral axis parallel to x (its y) and to y (its x).
    reason : str
        Why there is no value.
    """

    x: float | None
    y: float | None
    neutral_y: float | None
    neutral_x: float | None
    reason: str = ""


def plastic_moduli(section: Section) -> PlasticModuli:
    """Plastic moduli about axes parallel to x and y."""
    weights = _strength_ratios(section)
    if weights is None:
        return PlasticModuli(None, None, None, None, "several materials: give each one a strength")
    columns = [
        (c.points, c.ends, c.bulges, np.full(len(c), w))
        for w, region in zip(weights, section.regions, strict=True)
        for c in region.contours
    ]
    start, end, bulge, weight = (np.concatenate(column) for column in zip(*columns, strict=True))
    (found,) = _about_both(start, end, bulge, weight, np.zeros(len(bulge), dtype=np.intp))
    return found


def plastic_moduli_of(edges: AlikeEdges) -> list[PlasticModuli]:
    """Of many outlines of one build, each of one body and one material."""
    k, n = edges.bulges.shape
    start, end, bulge = edges.start.reshape(-1, 2), edges.end.reshape(-1, 2), edges.bulges.ravel()
    return _about_both(start, end, bulge, np.ones(k * n), np.repeat(np.arange(k), n))


def _about_both(
    start: Array, end: Array, bulge: Array, weight: Array, owner: NDArray[np.intp]
) -> list[PlasticModuli]:
    """Of sections from their edges: those turned by a right angle are as many more of them."""
    pieces = _monotone(
        np.concatenate([start, _turned(start)]),
        np.concatenate([end, _turned(end)]),
        np.tile(bulge, 2),
        np.tile(weight, 2),
        np.concatenate([owner, owner + owner.max() + 1]),
    )
    (zx, zy), (yn, xn) = (part.reshape(2, -1).tolist() for part in _moduli(pieces))
    return [PlasticModuli(*row) for row in zip(zx, zy, yn, xn, strict=True)]


def _turned(points: Array) -> Array:
    """Turned by a right angle, x to y."""
    return np.stack([-points[:, 1], points[:, 0]], axis=1)


def _strength_ratios(section: Section) -> Array | None:
    materials = [r.material for r in section.regions]
    if all(m == materials[0] for m in materials):
        return np.ones(len(materials))
    if any(m.strength is None for m in materials):
        return None
    strength = np.array([m.strength for m in materials], dtype=float)
    return np.asarray(strength / strength[0])


@dataclass(frozen=True, slots=True, eq=False)
class _Pieces:
    """Edges cut so that y runs one way along each: (n, 2) ends, (n,) bulges and weights, the
    section (n,) each is of, and the integrals (n, 3) of 1, y and y^2 dx along each, by
    weight, y from the section's `base` (count,)."""

    start: Array
    end: Array
    bulge: Array
    weight: Array
    owner: NDArray[np.intp]
    base: Array
    sums: Array


def _moduli(pieces: _Pieces) -> tuple[Array, Array]:
    """(k,) int |y - y_n| dA over the weighted area of each section, and y_n that halves it."""
    levels, first = _levels(pieces)
    low, high = first[:-1], first[1:] - 1
    bottom = levels[low]
    area, moment, _ = _above(pieces, bottom)
    half = area / 2
    more, less = half, -half  # area above the two levels less half of all: above 0, and not so
    while (wide := high - low > 1).any():
        middle = np.where(wide, (low + high) // 2, low)
        over = _above(pieces, levels[middle])[0] - half
        up = over > 0
        low, more = np.where(up, middle, low), np.where(up, over, more)
        high, less = np.where(up, high, middle), np.where(up, less, over)
    y, above = _halving(pieces, half, levels[low], levels[high], more, less)
    # Where half the area lies above a gap, every level in the gap halves it: take the middle.
    top = high
    while (gap := (np.abs(less) <= 1e-12 * half) & (top + 1 < first[1:])).any():
        top = top + gap
        less = _above(pieces, levels[top])[0] - half
    amid = np.where(top > high + 1, (levels[high] + levels[top - 1]) / 2, y)
    above = above - (amid - y) * half
    return 2 * above - (moment - (amid - bottom) * area), amid


def _levels(pieces: _Pieces) -> tuple[Array, NDArray[np.intp]]:
    """Heights of all ends, rising, those of one section after those of another; (k + 1,) where
    each section's begin."""
    height = np.concatenate([pieces.start[:, 1], pieces.end[:, 1]])
    owner = np.tile(pieces.owner, 2)
    order = np.lexsort((height, owner))
    height, owner = height[order], owner[order]
    new = np.append(True, (np.diff(height) != 0) | (np.diff(owner) != 0))
    return height[new], np.searchsorted(owner[new], np.arange(len(pieces.base) + 1))


def _halving(
    pieces: _Pieces, half: Array, low: Array, high: Array, f_low: Array, f_high: Array
) -> tuple[Array, Array]:
    """Levels (k,) between two with half of the area above, and the moment of that about them, by
    Newton's method: the width of the section is the slope; where a step would leave the bracket, by
    false position."""
    y = low + (high - low) * f_low / (f_low - f_high)
    for _ in range(_STEPS):
        area, above, width = _above(pieces, y)
        f = area - half
        size = np.maximum(np.abs(low), np.abs(high))
        done = (np.abs(f) <= 1e-14 * half) | (high - low <= 1e-15 * size)
        up = f > 0  # too much above: the level lies higher
        low, f_low = np.where(up, y, low), np.where(up, f, f_low)
        high, f_high = np.where(up, high, y), np.where(up, f_high, f)
        step = np.where(width > 0, y + f / np.where(width > 0, width, 1.0), high)
        for other in ((low * f_high - high * f_low) / (f_high - f_low), (low + high) / 2):
            step = np.where((low < step) & (step < high), step, other)
        done |= step == y
        if done.all():
            break
        y = np.where(done, y, step)
    return y, above


def _monotone(
    start: Array,
    end: Array,
    bulge: Array,
    weight: Array,
    owner: NDArray[np.intp],
) -> _Pieces:
    """Cut arcs where they reach their highest and lowest points, and into short ones."""
    arcs = np.flatnonzero(bulge)
    if arcs.size:
        s, e, b = start[arcs], end[arcs], bulge[arcs]
        centre, _ = arc_circles(s, e, b)
        first = np.arctan2(*(s - centre).T[::-1])
        sweep = 4 * np.arctan(b)
        turns = ((np.pi / 2 + np.pi * np.arange(-4, 5)) - first[:, None]) / sweep[:, None]
        turns[(turns < 1e-12) | (turns > 1 - 1e-12)] = 1.0
        spots = np.sort(np.column_stack([np.zeros(len(turns)), turns]), axis=1)
        arc, k = np.nonzero(np.diff(spots, axis=1))
        low, high = spots[arc, k], spots[arc, k + 1]
        ends = edge_points(s[arc], e[arc], b[arc], np.stack([low, high], axis=1))
        ends[low == 0, 0] = s[arc[low == 0]]
        ends[high == 1, 1] = e[arc[high == 1]]
        cut = sub_bulge(b[arc], high - low)
        parts = _short(ends[:, 0], ends[:, 1], cut, arcs[arc])
        rest = np.flatnonzero(bulge == 0)
        whole = (start[rest], end[rest], bulge[rest], rest)
        start, end, bulge, source = (
            np.concatenate(pair) for pair in zip(whole, parts, strict=True)
        )
        weight, owner = weight[source], owner[source]
    count = int(owner.max()) + 1
    low, high = np.full(count, np.inf), np.full(count, -np.inf)
    np.minimum.at(low, owner, start[:, 1])
    np.maximum.at(high, owner, start[:, 1])
    base = (low + high) / 2
    sums = _sums(start, end, bulge, weight, base[owner])
    return _Pieces(start, end, bulge, weight, owner, base, sums)


def _short(
    start: Array, end: Array, bulge: Array, source: NDArray[np.intp]
) -> tuple[Array, Array, Array, NDArray[np.intp]]:
    """Arcs of at most an eighth of a turn, which the rule of `edge_quadrature` integrates."""
    parts = np.maximum(1, np.ceil(np.abs(4 * np.arctan(bulge)) / SHORT - 1e-9)).astype(int)
    return *split_long_arcs(start, end, bulge, SHORT), np.repeat(source, parts)


def _sums(start: Array, end: Array, bulge: Array, weight: Array, base: Array) -> Array:
    """(n, 3) weighted integrals of 1, y and y^2 dx along pieces, y from each one's base (n,)."""
    y0, y1 = start[:, 1] - base, end[:, 1] - base
    dx = end[:, 0] - start[:, 0]
    out = np.stack([dx, dx * (y0 + y1) / 2, dx * (y0 * y0 + y0 * y1 + y1 * y1) / 3], axis=1)
    arcs = np.flatnonzero(bulge)
    if arcs.size:
        points, steps = edge_quadrature(start[arcs], end[arcs], bulge[arcs])
        y = points[:, 1].reshape(len(arcs), -1) - base[arcs, None]
        along = steps[:, 0].reshape(len(arcs), -1)
        out[arcs] = np.stack([along.sum(1), (y * along).sum(1), (y * y * along).sum(1)], axis=1)
    return np.asarray(out * weight[:, None])


def _above(pieces: _Pieces, levels: Array) -> tuple[Array, Array, Array]:
    """Weighted area above the level (k,) of each section, its first moment about the level, and the
    width there.

    A = -sum of int (y - level) dx and Q = -sum of int (y - level)^2/2 dx over the stretches of
    edges above the level; the closing pieces lie on the level and add nothing, so nothing has to be
    stitched.
    """
    level, count = levels[pieces.owner], len(levels)
    up, down = pieces.start[:, 1] >= level, pieces.end[:, 1] >= level
    sums = pieces.sums * (up & down)[:, None]
    width = np.zeros(len(level))
    cut = np.flatnonzero(up != down)
    if cut.size:
        s, e, bulge, weight = (
            part[cut] for part in (pieces.start, pieces.end, pieces.bulge, pieces.weight)
        )
        rising = down[cut]
        t = _crossing(s, e, bulge, level[cut])
        at = s + t[:, None] * (e - s)
        if bulge.any():
            at = edge_points(s, e, bulge, t[:, None])[:, 0]
            bulge = sub_bulge(bulge, np.where(rising, 1 - t, t))
        at[:, 1] = level[cut]
        rise, base = rising[:, None], pieces.base[pieces.owner[cut]]
        sums[cut] = _sums(np.where(rise, at, s), np.where(rise, e, at), bulge, weight, base)
        width[cut] = weight * np.where(rising, at[:, 0], -at[:, 0])
    h = levels - pieces.base
    zero, one, two, wide = (
        np.bincount(pieces.owner, part, count).astype(np.float64) for part in (*sums.T, width)
    )
    return -(one - h * zero), -(two - 2 * h * one + h * h * zero) / 2, wide


def _crossing(start: Array, end: Array, bulge: Array, level: Array) -> Array:
    """Parameter at which each piece passes its level (n,) (it does so once)."""
    t = (level - start[:, 1]) / (end[:, 1] - start[:, 1])
    arcs = np.flatnonzero(bulge)
    if arcs.size:
        centre, radius = arc_circles(start[arcs], end[arcs], bulge[arcs])
        from_centre = start[arcs] - centre
        first = np.arctan2(from_centre[:, 1], from_centre[:, 0])
        sweep = 4 * np.arctan(bulge[arcs])
        angle = np.arcsin(np.clip((level[arcs] - centre[:, 1]) / radius, -1, 1))
        angle = np.where(np.cos(first + sweep / 2) > 0, angle, np.pi - angle)
        turned = (angle - first + np.pi) % (2 * np.pi) - np.pi
        t[arcs] = np.clip(turned / sweep, 0, 1)
    return t
