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

from ..elements.basis import Places
from ..mesh.section_mesh import Array, Ints
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
    """C and L (t, 3n, 3n), component first, and the three diagonal blocks of M."""
    lame, mu, g = (a[:, None, None] for a in (laws.lame, laws.plane_shear, laws.shear))
    wall = lame + 2 * mu
    p, t, n = pairs, *pairs["XX"].shape[:2]
    c = np.zeros((t, 3, n, 3, n))
    cross = np.zeros_like(c)
    c[:, 0, :, 0] = wall * p["XX"] + mu * p["YY"]
    c[:, 0, :, 1] = lame * p["XY"] + mu * p["YX"]
    c[:, 1, :, 1] = wall * p["YY"] + mu * p["XX"]
    c[:, 2, :, 2] = g * (p["XX"] + p["YY"])
    cross[:, 2, :, 0] = lame * p["PX"]
    cross[:, 2, :, 1] = lame * p["PY"]
    cross[:, 1, :, 2] = g * p["PY"]
    cross[:, 0, :, 2] = g * p["PX"]
    if kappa:
        pp = kappa * p["PP"]
        c[:, 0, :, 0] += lame * kappa * (p["XP"] + p["PX"]) + wall * kappa * pp
        c[:, 0, :, 1] += lame * kappa * p["PY"]
        c[:, 2, :, 2] += g * kappa * (pp - p["XP"] - p["PX"])
        cross[:, 2, :, 0] += wall * pp
        cross[:, 0, :, 2] -= g * pp
    if "VV" in p:
        c[:, 0, :, 0] += g * p["VV"]
        c[:, 1, :, 1] += g * p["VV"]
        c[:, 2, :, 2] += wall * p["VV"]
        c[:, 0, :, 2] = -lame * p["XV"] - g * p["VX"]
        c[:, 1, :, 2] = -lame * p["YV"] - g * p["VY"]
        if kappa:
            c[:, 0, :, 2] += kappa * (g * p["VP"] - wall * p["PV"])
        cross[:, 0, :, 0] = cross[:, 1, :, 1] = -g * p["PV"]
        cross[:, 2, :, 2] = -wall * p["PV"]
    for i, j in ((0, 1), (0, 2), (1, 2)):
        c[:, j, :, i] = c[:, i, :, j].transpose(0, 2, 1)
    shape = (t, 3 * n, 3 * n)
    soft = g * p["PP"]
    return c.reshape(shape), cross.reshape(shape), (soft, soft, wall * p["PP"])
