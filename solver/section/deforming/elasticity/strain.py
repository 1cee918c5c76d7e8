"""The six strains of a field of the section that varies along the member: e = S0 a + S1 a'.

Straight: the in-plane derivatives give S0, u itself S1 (u_z' in zz, u_y' in yz, u_x' in xz).

Curved in plan, radius R of the axis x = 0, its centre on the side of -x where R is positive: with
r = 1 + x / R and z measured along the axis, the rates along the member are divided by r, and the
turning frame adds u_x / R to the rate of u_z and takes u_z / R from the rate of u_x.

Tapered: the mesh moves with z; the rate of u at a fixed place is the rate at a moving one less the
mesh's speed times the gradient.
"""

from __future__ import annotations

import numpy as np

from ...mesh.section_mesh import Array


def strains(
    u: Array,
    gradient: Array,
    points: Array,
    curvature: float = 0.0,
    speed: Array | None = None,
) -> tuple[Array, Array]:
    """S0 and S1, each (t, q, 6, c), in the order xx, yy, zz, yz, xz, xy.

    Parameters
    ----------
    u : (t, q, 3, c)
    gradient : (2, t, q, 3, c)
    points : (t, q, 2)
    curvature : float
        1 / R.
    speed : (t, q, 2), optional
        d (x, y) / dz of the mesh.
    """
    by_x, by_y = gradient
    rate, share = rates(u, gradient, points, curvature, speed)
    still = np.empty((*u.shape[:2], 6, u.shape[3]))
    along = np.zeros_like(still)
    along[:, :, 2], along[:, :, 3], along[:, :, 4] = share[:, :, 2], share[:, :, 1], share[:, :, 0]
    still[:, :, 0] = by_x[:, :, 0]
    still[:, :, 1] = by_y[:, :, 1]
    still[:, :, 2] = rate[:, :, 2]
    still[:, :, 3] = by_y[:, :, 2] + rate[:, :, 1]
    still[:, :, 4] = by_x[:, :, 2] + rate[:, :, 0]
    still[:, :, 5] = by_y[:, :, 0] + by_x[:, :, 1]
    return still, along


def rates(
    u: Array,
    gradient: Array,
    points: Array,
    curvature: float = 0.0,
    speed: Array | None = None,
) -> tuple[Array, Array]:
    """R0 and R1, each (t, q, 3, c): the change of the displacement per length along the member, at
    a fixed place and as a vector, is R0 a + R1 a'."""
    rate = np.zeros_like(u)
    if speed is not None:
        rate -= speed[..., 0, None, None] * gradient[0] + speed[..., 1, None, None] * gradient[1]
    if not curvature:
        return rate, u
    rate[:, :, 2] += curvature * u[:, :, 0]
    rate[:, :, 0] -= curvature * u[:, :, 2]
    stretch = stretch_of(points, curvature)[..., None, None]
    return rate / stretch, u / stretch


def stretch_of(points: Array, curvature: float) -> Array:
    """(...) r = 1 + x / R: length along the member at a point per length of the axis."""
    return np.asarray(1 + curvature * points[..., 0])
