"""A simple polygon cut into triangles by its ears: the flat lids over a section's holes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


def ears(points: Array) -> Ints:
    """(n - 2, 3) anticlockwise triangles of a polygon without holes, whichever way it runs.

    An ear is a convex corner whose triangle holds no other corner; every simple polygon has two
    (Meisters, American Mathematical Monthly 82 (1975) 648).

    Parameters
    ----------
    points : (n, 2)
    """
    x, y = points.T
    turned = float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) < 0
    left = list(range(len(points)))[:: -1 if turned else 1]
    out: list[tuple[int, int, int]] = []
    k = misses = 0
    while len(left) > 3 and misses < len(left):
        n = len(left)
        corner = left[k % n], left[(k + 1) % n], left[(k + 2) % n]
        if _is_ear(points, corner, left):
            out.append(corner)
            del left[(k + 1) % n]
            misses = 0
        else:
            k += 1
            misses += 1
    out.append((left[0], left[1], left[2]))
    return np.array(out, dtype=np.int64)


def _is_ear(points: Array, corner: tuple[int, int, int], left: list[int]) -> bool:
    a, b, c = points[list(corner)]
    if _cross(b - a, c - a) <= 0:
        return False
    others = points[[k for k in left if k not in corner]]
    inside = (
        (_cross(b - a, others - a) >= 0)
        & (_cross(c - b, others - b) >= 0)
        & (_cross(a - c, others - c) >= 0)
    )
    return not bool(inside.any())


def _cross(u: Array, v: Array) -> Array:
    return np.asarray(u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0])
