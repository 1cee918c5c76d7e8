"""Where walls meet: the lines about which a thin-walled section folds.

On the border they show as re-entrant corners, and as concave arcs of small radius (root fillets,
the insides of bends). The ends of such arcs stand for them.
"""

from __future__ import annotations

import numpy as np

from ....geometry.outline.contour import edge_lengths
from ..mesh.section_mesh import Array, Ints, SectionMesh, border_angles, border_of

#: Interior angle from which a corner is re-entrant; the chords of a round wall turn less.
_REENTRANT = np.deg2rad(200)
#: A concave arc is a fillet or a bend up to this radius, by the section's largest extent; beyond it
#: is a curved wall.
_FILLET = 0.15


def fold_lines(mesh: SectionMesh) -> Ints:
    """Numbers of the vertices that stand for fold lines."""
    border = border_of(mesh)
    angle = border_angles(mesh, border)
    near = np.zeros(len(mesh.vertices), dtype=bool)
    radius = _radii(mesh, border.start, border.end, border.bulges)
    bend = (border.bulges < 0) & (radius < _FILLET * np.ptp(mesh.vertices, axis=0).max())
    near[border.start[bend]] = near[border.end[bend]] = True
    # within an arc the border turns by chords only as far as the mesh cuts it
    return np.flatnonzero(near | (angle > _REENTRANT))


def _radii(mesh: SectionMesh, start: Ints, end: Ints, bulges: Array) -> Array:
    """Radius of each border edge, without bound for straight ones."""
    arc = edge_lengths(mesh.vertices[start], mesh.vertices[end], bulges)
    turned = 4 * np.arctan(np.abs(bulges))
    return np.where(turned > 0, arc / np.where(turned > 0, turned, 1.0), np.inf)
