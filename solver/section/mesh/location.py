"""Where points lie in a mesh: their triangle and their place in it."""

from __future__ import annotations

import numpy as np

from ..elements.curved import positions_each
from .section_mesh import Array, Ints, SectionMesh

#: Pairs of points and triangles looked at at once.
_PAIRS = 1_000_000


def locate(mesh: SectionMesh, points: Array) -> tuple[Ints, Array, Array]:
    """Triangle (-1: none) and (xi, eta) of each of (n, 2) points."""
    corners = mesh.corners
    low, high = corners.min(axis=1), corners.max(axis=1)
    # an arc rises over its chord by |bulge| chord/2: widen the boxes by it
    rise = (np.abs(mesh.corner_bulges).max(axis=1) * np.ptp(corners, axis=1).max(axis=1))[:, None]
    slack = rise + 1e-9 * np.ptp(mesh.vertices, axis=0).max()
    low, high = low - slack, high + slack
    step = max(1, _PAIRS // max(len(corners), 1))
    pairs = [_boxed(points[k : k + step], low, high, k) for k in range(0, len(points), step)]
    which, near = np.concatenate([np.zeros((2, 0), int), *pairs], axis=1)
    inside = invert(mesh, near, points[which])
    depth = np.minimum(np.minimum(*inside), 1 - sum(inside))
    triangle = np.full(len(points), -1)
    place = np.zeros((len(points), 2))
    # By point, the deepest place first, of those alike the first triangle.
    order = np.lexsort((near, -depth, which))
    first = order[np.unique(which[order], return_index=True)[1]]
    first = first[depth[first] > -1e-7]
    triangle[which[first]] = near[first]
    place[which[first]] = np.stack(inside, axis=1)[first]
    return triangle, place[:, 0], place[:, 1]


def _boxed(points: Array, low: Array, high: Array, first: int) -> Ints:
    """(2, m) points, numbered from `first`, and the triangles in whose boxes they lie."""
    x, y = points[:, None, 0], points[:, None, 1]
    across = (x >= low[:, 0]) & (x <= high[:, 0])
    number, triangle = np.nonzero(across & (y >= low[:, 1]) & (y <= high[:, 1]))
    return np.array([number + first, triangle])


def invert(mesh: SectionMesh, triangles: Ints, points: Array) -> tuple[Array, Array]:
    """(xi, eta) of one point in each of the triangles, by Newton's method."""
    corners, bulges = mesh.corners[triangles], mesh.corner_bulges[triangles]
    place = np.full((len(triangles), 2), 1 / 3)
    left = np.arange(len(triangles))
    for _ in range(12):
        x, jac = positions_each(corners[left], bulges[left], place[left])
        step = np.linalg.solve(jac, (points[left] - x)[..., None])[..., 0]
        place[left] += np.clip(step, -1, 1)
        left = left[np.abs(step).max(axis=1) >= 1e-13]
        if not left.size:
            break
    return place[:, 0], place[:, 1]
