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
#: Steps of Newton's method, or of halving, for a plastic neutral axis.
_STEPS = 60


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
    zx, yn = _modulus(_monotone(start, end, bulge, weight))
    zy, xn = _modulus(_monotone(_turned(start), _turned(end), bulge, weight))
    return PlasticModuli(zx, zy, yn, xn)


def plastic_moduli_of(edges: AlikeEdges) -> list[PlasticModuli]:
    """Of many outlines of one build, each of one body and one material."""
    k, n = edges.bulges.shape
    start, end, bulge = edges.start.reshape(-1, 2), edges.end.reshape(-1, 2), edges.bulges.ravel()
    owner, weight = np.repeat(np.arange(k), n), np.ones(k * n)
    zx, yn = _moduli(_monotone(start, end, bulge, weight, owner))
    zy, xn = _moduli(_monotone(_turned(start), _turned(end), bulge, weight, owner))
    columns = (part.tolist() for part in (zx, zy, yn, xn))
    return [PlasticModuli(*row) for row in zip(*columns, strict=True)]


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
    """`_modulus` of many sections, (k,) each, by Newton's method between bounds; with one body the
    width is nowhere 0 between them."""
    k = len(pieces.base)
    low, high = np.full(k, np.inf), np.full(k, -np.inf)
    for ends in (pieces.start, pieces.end):
        np.minimum.at(low, pieces.owner, ends[:, 1])
        np.maximum.at(high, pieces.owner, ends[:, 1])
    bottom = low
    area, moment, _ = _above(pieces, bottom)
    half, y = area / 2, (low + high) / 2
    for _ in range(_STEPS):
        over, first, width = _above(pieces, y)
        more = over - half
        if (np.abs(more) <= 1e-12 * half).all():
            break
        low, high = np.where(more > 0, y, low), np.where(more > 0, high, y)
        step = y + more / np.where(width > 0, width, np.inf)
        y = np.where((low < step) & (step < high), step, (low + high) / 2)
    return 2 * first - (moment - (y - bottom) * area), y


def _modulus(pieces: _Pieces) -> tuple[float, float]:
    """int |y - y_n| dA over the weighted area, and y_n that halves it."""
    levels = np.unique(np.concatenate([pieces.start[:, 1], pieces.end[:, 1]]))
    area, moment, _ = _above_level(pieces, levels[0])
    half = area / 2
    low, high = 0, len(levels) - 1
    over = {low: half, high: -half}  # area above a level less half of all
    while high - low > 1:
        middle = (low + high) // 2
        over[middle] = _above_level(pieces, levels[middle])[0] - half
        if over[middle] > 0:
            low = middle
        else:
            high = middle
    y = _halving(pieces, half, float(levels[low]), float(levels[high]), over[low], over[high])
    top = high
    # Where half the area lies above a gap, every level in the gap halves it: take the middle.
    while abs(over[top]) <= 1e-12 * half and top + 1 < len(levels):
        top += 1
        over[top] = _above_level(pieces, levels[top])[0] - half
    if top > high + 1:
        y = float((levels[high] + levels[top - 1]) / 2)
    return 2 * _above_level(pieces, y)[1] - (moment - (y - levels[0]) * area), y


def _halving(
    pieces: _Pieces, half: float, low: float, high: float, f_low: float, f_high: float
) -> float:
    """Level between two with half of the area above, by Newton's method: the width of the section
    is the slope; where a step would leave the bracket, by false position."""
    y = low + (high - low) * f_low / (f_low - f_high) if f_low > f_high else high
    for _ in range(100):
        area, _, width = _above_level(pieces, y)
        f = area - half
        if abs(f) <= 1e-14 * half or high - low <= 1e-15 * max(abs(low), abs(high)):
            break
        if f > 0:  # too much above: the level lies higher
            low, f_low = y, f
        else:
            high, f_high = y, f
        step = y + f / width if width > 0 else high
        if not low < step < high:
            step = (low * f_high - high * f_low) / (f_high - f_low)
            step = step if low < step < high else (low + high) / 2
        if step == y:
            break
        y = step
    return float(y)


def _monotone(
    start: Array,
    end: Array,
    bulge: Array,
    weight: Array,
    owner: NDArray[np.intp] | None = None,
) -> _Pieces:
    """Cut arcs where they reach their highest and lowest points, and into short ones."""
    owner = np.zeros(len(bulge), dtype=np.intp) if owner is None else owner
    arcs = np.flatnonzero(bulge)
    if arcs.size:
        s, e, b = start[arcs], end[arcs], bulge[arcs]
        centre, _ = arc_circles(s, e, b)
        first = np.arctan2(*(s - centre).T[::-1])
        sweep = 4 * np.arctan(b)
        turns = ((np.pi / 2 + np.pi * np.arange(-4, 5)) - first[:, None]) / sweep[:, None]
        turns[(turns < 1e-12) | (turns > 1 - 1e-12)] = 1.0
        spots = np.sort(np.insert(turns, 0, 0.0, axis=1), axis=1)
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


def _above_level(pieces: _Pieces, level: float) -> tuple[float, float, float]:
    """`_above` of one section."""
    area, moment, width = _above(pieces, np.array([level]))
    return float(area[0]), float(moment[0]), float(width[0])


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
