"""The three matrices of each triangle, from ten integrals of pairs of functions.

Every strain is a component of u times one of four functions of a shape function N (see `strain`):
X = dN/dx, Y = dN/dy, P = N/r and V = (speed . grad N)/r, with r = 1 + kappa x and weights r dA:

    xx: X u_x    yy: Y u_y    xy: Y u_x + X u_y
    zz: kappa P u_x - V u_z + P u_z'
    yz: -V u_y + Y u_z + P u_y'
    xz: -V u_x + (X - kappa P) u_z + P u_x'
"""

from __future__ import annotations

import numpy as np

from ...elements.basis import Places
from ...mesh.section_mesh import Array, Ints
from .elastic import Elastic
from .fields import Fields
from .strain import stretch_of


def pair_integrals(
    fields: Fields, some: Ints, places: Places, curvature: float
) -> tuple[dict[str, Array], Array]:
    """Integrals (t, n, n) of the pairs and of N N itself, by name, and of N (t, n), for some
    triangles and the places of a rule."""
    spots = fields.spots(some, places)
    stretch = stretch_of(spots.points, curvature)
    weight = spots.weights * stretch
    inverse = spots.inverse
    x, y = (
        spots.grad[..., 0] * inverse[..., 0, d, None]
        + spots.grad[..., 1] * inverse[..., 1, d, None]
        for d in (0, 1)
    )
    value = np.broadcast_to(spots.value, x.shape)
    functions = {"X": x, "Y": y, "P": value / stretch[..., None] if curvature else value}
    if spots.speed is not None:
        pushed = spots.speed[..., :1] * x + spots.speed[..., 1:] * y
        functions["V"] = pushed / stretch[..., None]
    weighted = {name: (f * weight[..., None]).transpose(0, 2, 1) for name, f in functions.items()}
    names = [a + b for a in "XYPV" for b in "XYPV" if a in functions and b in functions]
    out = {name: weighted[name[0]] @ functions[name[1]] for name in names if name <= name[::-1]}
    for name in names:
        if name not in out:
            out[name] = out[name[::-1]].transpose(0, 2, 1)
    out["NN"] = (value * weight[..., None]).transpose(0, 2, 1) @ value if curvature else out["PP"]
    return out, weight @ spots.value


def triangle_matrices(
    laws: Elastic, pairs: dict[str, Array], kappa: float
) -> tuple[Array, Array, tuple[Array, Array, Array]]:
    """C (t, 5n, 5n), L (t, 3n, 5n), component first, and the three diagonal blocks of M.

    The five components are u_x and u_y for the strains xx, yy and xy, which are blind to what
    moves a triangle as a rigid body, then u_x, u_y, u_z for the others: who takes rigid motion off
    the first two keeps the digits of thin walls (see `without_motion`).
    """
    lame, mu, g = (a[:, None, None] for a in (laws.lame, laws.plane_shear, laws.shear))
    wall = lame + 2 * mu
    p, t, n = pairs, *pairs["XX"].shape[:2]
    c, cross = np.zeros((t, 5, n, 5, n)), np.zeros((t, 3, n, 5, n))
    c[:, 0, :, 0] = wall * p["XX"] + mu * p["YY"]
    c[:, 0, :, 1] = lame * p["XY"] + mu * p["YX"]
    c[:, 1, :, 1] = wall * p["YY"] + mu * p["XX"]
    c[:, 4, :, 4] = g * (p["XX"] + p["YY"])
    cross[:, 2, :, 0] = lame * p["PX"]
    cross[:, 2, :, 1] = lame * p["PY"]
    cross[:, 1, :, 4] = g * p["PY"]
    cross[:, 0, :, 4] = g * p["PX"]
    if kappa:
        pp = kappa * p["PP"]
        c[:, 0, :, 2] = lame * kappa * p["XP"]
        c[:, 1, :, 2] = lame * kappa * p["YP"]
        c[:, 2, :, 2] = wall * kappa * pp
        c[:, 4, :, 4] += g * kappa * (pp - p["XP"] - p["PX"])
        cross[:, 2, :, 2] = wall * pp
        cross[:, 0, :, 4] -= g * pp
    if "VV" in p:
        c[:, 2, :, 2] += g * p["VV"]
        c[:, 3, :, 3] = g * p["VV"]
        c[:, 4, :, 4] += wall * p["VV"]
        c[:, 0, :, 4] = -lame * p["XV"]
        c[:, 1, :, 4] = -lame * p["YV"]
        c[:, 2, :, 4] = -g * p["VX"]
        c[:, 3, :, 4] = -g * p["VY"]
        if kappa:
            c[:, 2, :, 4] += kappa * (g * p["VP"] - wall * p["PV"])
        cross[:, 0, :, 2] = cross[:, 1, :, 3] = -g * p["PV"]
        cross[:, 2, :, 4] = -wall * p["PV"]
    for i in range(5):
        for j in range(i):
            c[:, i, :, j] = c[:, j, :, i].transpose(0, 2, 1)
    soft = g * p["PP"]
    return (
        c.reshape(t, 5 * n, 5 * n),
        cross.reshape(t, 3 * n, 5 * n),
        (soft, soft, wall * p["PP"]),
    )


def without_motion(local: Array, linear: Array) -> Array:
    """In-plane fields (t, 2, n, c) of triangles less the mean translation and rotation of their
    corners, which strain nothing.

    In a thin wall the stiffness of a triangle is its Young's modulus times its slenderness, and
    what the wall's bending or the section's torsion resist may be smaller than its rounding.

    Parameters
    ----------
    linear : (t, n, 2)
        Coefficients of x and y on the same triangles.
    """
    corner = linear[:, :3]
    centre = corner.mean(axis=1)  # coefficients of vertices are values there
    arm = corner - centre[:, None]
    u = local[:, :, :3]
    mean = u.mean(axis=2)
    spin = np.einsum("tv,tvc->tc", arm[..., 0], u[:, 1]) - np.einsum(
        "tv,tvc->tc", arm[..., 1], u[:, 0]
    )
    spin /= (arm**2).sum(axis=(1, 2))[:, None]
    out = local.copy()
    out[:, :, :3] -= mean[:, :, None]
    lever = linear.copy()
    lever[:, :3] = arm
    out[:, 0] += lever[..., 1, None] * spin[:, None]
    out[:, 1] -= lever[..., 0, None] * spin[:, None]
    return out
