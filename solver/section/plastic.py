"""Plastic moduli: the section clipped exactly at its plastic neutral axes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...geometry.contour import (
    arc_circles,
    edge_points,
    edge_quadrature,
    split_long_arcs,
    sub_bulge,
)
from ...geometry.placement import Placement
from ...geometry.section import Section

Array = NDArray[np.float64]


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
    zx, yn = _modulus(section, weights)
    zy, xn = _modulus(section.placed(Placement.rotate(np.pi / 2)), weights)
    return PlasticModuli(zx, zy, yn, xn)


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
    """Edges cut so that y runs one way along each: (n, 2) ends, (n,) bulges and weights."""

    start: Array
    end: Array
    bulge: Array
    weight: Array


def _modulus(section: Section, weights: Array) -> tuple[float, float]:
    """int |y - y_n| dA over the weighted area, and y_n that halves it."""
    pieces = _monotone(section, weights)
    levels = np.unique(np.concatenate([pieces.start[:, 1], pieces.end[:, 1]]))
    half = _above(pieces, levels[0])[0] / 2
    low, high = 0, len(levels) - 1
    while high - low > 1:
        middle = (low + high) // 2
        if _above(pieces, levels[middle])[0] > half:
            low = middle
        else:
            high = middle
    y = _halving(pieces, half, float(levels[low]), float(levels[high]))
    if high + 1 < len(levels):
        # Where half the area lies above a gap, every level in the gap halves it: take the middle.
        top = high
        while abs(_above(pieces, levels[top])[0] - half) <= 1e-12 * half and top + 1 < len(levels):
            top += 1
        if top > high + 1:
            y = float((levels[high] + levels[top - 1]) / 2)
    return 2 * _above(pieces, y)[1] - _first_moment(pieces, y), y


def _halving(pieces: _Pieces, half: float, low: float, high: float) -> float:
    """Level with half of the area above, by false position (Illinois)."""
    f_low, f_high = _above(pieces, low)[0] - half, _above(pieces, high)[0] - half
    y = high
    for _ in range(100):
        y = (
            (low * f_high - high * f_low) / (f_high - f_low)
            if f_high != f_low
            else (low + high) / 2
        )
        f = _above(pieces, y)[0] - half
        if abs(f) <= 1e-14 * half or high - low <= 1e-15 * max(abs(low), abs(high)):
            break
        if f > 0:  # too much above: the level lies higher
            low, f_low, f_high = y, f, f_high / 2
        else:
            high, f_high, f_low = y, f, f_low / 2
    return float(y)


def _monotone(section: Section, weights: Array) -> _Pieces:
    columns = []
    for w, region in zip(weights, section.regions, strict=True):
        for c in region.contours:
            columns.append((c.points, c.ends, c.bulges, np.full(len(c), w)))
    start, end, bulge, weight = (np.concatenate(column) for column in zip(*columns, strict=True))
    straight = bulge == 0
    parts = []
    for k in np.flatnonzero(~straight):
        centre, _ = arc_circles(start[k, None], end[k, None], bulge[k, None])
        first = np.arctan2(*(start[k] - centre[0])[::-1])
        sweep = 4 * np.arctan(bulge[k])
        turns = (np.pi / 2 + np.pi * np.arange(-4, 5) - first) / sweep
        cut = np.unique(
            np.concatenate([[0.0], turns[(turns > 1e-12) & (turns < 1 - 1e-12)], [1.0]])
        )
        spots = edge_points(start[k, None], end[k, None], bulge[k, None], cut)[0]
        spots[0], spots[-1] = start[k], end[k]
        pieces = split_long_arcs(
            spots[:-1], spots[1:], sub_bulge(bulge[k], np.diff(cut)), np.pi / 6
        )
        parts.append((*pieces, np.full(len(pieces[2]), weight[k])))
    whole = (start[straight], end[straight], bulge[straight], weight[straight])
    return _Pieces(*(np.concatenate(column) for column in zip(whole, *parts, strict=True)))


def _above(pieces: _Pieces, level: float) -> tuple[float, float]:
    """Weighted area above a level and its first moment about the level.

    A = -sum of int (y - level) dx and Q = -sum of int (y - level)^2/2 dx over the stretches of
    edges above the level; the closing pieces lie on the level and add nothing, so nothing has to be
    stitched.
    """
    s, e = pieces.start, pieces.end
    up, down = s[:, 1] >= level, e[:, 1] >= level
    whole, cut = up & down, up != down
    t = _crossing(s[cut], e[cut], pieces.bulge[cut], level)
    first = np.where(up[cut], 0.0, t)
    last = np.where(up[cut], t, 1.0)
    ends = edge_points(s[cut], e[cut], pieces.bulge[cut], np.stack([first, last], axis=1))
    points, steps = edge_quadrature(
        np.vstack([s[whole], ends[:, 0]]),
        np.vstack([e[whole], ends[:, 1]]),
        np.concatenate([pieces.bulge[whole], sub_bulge(pieces.bulge[cut], last - first)]),
    )
    weight = np.concatenate([pieces.weight[whole], pieces.weight[cut]])
    dx = steps[:, 0] * np.repeat(weight, len(points) // max(len(weight), 1))
    h = points[:, 1] - level
    return -float(h @ dx), -float(h**2 @ dx) / 2


def _crossing(start: Array, end: Array, bulge: Array, level: float) -> Array:
    """Parameter at which each piece passes the level (it does so once)."""
    t = (level - start[:, 1]) / (end[:, 1] - start[:, 1])
    arcs = np.flatnonzero(bulge)
    if arcs.size:
        centre, radius = arc_circles(start[arcs], end[arcs], bulge[arcs])
        from_centre = start[arcs] - centre
        first = np.arctan2(from_centre[:, 1], from_centre[:, 0])
        sweep = 4 * np.arctan(bulge[arcs])
        angle = np.arcsin(np.clip((level - centre[:, 1]) / radius, -1, 1))
        angle = np.where(np.cos(first + sweep / 2) > 0, angle, np.pi - angle)
        turned = (angle - first + np.pi) % (2 * np.pi) - np.pi
        t[arcs] = np.clip(turned / sweep, 0, 1)
    return t


def _first_moment(pieces: _Pieces, level: float) -> float:
    """int (y - level) dA of the whole weighted area."""
    points, steps = edge_quadrature(pieces.start, pieces.end, pieces.bulge)
    dx = steps[:, 0] * np.repeat(pieces.weight, len(points) // len(pieces.weight))
    return -float((points[:, 1] - level) ** 2 @ dx) / 2
