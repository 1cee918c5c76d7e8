"""What a state of stress does to the stiffness: the matrices of the second-order energy.

A stress sigma already there works on the second-order part of Green's strain: per volume
1/2 sigma_ij (du_k/dx_i)(du_k/dx_j). Added to the elastic energy, with the stress of a load factor
times it, it gives the critical loads; with the stress of the loads themselves, second order.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..elements.basis import sampled_basis
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array
from .elasticity.strain import rates, strains, stretch_of
from .reduced import ReducedSection

_CHUNK = 4_000_000


@dataclass(frozen=True, slots=True, eq=False)
class InitialStress:
    """Second-order energy per length of the axis 1/2 a'^T M a' + a'^T L a + 1/2 a^T C a, each
    (n, n)."""

    C: Array
    L: Array
    M: Array


def initial_stress(section: ReducedSection, a: Array, rate: Array) -> InitialStress:
    """The matrices of the stress that the state a, a' (n,) of the section has."""
    fields, n = section.fields, section.size
    c, cross, m = np.zeros((3, n, n))
    for rough in (False, True):
        own = np.flatnonzero(fields.curved == rough)
        places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else 2))
        step = max(1, _CHUNK // (12 * len(places[0]) * n))
        for first in range(0, len(own), step):
            some = own[first : first + step]
            spots = fields.spots(some, places)
            u, gradient = fields.at(spots)
            state = u, gradient, spots.points, section.curvature, spots.speed
            still, along = strains(*state)
            laws = section.elastic.of(some)
            stress = laws.stress(still @ a + along @ rate)
            stress *= laws.solid[:, None, None]
            weight = spots.weights * stretch_of(spots.points, section.curvature)
            s = np.moveaxis(stress * weight[..., None], 2, 0)[..., None, None]
            by_x, by_y = gradient
            zero, one = rates(*state)
            pulled = s[2] * one
            m += _sum(one, pulled)
            cross += _sum(one, s[2] * zero + s[4] * by_x + s[3] * by_y)
            across = s[0] * by_x + s[5] * by_y + s[4] * zero
            up = s[5] * by_x + s[1] * by_y + s[3] * zero
            forward = s[4] * by_x + s[3] * by_y + s[2] * zero
            c += _sum(by_x, across) + _sum(by_y, up) + _sum(zero, forward)
    return InitialStress((c + c.T) / 2, cross, (m + m.T) / 2)


def _sum(one: Array, other: Array) -> Array:
    """(n, n) of (t, q, 3, n) each."""
    n = one.shape[-1]
    return np.asarray(one.reshape(-1, n).T @ other.reshape(-1, n))
