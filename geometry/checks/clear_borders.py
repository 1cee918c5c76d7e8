"""Borders that are clear of each other beyond doubt, for many outlines of one build at once.

`validate.check` asks everything of one section and says what is wrong. Of a family of sections that
differ by numbers most are valid by far, and a sufficient condition is enough to know: pieces of the
border that share no vertex are farther apart than the rises of their arcs, and pieces that share
one leave it by chords whose angle is larger than what both arcs turn there. Then no two pieces meet
but where they join, so that every contour is simple and apart from the others.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..outline.alike import AlikeEdges

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: Arcs are looked at in pieces that turn at most this much.
_TURN = np.pi / 4
#: Clear are gaps above this share of an outline's size, and angles above this (radians): both a
#: thousand times what `crossings` takes for nothing.
_GAP, _ANGLE = 1e-6, 1e-3
#: Sizes whose powers stay far from overflow.
_LARGEST = 1e50


def clear_borders(edges: AlikeEdges) -> NDArray[np.bool_]:
    """(k,) which outlines are clear beyond doubt; False says only that `check` must be asked."""
    pieces, _ = edges.cut(_TURN)
    p, q, bulges, after = pieces.start, pieces.end, pieces.bulges, pieces.after
    size = np.ptp(p, axis=1).max(axis=1)
    gap = (_GAP * size)[:, None]
    chord = np.hypot(*np.moveaxis(q - p, 2, 0))
    rise = chord / 2 * np.abs(bulges)
    clear = (size > 1 / _LARGEST) & (size < _LARGEST) & (chord > gap).all(axis=1)
    clear &= _corners_open(p, q, bulges, after)
    i, j = np.triu_indices(len(after), 1)
    apart = (after[i] != j) & (after[j] != i)
    i, j = i[apart], j[apart]
    distance = _chord_distance(p[:, i], q[:, i], p[:, j], q[:, j])
    clear &= (distance > rise[:, i] + rise[:, j] + gap).all(axis=1)
    return np.asarray(clear, dtype=np.bool_)


def _corners_open(p: Array, q: Array, bulge: Array, follows: Ints) -> NDArray[np.bool_]:
    """(k,) whether each piece and the next leave their common vertex by chords farther apart than
    both arcs turn: an arc lies within half its turn of its chord, seen from an end."""
    back, on = p - q, (q - p)[:, follows]
    cross = back[..., 0] * on[..., 1] - back[..., 1] * on[..., 0]
    angle = np.abs(np.arctan2(cross, np.sum(back * on, axis=2)))
    turn = 2 * np.arctan(np.abs(bulge))
    return np.asarray((angle > turn + turn[:, follows] + _ANGLE).all(axis=1))


def _chord_distance(a: Array, b: Array, c: Array, d: Array) -> Array:
    """(k, r) distances between the segments a to b and c to d, (k, r, 2) each; 0 where they
    cross."""
    u, v, w = b - a, d - c, c - a
    uv, uw, vw = _cross(u, v), _cross(u, w), _cross(v, w)
    # c and d on both sides of the one, a and b on both sides of the other; an end on a segment has
    # no distance from it
    crossing = (uw * (uw + uv) < 0) & (vw * (vw + uv) < 0)
    uu, vv = np.sum(u * u, axis=2), np.sum(v * v, axis=2)
    square = np.minimum(
        np.minimum(_square(w, u, uu), _square(d - a, u, uu)),
        np.minimum(_square(-w, v, vv), _square(b - c, v, vv)),
    )
    return np.where(crossing, 0.0, np.sqrt(square))


def _square(rel: Array, along: Array, length2: Array) -> Array:
    """Squared distance of points from segments that begin at the origin."""
    t = np.clip(np.sum(rel * along, axis=2) / length2, 0, 1)
    return np.asarray(np.sum((rel - t[..., None] * along) ** 2, axis=2))


def _cross(u: Array, v: Array) -> Array:
    return np.asarray(u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0])
