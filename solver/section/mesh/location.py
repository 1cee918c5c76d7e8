"""Where points lie in a mesh: their triangle and their place in it."""

from __future__ import annotations

import numpy as np

from ..elements.curved import positions
from .section_mesh import Array, Ints, SectionMesh


def locate(mesh: SectionMesh, points: Array) -> tuple[Ints, Array, Array]:
    """Triangle (-1: none) and (xi, eta) of each of (n, 2) points."""
    corners = mesh.corners
    low, high = corners.min(axis=1), corners.max(axis=1)
    # an arc rises over its chord by |bulge| chord/2: widen the boxes by it
    rise = (np.abs(mesh.corner_bulges).max(axis=1) * np.ptp(corners, axis=1).max(axis=1))[:, None]
    slack = rise + 1e-9 * np.ptp(mesh.vertices, axis=0).max()
    triangle = np.full(len(points), -1)
    place = np.zeros((len(points), 2))
    for k, point in enumerate(points):
        near = np.flatnonzero(((point >= low - slack) & (point <= high + slack)).all(axis=1))
        if not near.size:
            continue
        xi, eta = invert(mesh, near, np.broadcast_to(point, (len(near), 2)))
        depth = np.minimum(np.minimum(xi, eta), 1 - xi - eta)
        best = int(np.argmax(depth))
        if depth[best] > -1e-7:
            triangle[k] = near[best]
            place[k] = xi[best], eta[best]
    return triangle, place[:, 0], place[:, 1]


def invert(mesh: SectionMesh, triangles: Ints, points: Array) -> tuple[Array, Array]:
    """(xi, eta) of one point in each of the triangles, by Newton's method."""
    corners, bulges = mesh.corners[triangles], mesh.corner_bulges[triangles]
    place = np.full((len(triangles), 2), 1 / 3)
    every = np.arange(len(triangles))
    for _ in range(12):
        # one place a triangle: the diagonal of positions of all places in all triangles would waste
        # work
        x, jac = positions_each(corners, bulges, place)
        step = np.linalg.solve(jac, (points - x)[..., None])[..., 0]
        place[every] += np.clip(step, -1, 1)
        if np.abs(step).max(initial=0) < 1e-13:
            break
    return place[:, 0], place[:, 1]


def positions_each(corners: Array, bulges: Array, place: Array) -> tuple[Array, Array]:
    """Position and Jacobian of one place in each triangle."""
    curved = bulges.any(axis=1)
    xi, eta = place.T
    jac = np.stack([corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]], axis=2)
    x = corners[:, 0] + np.einsum("tij,tj->ti", jac, place)
    for k in np.flatnonzero(curved):
        xk, jk = positions(corners[k, None], bulges[k, None], xi[k, None], eta[k, None])
        x[k], jac[k] = xk[0, 0], jk[0, 0]
    return x, jac
