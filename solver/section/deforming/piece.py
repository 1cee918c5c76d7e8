"""The three matrices of a basis on any piece of a member: straight, curved in plan, tapered.

Every strain is a component of u times one of four functions of a shape function N (see `strain`):
X = dN/dx, Y = dN/dy, P = N/r and V = (speed . grad N)/r, with r = 1 + kappa x and weights r dA:

    xx: X u_x    yy: Y u_y    xy: Y u_x + X u_y
    zz: kappa P u_x - V u_z + P u_z'
    yz: -V u_y + Y u_z + P u_y'
    xz: -V u_x + (X - kappa P) u_z + P u_x'

so ten integrals of pairs of them make up the matrices of a triangle.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..elements.basis import sampled_basis
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array, Ints
from .elastic import Elastic
from .fields import Fields
from .strain import stretch_of

#: Numbers held at once while the triangles' matrices are made.
_CHUNK = 6_000_000


@dataclass(frozen=True, slots=True, eq=False)
class PieceMatrices:
    """Energy per length of the axis 1/2 a'^T M a' + a'^T L a + 1/2 a^T C a, and what goes with it.

    Attributes
    ----------
    C, L, M : (n, n)
    mass : (n, n)
        int density u . u; zero where a density is missing.
    body : (n, 3)
        int u: what a unit force per volume along x, y, z works.
    weight : (n, 3)
        int density u; zero where a density is missing.
    """

    C: Array
    L: Array
    M: Array
    mass: Array
    body: Array
    weight: Array


def piece_matrices(fields: Fields, elastic: Elastic, curvature: float = 0.0) -> PieceMatrices:
    """Integrate a basis over a piece; see `strain` for the curvature."""
    n = fields.coefficients.shape[2]
    c, cross, m, mass = np.zeros((4, n, n))
    body, weight = np.zeros((2, n, 3))
    functions = fields.numbers.shape[1]
    plain = 1 if fields.toward is None and not curvature else 2
    for rough in (False, True):
        own = np.flatnonzero(fields.curved == rough)
        places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else plain))
        step = max(1, _CHUNK // (9 * functions**2 + 4 * len(places[0]) * functions))
        for first in range(0, len(own), step):
            some = own[first : first + step]
            laws = elastic.of(some)
            pairs, load = _pairs(fields, some, places, curvature)
            w = fields.coefficients[fields.numbers[some]].transpose(0, 2, 1, 3)
            flat = w.reshape(len(some), 3 * functions, n)
            still, mixed, along = _elements(laws, pairs, curvature)
            columns = flat.reshape(-1, n)
            c += columns.T @ (still @ flat).reshape(-1, n)
            cross += columns.T @ (mixed @ flat).reshape(-1, n)
            m += columns.T @ _each(along, w).reshape(-1, n)
            work = load[:, None, :, None] * w
            body += np.einsum("t,tdin->nd", laws.solid.astype(float), work, optimize=True)
            if laws.density is not None:
                weight += np.einsum("t,tdin->nd", laws.density, work, optimize=True)
                heavy = laws.density[:, None, None] * pairs["NN"]
                mass += columns.T @ _each((heavy, heavy, heavy), w).reshape(-1, n)
    return PieceMatrices((c + c.T) / 2, cross, (m + m.T) / 2, (mass + mass.T) / 2, body, weight)


def _pairs(
    fields: Fields, some: Ints, places: tuple[Array, ...], curvature: float
) -> tuple[dict[str, Array], Array]:
    """Integrals (t, n, n) of the pairs, with N N itself, and of N (t, n)."""
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


def _elements(
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


def _each(blocks: tuple[Array, ...], w: Array) -> Array:
    """(t, 3, n, c) each component of columns (t, 3, n, c) times its own block (t, n, n)."""
    return np.stack([block @ w[:, d] for d, block in enumerate(blocks)], axis=1)
