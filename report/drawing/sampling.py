"""Sub-triangulations fine enough to draw or export high-order fields on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ...solver.section.elements.basis import Places, places_at
from ...solver.section.elements.integrals import TrianglePoints, stations_of
from ...solver.section.mesh.section_mesh import SectionMesh

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: Fewest and most cuts of a triangle's edge: it wants about as many as its polynomial order, and
#: few where the mesh is graded toward a corner.
_FEWEST, _MOST = 2, 12


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """Triangles that are cut alike.

    Attributes
    ----------
    triangles : (t,) int
        Of the mesh.
    stations : TrianglePoints
        The cut points of each.
    cells : (c, 3) int
        Small triangles of one of them, as numbers of its points.
    """

    triangles: Ints
    stations: TrianglePoints
    cells: Ints


def patches(mesh: SectionMesh, order: int, spacing: float) -> Iterator[Patch]:
    """The whole mesh cut to about the spacing, in groups of equally cut triangles."""
    edges = np.linalg.norm(mesh.corners - np.roll(mesh.corners, 1, axis=1), axis=2)
    cuts = np.clip(np.ceil(edges.max(axis=1) / spacing), _FEWEST, _MOST).astype(int)
    for n in np.unique(cuts):
        some = np.flatnonzero(cuts == n)
        places, cells = _cut_places(order, int(n))
        yield Patch(some, stations_of(mesh, some, *places), cells)


def turned(points: Array, triangles: Ints) -> Ints:
    """Triangles (m, 3) of points (n, 2) counter-clockwise, as viewers want them."""
    a, b, c = (points[triangles[:, k]] for k in range(3))
    area = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    return np.where(area[:, None] < 0, triangles[:, [0, 2, 1]], triangles)


@lru_cache(maxsize=64)
def _cut_places(order: int, n: int) -> tuple[Places, Ints]:
    """The shape functions at the grid points of `cut_triangle`, and its small triangles."""
    xi, eta, cells = cut_triangle(n)
    return places_at(order, xi, eta), cells


@lru_cache(maxsize=32)
def cut_triangle(n: int) -> tuple[Array, Array, Ints]:
    """Grid points xi, eta of the unit triangle with n cuts an edge, and its n^2 small triangles."""
    i, j = (k.ravel() for k in np.meshgrid(np.arange(n + 1), np.arange(n + 1)))
    inside = i + j <= n
    index = np.full((n + 1, n + 1), -1)
    index[i[inside], j[inside]] = np.arange(int(inside.sum()))
    a, b = (k.ravel() for k in np.meshgrid(np.arange(n), np.arange(n)))
    up, down = a + b < n, a + b < n - 1
    first = np.stack([index[a, b], index[a + 1, b], index[a, b + 1]], axis=1)[up]
    a, b = a[down], b[down]
    second = np.stack([index[a + 1, b], index[a + 1, b + 1], index[a, b + 1]], axis=1)
    return i[inside] / n, j[inside] / n, np.concatenate([first, second])
