"""Which triangle of a mesh holds a point, and where in the unit triangle it lies."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..mesh.section_mesh import Array, Ints, SectionMesh
from .curved import positions

#: How far outside, in shares of the section's size and of a triangle, a point may lie and still
#: count as on the border: coordinates are typed to some seven digits.
_SLACK = 1e-7
#: Newton's steps; arcs are smooth, and from the straight triangle four are enough.
_STEPS = 12


def located(mesh: SectionMesh, points: ArrayLike) -> tuple[Ints, Array, Array]:
    """Triangle, xi and eta of each point; the triangle is -1 where none holds it.

    Parameters
    ----------
    mesh : SectionMesh
    points : (k, 2)

    Returns
    -------
    triangle : (k,) int
        On a common border the first one.
    xi, eta : (k,)
    """
    places = np.asarray(points, float).reshape(-1, 2)
    low, high = _boxes(mesh)
    slack = _SLACK * float(np.linalg.norm(high.max(axis=0) - low.min(axis=0)))
    triangle = np.full(len(places), -1, dtype=np.int64)
    local = np.zeros((2, len(places)))
    for k, place in enumerate(places):
        near = ((low <= place + slack) & (high >= place - slack)).all(axis=1)
        for t in np.flatnonzero(near):
            found = _within(mesh, int(t), place, slack)
            if found is not None:
                triangle[k], local[:, k] = t, found
                break
    return triangle, local[0], local[1]


def _boxes(mesh: SectionMesh) -> tuple[Array, Array]:
    """(t, 2) each: a box around every triangle, its arcs included."""
    corners = mesh.corners
    chord = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1)
    bulge = np.abs(mesh.corner_bulges).max(axis=1)
    room = (bulge * chord / 2)[:, None]
    return corners.min(axis=1) - room, corners.max(axis=1) + room


def _within(mesh: SectionMesh, t: int, place: Array, slack: float) -> NDArray[np.float64] | None:
    """(xi, eta) of a point in a triangle, moved onto its border within the slack; None outside."""
    corners, bulges = mesh.corners[[t]], mesh.corner_bulges[[t]]
    at = np.array([1.0, 1.0]) / 3
    jacobian = np.eye(2)
    for _ in range(_STEPS):
        x, slope = positions(corners, bulges, at[:1], at[1:])
        jacobian = slope[0, 0]
        step = np.linalg.solve(jacobian, place - x[0, 0])
        at = at + step
        if not np.isfinite(at).all() or abs(at).max() > 10:
            return None
        if abs(step).max() < 1e-14 or not bulges.any():
            break
    room = max(_SLACK, slack / float(np.linalg.norm(jacobian, 2)))
    bary = np.array([1 - at.sum(), *at])
    if bary.min() < -room:
        return None
    bary = np.clip(bary, 0, None)
    return np.asarray(bary[1:] / bary.sum())
