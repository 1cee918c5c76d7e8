"""A section that a mode moves, as points, triangles and lines to draw."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...solver.section.deforming.elasticity.fields import Fields, Spots
from ...solver.section.elements.basis import places_at
from ...solver.section.mesh.section_mesh import border_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

Array = NDArray[np.float64]

#: Parts that each triangle's edges are drawn in.
_PARTS = 10


def moved_inside(
    fields: Fields, solid: NDArray[np.bool_], shape: Array
) -> tuple[Array, Array, Array, NDArray[np.int64]]:
    """Points (p, 2), their motion in the plane (p, 2) and along the member (p,), and triangles.

    Parameters
    ----------
    fields : Fields
    solid : (t,) bool
        Which triangles are drawn.
    shape : (count, 3)
        Coefficients of the motion.
    """
    own = np.flatnonzero(solid)
    n = _PARTS
    i, j = np.array([(i, j) for j in range(n + 1) for i in range(n + 1 - j)]).T
    number = np.full((n + 1, n + 1), -1)
    number[i, j] = np.arange(len(i))
    cells = [
        (number[a, b], number[a + 1, b], number[a, b + 1]) for b in range(n) for a in range(n - b)
    ] + [
        (number[a + 1, b], number[a + 1, b + 1], number[a, b + 1])
        for b in range(n - 1)
        for a in range(n - 1 - b)
    ]
    spots = fields.spots(own, places_at(fields.order, i / n, j / n))
    u = _at(fields, spots, shape)
    first = np.arange(len(own))[:, None, None] * len(i)
    triangles = (first + np.array(cells)).reshape(-1, 3)
    flat = u.reshape(-1, 3)
    return spots.points.reshape(-1, 2), flat[:, :2], flat[:, 2], triangles


def moved_border(fields: Fields, solid: NDArray[np.bool_], shape: Array) -> tuple[Array, Array]:
    """(e, k, 2) points along the border's mesh edges, and their motion in the plane."""
    from ...solver.section.deforming.elasticity.part import part_of

    own = np.flatnonzero(solid)
    part = part_of(fields.mesh, 2, own)
    border = border_of(part.mesh)
    local = np.argmax(part.mesh.triangle_edges[border.triangles] == border.edges[:, None], axis=1)
    s = np.linspace(0, 1, 2 * _PARTS + 1)
    zero = np.zeros_like(s)
    # places along the local edges (0, 1), (0, 2) and (1, 2)
    along = ((s, zero), (zero, s), (1 - s, s))
    points = np.empty((len(local), len(s), 2))
    moved = np.empty_like(points)
    for k, (xi, eta) in enumerate(along):
        some = np.flatnonzero(local == k)
        spots = fields.spots(own[border.triangles[some]], places_at(fields.order, xi, eta))
        points[some] = spots.points
        moved[some] = _at(fields, spots, shape)[..., :2]
    return points, moved


def _at(fields: Fields, spots: Spots, shape: Array) -> Array:
    """(t, q, 3) displacements of one shape."""
    c = shape[fields.numbers[spots.triangles]]
    return np.asarray(np.einsum("qn,tnd->tqd", spots.value, c))


def frame_both(ax: Axes, points: Array, moved: Array) -> None:
    """Show the section as it stands (p, 2) and as it has moved (p, 2), without axes."""
    low, high = np.minimum(points, moved).min(axis=0), np.maximum(points, moved).max(axis=0)
    pad = 0.03 * float(np.ptp(points, axis=0).max())
    ax.set_xlim(low[0] - pad, high[0] + pad)
    ax.set_ylim(low[1] - pad, high[1] + pad)
    ax.set_aspect("equal")
    ax.set_axis_off()
