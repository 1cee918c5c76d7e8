"""Data of the soap film: the stress function of a unit torque as a surface over the section.

The film is fixed to the outer border at height 0. Over a hole lies a flat, weightless lid that
rises until it is in balance: the stress function is constant there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...geometry.outline.contour import edge_points
from .ears import ears
from .packing import field, floats, indices

if TYPE_CHECKING:
    from ...solver.section.torsion.interval import TorsionField

Array = NDArray[np.float64]

#: Chords of a drawn arc leave it by this share of the section's size, and the most of them.
_DEVIATION, _MOST_CHORDS = 2e-4, 48
#: A loop of less area than this share of the largest is a slit: no lid fits into it.
_NO_AREA = 1e-9


def film_data(film: Array, torsion: TorsionField, torsion_constant: float) -> dict[str, Any]:
    """Height of the film at the samples, and lids over the holes, per unit torque."""
    heights = torsion.hole_values / torsion_constant
    areas = torsion.border.loop_areas
    lids = []
    for loop in np.flatnonzero(areas < -_NO_AREA * areas.max()):
        rim = _rim(torsion, int(loop))
        lids.append(
            {
                "points": floats(rim),
                "triangles": indices(ears(rim)),
                "height": float(heights[loop]),
            }
        )
    return {"height": field(film), "lids": lids}


def _rim(torsion: TorsionField, loop: int) -> Array:
    """(m, 2) points along one loop of the border, in order."""
    mesh, border = torsion.mesh, torsion.border
    edges = np.flatnonzero(border.loop == loop)
    following = {int(border.start[e]): int(e) for e in edges}
    run = [int(edges[0])]
    while len(run) < len(edges):
        run.append(following[int(border.end[run[-1]])])
    size = float(np.ptp(mesh.vertices, axis=0).max())
    parts = []
    for e in run:
        a, b = mesh.vertices[border.start[e]], mesh.vertices[border.end[e]]
        bulge = float(border.bulges[e])
        # sagitta of n chords of an arc: about |bulge| chord / (2 n^2)
        sag = abs(bulge) * float(np.hypot(*(b - a))) / 2
        chords = int(np.clip(np.ceil(np.sqrt(sag / (_DEVIATION * size))), 1, _MOST_CHORDS))
        steps = np.arange(chords) / chords
        parts.append(edge_points(a[None], b[None], np.array([bulge]), steps)[0])
    return np.concatenate(parts)
