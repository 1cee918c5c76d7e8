"""The three matrices of a basis on any piece of a member: straight, curved in plan, tapered."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..elements.basis import sampled_basis
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array
from .elasticity.elastic import Elastic
from .elasticity.fields import Fields
from .elasticity.triangle import pair_integrals, triangle_matrices, without_motion

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
        step = max(1, _CHUNK // (40 * functions**2 + 4 * len(places[0]) * functions))
        for first in range(0, len(own), step):
            some = own[first : first + step]
            laws = elastic.of(some)
            pairs, load = pair_integrals(fields, some, places, curvature)
            w = fields.coefficients[fields.numbers[some]].transpose(0, 2, 1, 3)
            strained = without_motion(w[:, :2], fields.lines[fields.numbers[some]])
            both = np.concatenate([strained, w], axis=1).reshape(len(some), 5 * functions, n)
            still, mixed, along = triangle_matrices(laws, pairs, curvature)
            columns = w.reshape(-1, n)
            c += both.reshape(-1, n).T @ (still @ both).reshape(-1, n)
            cross += columns.T @ (mixed @ both).reshape(-1, n)
            m += columns.T @ _each(along, w).reshape(-1, n)
            work = load[:, None, :, None] * w
            body += np.einsum("t,tdin->nd", laws.solid.astype(float), work, optimize=True)
            if laws.density is not None:
                weight += np.einsum("t,tdin->nd", laws.density, work, optimize=True)
                heavy = laws.density[:, None, None] * pairs["NN"]
                mass += columns.T @ _each((heavy, heavy, heavy), w).reshape(-1, n)
    return PieceMatrices((c + c.T) / 2, cross, (m + m.T) / 2, (mass + mass.T) / 2, body, weight)


def _each(blocks: tuple[Array, ...], w: Array) -> Array:
    """(t, 3, n, c) each component of columns (t, 3, n, c) times its own block (t, n, n)."""
    return np.stack([block @ w[:, d] for d, block in enumerate(blocks)], axis=1)
