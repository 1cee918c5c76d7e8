"""Distortion as the theory of thin walls measures it: the angle by which the outline shears, and
the bimoment that goes with it.

The slowest mode of distortion moves the section in its plane by P exp(lambda z) and along the
member by W exp(lambda z). With the angle gamma of P, thin walls warp by u_z = omega gamma', so that
omega = W / (lambda gamma); what shear strain of the walls adds to it stands a quarter of a wave off
and is left out. The bimoment is -int sigma_zz omega dA = -E I_D gamma'' there (as B of torsion is
-E C_w phi'').
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from ..mesh.section_mesh import Array
from .resultants import resultants

if TYPE_CHECKING:
    from .reduced import ReducedSection

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


def distortion_rows(section: ReducedSection) -> DistortionRows | None:
    """Of the slowest mode of distortion that shears the outline; None where there is none."""
    affine = _affine(section)
    if affine is None:
        return None
    rows, size = affine
    for k, kind in enumerate(section.kinds):
        if kind != "distortion":
            continue
        shape = section.shapes[:, k]
        moved = section.in_plane @ shape
        # both parts of a complex shape move alike, but for what shear strain adds
        shape = shape * np.exp(-0.5j * np.angle((moved**2).sum()))
        sheared = (rows @ shape).real
        angle = float(np.hypot(*sheared))
        if not angle * size > _SHEARS * np.linalg.norm(section.in_plane @ shape):
            continue
        axial = np.where(section.planar, 0.0, (shape / section.rates[k]).real) / angle
        omega = section.fields.coefficients[:, 2] @ axial
        still, along = resultants(section.fields, section.elastic, section.curvature, omega)
        return DistortionRows(sheared / angle @ rows, still[6], along[6], omega)
    return None


def _affine(section: ReducedSection) -> tuple[Array, float] | None:
    """(2, n) rows of e_xx - e_yy and gamma_xy of the affine motion of the outermost corners, and
    the section's size."""
    from scipy.spatial import ConvexHull, QhullError

    used = np.unique(section.fields.mesh.triangles[section.elastic.solid])
    points = section.fields.mesh.vertices[used]
    try:
        hull = ConvexHull(points).vertices
    except QhullError:
        return None
    corners = points[hull] - points[hull].mean(axis=0)
    lengths = np.linalg.svd(corners, compute_uv=False)
    if not lengths[-1] > _FLAT * lengths[0]:
        return None
    size = float(np.hypot(*np.ptp(corners, axis=0))) / 2
    fit = np.linalg.pinv(np.column_stack([np.ones(len(corners)), corners]))[1:]
    motion = section.fields.coefficients[used[hull], :2]
    slope = np.einsum("jk,kdn->jdn", fit, motion)  # d u_d / d x_j
    return np.stack([slope[0, 0] - slope[1, 1], slope[0, 1] + slope[1, 0]]), size
