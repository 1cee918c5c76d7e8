"""Integrals over the section of a basis of fields: the matrices of a straight or curved piece."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..elements.basis import sampled_basis
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array
from .elastic import Elastic
from .fields import Fields
from .strain import strains, stretch_of

#: Numbers held at once while fields are evaluated.
_CHUNK = 4_000_000


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
    curved = fields.mesh.curved
    for rough in (False, True):
        own = np.flatnonzero(curved == rough)
        places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else 1))
        step = max(1, _CHUNK // (len(places[0]) * 6 * n))
        for first in range(0, len(own), step):
            some = own[first : first + step]
            spots = fields.spots(some, places)
            u, gradient = fields.at(spots)
            still, along = strains(u, gradient, spots.points, curvature)
            w = spots.weights * (stretch_of(spots.points, curvature) if curvature else 1.0)
            laws = elastic.of(some)
            scaled = w[..., None, None]
            stress_still = (laws.stress(still) * scaled).reshape(-1, n)
            stress_along = (laws.stress(along) * scaled).reshape(-1, n)
            flat_still, flat_along = still.reshape(-1, n), along.reshape(-1, n)
            c += flat_still.T @ stress_still
            cross += flat_along.T @ stress_still
            m += flat_along.T @ stress_along
            body += np.einsum("tq,tqdn->nd", w * laws.solid[:, None], u, optimize=True)
            if laws.density is not None:
                heavy = w * laws.density[:, None]
                weight += np.einsum("tq,tqdn->nd", heavy, u, optimize=True)
                flat = u.reshape(-1, n)
                mass += flat.T @ (u * heavy[..., None, None]).reshape(-1, n)
    return PieceMatrices((c + c.T) / 2, cross, (m + m.T) / 2, (mass + mass.T) / 2, body, weight)
