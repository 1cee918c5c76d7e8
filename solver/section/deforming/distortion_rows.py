"""Distortion as the theory of thin walls measures it: the angle by which the outline shears, and
the bimoment that goes with it.

The slowest mode of distortion moves the section in its plane by P exp(lambda z) and along the
member by W exp(lambda z). With the angle gamma of P, thin walls warp by u_z = omega gamma', so that
omega = W / (lambda gamma); what shear strain of the walls adds to it stands a quarter of a wave off
and is left out. The bimoment is -int sigma_zz omega dA = -E I_D gamma'' there (as B of torsion is
-E C_w phi'').
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..mesh.section_mesh import Array
from .elasticity.elastic import Elastic
from .elasticity.fields import Fields
from .resultants import resultants

#: A mode shears the outline where its angle times the section's size is this share of its motion.
_SHEARS = 0.1
#: Outlines whose corners lie on a line, by their breadth over their length, have no angle.
_FLAT = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class DistortionRows:
    """What tells distortion of the n functions.

    Attributes
    ----------
    angle : (n,)
        gamma = angle @ a: the shear of the affine motion that fits the outline's outermost corners
        best, along the directions in which the mode shears it. Of a rectangular box, the change of
        the angle between its walls.
    still, along : (n,)
        The bimoment is still @ a + along @ a'.
    omega : (count,)
        Warping per rate of the angle, on the shape functions.
    """

    angle: Array
    still: Array
    along: Array
    omega: Array


def distortion_rows(
    fields: Fields,
    elastic: Elastic,
    in_plane: Array,
    modes: Sequence[tuple[str, complex, Array]],
    curvature: float = 0.0,
) -> DistortionRows | None:
    """Of the slowest mode of distortion that shears the outline; None where there is none.

    Parameters
    ----------
    in_plane : (d, n)
        Rows of the in-plane motion that is not rigid.
    modes : sequence of (kind, rate, shape (n,))
        From the slowest.
    """
    affine = _affine(fields, elastic)
    if affine is None:
        return None
    rows, size = affine
    across = np.abs(fields.coefficients[:, :2]).max(axis=(0, 1)) > 0
    for kind, rate, own in modes:
        if kind != "distortion":
            continue
        moved = in_plane @ own
        # both parts of a complex shape move alike, but for what shear strain adds
        shape = own * np.exp(-0.5j * np.angle((moved**2).sum()))
        sheared = (rows @ shape).real
        angle = float(np.hypot(*sheared))
        if not angle * size > _SHEARS * np.linalg.norm(moved):
            continue
        axial = np.where(across, 0.0, (shape / rate).real) / angle
        omega = fields.coefficients[:, 2] @ axial
        still, along = resultants(fields, elastic, curvature, omega)
        return DistortionRows(sheared / angle @ rows, still[6], along[6], omega)
    return None


def _affine(fields: Fields, elastic: Elastic) -> tuple[Array, float] | None:
    """(2, n) rows of e_xx - e_yy and gamma_xy of the affine motion of the outermost corners, and
    the section's size."""
    from scipy.spatial import ConvexHull, QhullError

    used = np.unique(fields.mesh.triangles[elastic.solid])
    points = fields.mesh.vertices[used]
    try:
        # Takes points that leave an edge by rounding alone for points of the edge.
        hull = ConvexHull(points).vertices
    except QhullError:
        return None
    corners = points[hull] - points[hull].mean(axis=0)
    lengths = np.linalg.svd(corners, compute_uv=False)
    if not lengths[-1] > _FLAT * lengths[0]:
        return None
    size = float(np.hypot(*np.ptp(corners, axis=0))) / 2
    fit = np.linalg.pinv(np.column_stack([np.ones(len(corners)), corners]))[1:]
    motion = fields.coefficients[used[hull], :2]
    slope = np.einsum("jk,kdn->jdn", fit, motion)  # d u_d / d x_j
    return np.stack([slope[0, 0] - slope[1, 1], slope[0, 1] + slope[1, 0]]), size
