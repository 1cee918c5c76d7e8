"""Motion of the outermost corners of a member's sections, which deform."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .solution import DeformingSolution

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Corners:
    """Outermost vertices of the sections that some stations share.

    `rows` (k, 3, n) give their motion, `points` (m, k, 2) their places at the stations numbered
    `own` (m,).
    """

    rows: Array
    points: Array
    own: NDArray[np.intp]


def corners_of(solution: DeformingSolution, z: Array) -> list[Corners]:
    """Corners of every part at stations z; along a taper they move with it."""
    import shapely

    index = np.array([solution.course.index(float(s)) for s in z])
    found = []
    for k in np.unique(index):
        part, own = solution.course.parts[k], np.flatnonzero(index == k)
        section = part.straight
        used = np.unique(section.fields.mesh.triangles[section.elastic.solid])
        first = section.fields.mesh.vertices[used]
        outline = shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(first)))
        hull = np.flatnonzero(np.isin(first @ (1, 1j), outline @ (1, 1j)))
        points = np.broadcast_to(first[hull], (len(own), len(hull), 2))
        if part.taper is not None:
            last = part.taper.last.fields.mesh.vertices[used][hull]
            share = part.taper.share(z[own])[:, None, None]
            points = (1 - share) * first[hull] + share * last
        found.append(Corners(section.fields.coefficients[used[hull]], points, own))
    return found


def deflections(solution: DeformingSolution, z: Array) -> Array:
    """(m, c) largest |u_y| of the outermost corners."""
    _, a, _ = solution.functions(z)
    found = np.zeros((len(z), len(solution.names)))
    for corners in corners_of(solution, z):
        moved = np.einsum("kn,mnc->mkc", corners.rows[:, 1], a[corners.own])
        found[corners.own] = np.abs(moved).max(axis=1)
    return found
