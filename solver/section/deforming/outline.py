"""Where the material is: the nearest point of it, its lowest point, and what a cell encloses."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..elements.curved import positions, positions_each
from ..mesh.location import locate
from ..mesh.section_mesh import SectionMesh

if TYPE_CHECKING:
    from shapely import Polygon

Array = NDArray[np.float64]
Point = tuple[float, float]

#: Chords that stand for an arc of the border while its nearest point is sought.
CHORDS = 64

#: Share of the depth by which a level at a face is taken to lie inside, and places along a wall
#: that is met at a level.
_WITHIN, _ALONG = 1e-6, 6

#: Meshes whose borders are kept, as one after another of their points is asked for.
_KEPT = 8

#: Places of local edges (0,1), (0,2), (1,2) of the unit triangle: start and end.
_ENDS = np.array([[[0, 0], [1, 0]], [[0, 0], [0, 1]], [[1, 0], [0, 1]]], float)


def in_material(mesh: SectionMesh, point: Point) -> bool:
    """Whether a point lies in the material or on its border."""
    return bool(locate(mesh, np.array([point], float))[0][0] >= 0)


def nearest_material(mesh: SectionMesh, point: Point) -> Point:
    """The point itself if it lies in the material, else the nearest one on the border."""
    x, y = nearest_materials(mesh, np.array([point], float))[0]
    return (float(x), float(y))


def nearest_materials(mesh: SectionMesh, points: Array) -> Array:
    """The same of many points (k, 2)."""
    found = np.array(points, float)
    away = np.flatnonzero(locate(mesh, found)[0] < 0)
    if not len(away):
        return found
    lines, triangle, local = _border(mesh)
    start, along = lines[:, 0], lines[:, 1] - lines[:, 0]
    size = (along**2).sum(axis=1)
    line, part = np.zeros(len(away), np.intp), np.zeros(len(away))
    for m, n in enumerate(away):
        share = np.clip(((found[n] - start) * along).sum(axis=1) / size, 0.0, 1.0)
        foot = start + share[:, None] * along
        line[m] = np.argmin(((foot - found[n]) ** 2).sum(axis=1))
        part[m] = share[line[m]]
    found[away] = _pulled_in(mesh, triangle[line], local[line], part)
    return found


def lowest_material(mesh: SectionMesh, x: float) -> Point | None:
    """The lowest point of the material on the vertical line through x; None where there is none."""
    lines, triangle, local = _border(mesh)
    a, b = lines[:, 0, 0], lines[:, 1, 0]
    slack = 1e-9 * float(np.ptp(mesh.vertices, axis=0).max())
    across = (np.minimum(a, b) <= x + slack) & (np.maximum(a, b) >= x - slack)
    if not across.any():
        return None
    width = b - a
    flat = np.abs(width) <= slack
    share = np.where(flat, 0.0, (x - a) / np.where(flat, 1.0, width))
    share = np.clip(share, 0.0, 1.0)
    y = lines[:, 0, 1] + share * (lines[:, 1, 1] - lines[:, 0, 1])
    low_end = np.minimum(lines[:, 0, 1], lines[:, 1, 1])
    share = np.where(flat & (lines[:, 1, 1] < lines[:, 0, 1]), 1.0, share)
    y = np.where(flat, low_end, y)
    k = int(np.argmin(np.where(across, y, np.inf)))
    (point,) = _pulled_in(mesh, triangle[[k]], local[[k]], share[[k]]).tolist()
    return (point[0], point[1])


def level_material(mesh: SectionMesh, y: float) -> tuple[Array, Array]:
    """Points (k, 2) along the material at a height, the nearest one that has any, and their weights
    (k,), whose sum is 1."""
    lines, _, _ = _border(mesh)
    low, high = float(lines[..., 1].min()), float(lines[..., 1].max())
    inside = _WITHIN * (high - low)
    y = min(max(y, low + inside), high - inside)
    a, b = lines[:, 0], lines[:, 1]
    met = (a[:, 1] > y) != (b[:, 1] > y)
    share = (y - a[met, 1]) / (b[met, 1] - a[met, 1])
    cuts = np.sort(a[met, 0] + share * (b[met, 0] - a[met, 0])).reshape(-1, 2)
    place, weight = np.polynomial.legendre.leggauss(_ALONG)
    width = np.diff(cuts, axis=1)
    x = cuts[:, :1] + width * (1 + place) / 2
    weights = (width * weight / 2).ravel()
    return np.stack([x.ravel(), np.full(x.size, y)], axis=1), weights / weights.sum()


def level_patterns(points: Array, weights: Array) -> Array:
    """(k, 2, 2) forces at points of a level that work on its mean movement across, and on its
    rotation by the straight line through how far the points move up."""
    off = points[:, 0] - weights @ points[:, 0]
    found = np.zeros((len(points), 2, 2))
    found[:, 0, 0] = weights
    found[:, 1, 1] = weights * off / (weights @ off**2)
    return found


def enclosed(mesh: SectionMesh, points: Array) -> NDArray[np.bool_]:
    """Which of points (k, 2) lie within the outer border, in the material or in a cell."""
    import shapely

    spots, found = shapely.points(points), np.zeros(len(points), bool)
    for ring in _filled_rings(mesh):
        found |= shapely.covers(ring, spots)
    return found


@lru_cache(maxsize=_KEPT)
def _filled_rings(mesh: SectionMesh) -> tuple[Polygon, ...]:
    """What each ring of the border encloses."""
    from shapely import Polygon, linestrings, polygonize

    lines, _, _ = _border(mesh)
    rings = polygonize(list(linestrings(np.round(lines, 9)))).geoms
    return tuple(Polygon(ring.exterior) for ring in rings)


def border_lines(mesh: SectionMesh, chords: int = CHORDS) -> Array:
    """(s, 2, 2) the border of the material, arcs as chords."""
    return _border(mesh, chords)[0]


@lru_cache(maxsize=_KEPT)
def _border(mesh: SectionMesh, chords: int = CHORDS) -> tuple[Array, NDArray[np.intp], Array]:
    """Chords of the border (s, 2, 2), their triangles (s,), and their ends (s, 2, 2) in it."""
    other = mesh.edge_triangles()
    edge = np.flatnonzero(other[:, 1] < 0)
    triangle = other[edge, 0]
    which = np.argmax(mesh.triangle_edges[triangle] == edge[:, None], axis=1)
    arcs = mesh.bulges[edge] != 0
    flat = ~arcs
    lines = [mesh.vertices[_ordered(mesh, triangle[flat], which[flat])]]
    local = [_ENDS[which[flat]]]
    owner = [triangle[flat]]
    for t, k in zip(triangle[arcs], which[arcs], strict=True):
        s = np.linspace(0.0, 1.0, chords + 1)[:, None]
        place = _ENDS[k, 0] * (1 - s) + _ENDS[k, 1] * s
        own = np.array([t])
        corners, bulges = mesh.corners[own], mesh.corner_bulges[own]
        points = positions(corners, bulges, place[:, 0], place[:, 1])[0][0]
        lines.append(np.stack([points[:-1], points[1:]], axis=1))
        local.append(np.stack([place[:-1], place[1:]], axis=1))
        owner.append(np.full(chords, t))
    return np.concatenate(lines), np.concatenate(owner), np.concatenate(local)


def _ordered(
    mesh: SectionMesh, triangle: NDArray[np.intp], which: NDArray[np.intp]
) -> NDArray[np.intp]:
    """(s, 2) vertices of local edges, in the order of the places of their ends."""
    ends = np.array([[0, 1], [0, 2], [1, 2]])[which]
    return np.asarray(mesh.triangles[triangle[:, None], ends], np.intp)


def _pulled_in(mesh: SectionMesh, triangle: NDArray[np.intp], local: Array, share: Array) -> Array:
    """(k, 2) points of border edges by their places in the triangles, so that an arc's own points
    are met."""
    place = local[:, 0] * (1 - share[:, None]) + local[:, 1] * share[:, None]
    return positions_each(mesh.corners[triangle], mesh.corner_bulges[triangle], place)[0]
