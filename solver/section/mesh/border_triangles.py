"""Triangles between the points of the borders alone, without a mesh generator.

Between walls whose borders are broken into pieces about as long as the walls are thick, Delaunay's
triangles of the border points are as good as any, and polynomials of high order want no more of
them. Where they are slivers, as within a solid of many vertices, points must be set inside.
"""

from __future__ import annotations

import numpy as np

from ....geometry.planar.planar_map import PlanarMap
from .border_chains import loops_of
from .breakpoints import BrokenEdges
from .section_mesh import Array, Ints

#: Height over longest side that each triangle must have, and how long a side may be by the mean of
#: the sizes wanted at its ends.
SLIVER, LONG = 0.05, 2.7
#: Pieces up to which triangles are sought: they are found ear by ear, at quadratic cost.
FEW_PIECES = 400
#: How far the triangles' areas may add up to another than their face's, relative.
_ROUNDING = 1e-9


def border_triangles(plan: PlanarMap, broken: BrokenEdges) -> tuple[Array, Ints, Ints] | None:
    """Points (n, 2), triangles (t, 3) and their regions (t,); None where they are no good.

    The points are those of the broken edges.
    """
    if plan.slit.any() or len(broken.pieces) > FEW_PIECES:
        return None
    places = broken.points @ np.array([1, 1j])
    order = np.argsort(places)
    triangles: list[Ints] = []
    for loops in loops_of(plan, broken):
        own = _face_triangles(places, order, loops, broken.size)
        if own is None:
            return None
        triangles.append(own)
    region = np.repeat(np.arange(len(triangles)), [len(own) for own in triangles])
    return broken.points, np.concatenate(triangles), region


def _face_triangles(places: Array, order: Ints, loops: list[Ints], size: Array) -> Ints | None:
    """(t, 3) triangles between the loops of a face; None unless they cover it once and well."""
    import shapely

    borders = [places[loop] for loop in loops]
    rings = [shapely.linearrings(np.stack([b.real, b.imag], axis=1)) for b in borders]
    face = shapely.Polygon(rings[0], rings[1:])
    found = shapely.get_coordinates(shapely.constrained_delaunay_triangles(face))
    corners = (found @ np.array([1, 1j])).reshape(-1, 4)[:, :3]
    if len(corners) != sum(map(len, loops)) + 2 * len(loops) - 4:
        return None
    at = np.searchsorted(places[order], corners)
    triangles = order[np.minimum(at, len(order) - 1)]
    if not np.array_equal(places[triangles], corners):
        return None
    sides = corners[:, (1, 2, 0)] - corners
    length = np.abs(sides)
    twice = np.abs((sides[:, 0].conj() * sides[:, 1]).imag)
    wanted = size[triangles]
    good = (length <= LONG / 2 * (wanted + wanted[:, (1, 2, 0)])).all()
    good &= (twice > SLIVER * length.max(axis=1) ** 2).all()
    near = [border - corners[0, 0] for border in borders]  # far from the origin digits are lost
    whole = sum(float((b.conj() * np.roll(b, -1)).imag.sum()) for b in near)
    return triangles if good and abs(twice.sum() - whole) <= _ROUNDING * whole else None
