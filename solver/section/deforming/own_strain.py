"""What strains of the section's own, as those of temperature, do to its functions.

With e the strain that the material would take freely, alike in all directions, the stress is
D (S0 a + S1 a' - e (1, 1, 1, 0, 0, 0)), and the work of D e on the functions loads the member.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..elements.basis import Places, shape_functions, triangle_rule
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array, Ints
from .elasticity.elastic import Elastic
from .elasticity.strain import strains, stretch_of
from .reduced import ReducedSection
from .resultants import RESULTANTS

#: Strain e (t, q) at points (t, q, 2) of triangles (t,).
Own = Callable[[Ints, Array], Array]

_CHUNK = 500_000
#: A triangle across which the strain turns is integrated in so many parts along each edge.
_PARTS = 4


@dataclass(frozen=True, slots=True, eq=False)
class OwnStrain:
    """Integrals of D e over a section.

    Attributes
    ----------
    still, along : (n,)
        Its work on a and on a', per length of the axis through the section's origin.
    resultants : (7,)
        What it sums up to, in the order of `resultants.RESULTANTS`.
    state : (2, n)
        a and a' whose strain comes nearest to e, in energy.
    """

    still: Array
    along: Array
    resultants: Array
    state: Array


def pressure(elastic: Elastic) -> Array:
    """(t,) normal stress per unit of e: 3 lambda + 2 mu = E / (1 - 2 nu)."""
    return np.asarray(3 * elastic.lame + 2 * elastic.plane_shear)


def own_strain(section: ReducedSection, own: Own, turns: bool) -> OwnStrain:
    """Integrate a strain over the section; `turns` where it bends inside triangles."""
    fields, n = section.fields, section.size
    still, along, sums = np.zeros(n), np.zeros(n), np.zeros(len(RESULTANTS))
    for rough in (False, True):
        mine = np.flatnonzero((fields.curved == rough) & section.elastic.solid)
        places = places_of(fields.order, rough, turns)
        step = max(1, _CHUNK // (len(places[0]) * n))
        for first in range(0, len(mine), step):
            some = mine[first : first + step]
            spots = fields.spots(some, places)
            u, gradient = fields.at(spots)
            s0, s1 = strains(u, gradient, spots.points, section.curvature, spots.speed)
            sigma = pressure(section.elastic.of(some))[:, None] * own(some, spots.points)
            flat = sigma * spots.weights
            weight = flat * stretch_of(spots.points, section.curvature)
            still += np.einsum("tq,tqdn->n", weight, s0[:, :, :3], optimize=True)
            along += np.einsum("tq,tqdn->n", weight, s1[:, :, :3], optimize=True)
            x, y = spots.points[..., 0], spots.points[..., 1]
            omega = np.zeros_like(x)
            if section.warping is not None:
                omega = section.warping[fields.numbers[some]] @ spots.value.T
            none = np.zeros_like(x)
            levers = np.stack([none + 1, none, none, y, -x, none, -omega])
            sums += np.einsum("tq,rtq->r", flat, levers)
    energy = np.block([[section.C, section.L.T], [section.L, section.M]])
    nearest = np.linalg.pinv(energy, rcond=1e-13, hermitian=True) @ np.concatenate([still, along])
    return OwnStrain(still, along, sums, nearest.reshape(2, n))


@lru_cache(maxsize=8)
def places_of(order: int, rough: bool, turns: bool) -> Places:
    """Nodes of a triangle, with an arc where it is `rough`, or of the parts of one."""
    xi, eta, w = triangle_rule(order + (CURVED_EXTRA if rough else 2))
    if turns:
        k = _PARTS
        found = []
        for i in range(k):
            for j in range(k - i):
                found.append(((i + xi) / k, (j + eta) / k))
                if j < k - i - 1:
                    found.append(((i + 1 - xi) / k, (j + 1 - eta) / k))
        xi, eta = (np.concatenate([pair[d] for pair in found]) for d in (0, 1))
        w = np.tile(w, k * k) / k**2
    value, grad = shape_functions(order, xi, eta)
    return xi, eta, w, value, grad
