"""Which points lie inside a set of contours."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ..outline.contour import Contour

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]

#: Points times edges compared at once: bounds the memory to some tens of megabytes.
_CHUNK = 400_000


def inside(points: Array, contours: Sequence[Contour]) -> Bools:
    """(n,) whether each point lies inside an odd number of the contours.

    For an outline and its holes together: in the material. Points on an edge fall on either side.
    """
    start = np.vstack([c.points for c in contours])
    end = np.vstack([c.ends for c in contours])
    bulge = np.concatenate([c.bulges for c in contours])
    step = max(1, _CHUNK // len(start))
    parts = [_odd(points[k : k + step], start, end, bulge) for k in range(0, len(points), step)]
    return np.concatenate(parts) if parts else np.zeros(0, dtype=bool)


def _odd(points: Array, start: Array, end: Array, bulge: Array) -> Bools:
    """Parity of a ray's crossings with the chords, corrected for the segments between chord and
    arc.

    Both parts ask on which side of the chord the point is and must agree on it, or a point on the
    chord of an arc would be counted twice; the tie is broken as if the point were moved up, then
    right, by nothing.
    """
    px, py = points[:, None, 0], points[:, None, 1]
    x0, y0, x1, y1 = start[:, 0], start[:, 1], end[:, 0], end[:, 1]
    dx, dy = x1 - x0, y1 - y0
    side = dx * (py - y0) - dy * (px - x0)
    left = (side > 0) | ((side == 0) & ((dx > 0) | ((dx == 0) & (dy < 0))))
    up = dy > 0
    # The ray runs toward +x: it meets an upward chord from the chord's left, a downward one from
    # its right.
    hit = ((y0 <= py) != (y1 <= py)) & (left == up)
    arcs = np.flatnonzero(bulge)
    if arcs.size:
        b, ax, ay = bulge[arcs], dx[arcs], dy[arcs]
        wx, wy = px - x0[arcs], py - y0[arcs]
        # The carrier function of `crossings`, whose sign times the bulge's is negative inside the
        # circle.
        value = 2 * b * (wx * (wx - ax) + wy * (wy - ay)) - (1 - b * b) * (wy * ax - wx * ay)
        hit[:, arcs] ^= (value * np.sign(b) < 0) & (left[:, arcs] == (b < 0))
    return np.asarray(np.count_nonzero(hit, axis=1) % 2 == 1)
