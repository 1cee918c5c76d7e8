"""Where values sampled on triangles are high and no neighbour is higher."""

from __future__ import annotations

import numpy as np

from ..mesh.location import invert
from ..mesh.section_mesh import Array, Ints, SectionMesh

#: Neighbours lie within so many spacings of the samples.
_REACH = 1.2
#: So many of the highest are looked at: of those left out, each has a higher one beside it or the
#: values are alike everywhere.
_MOST = 3000
#: A weight of a triangle's corner below this is none.
_ON_BORDER = 1e-9


def high_places(
    mesh: SectionMesh, points: Array, values: Array, intervals: int, least: float
) -> Ints:
    """Samples at least so high to which none beside them is higher, in their own triangle or the
    next, the highest first.

    Parameters
    ----------
    mesh : SectionMesh
    points : (t, q, 2)
        Samples of each triangle, on a lattice of so many `intervals` a side.
    values : (t, q)
    intervals : int
    least : float

    Returns
    -------
    (m, 2) int
        Triangle and sample.
    """
    from scipy.spatial import cKDTree

    rows = np.argwhere(values >= least)
    rows = rows[np.argsort(-values[tuple(rows.T)], kind="stable")[:_MOST]]
    high, spots = values[tuple(rows.T)], points[tuple(rows.T)]
    sides = mesh.corners - np.roll(mesh.corners, 1, axis=1)
    length = np.hypot(sides[..., 0], sides[..., 1]).max(axis=1)
    # beside a larger triangle its samples are the next
    around = np.zeros(len(mesh.vertices))
    np.maximum.at(around, mesh.triangles.ravel(), np.repeat(length, 3))
    reach = _REACH / intervals * around[mesh.triangles].max(axis=1)
    beside = cKDTree(spots).query_ball_point(spots, reach[rows[:, 0]])
    return rows[[high[min(near)] <= high[k] for k, near in enumerate(beside)]]


def beside(
    mesh: SectionMesh, triangle: int, place: tuple[float, float], point: tuple[float, float]
) -> list[tuple[int, tuple[float, float]]]:
    """The other triangles in which a place on the border of a triangle lies too, with (xi, eta)
    there.

    Parameters
    ----------
    mesh : SectionMesh
    triangle : int
    place : (xi, eta)
    point : (x, y)
        The same in the axes of the input.
    """
    weight = np.array([1 - place[0] - place[1], *place])
    if weight.min() > _ON_BORDER:
        return []
    own = mesh.triangles[triangle][weight > _ON_BORDER]
    some = np.flatnonzero(np.isin(mesh.triangles, own).sum(axis=1) == len(own))
    some = some[some != triangle]
    xi, eta = invert(mesh, some, np.repeat([point], len(some), axis=0))
    return [(int(t), (float(a), float(b))) for t, a, b in zip(some, xi, eta, strict=True)]
