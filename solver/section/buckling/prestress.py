"""The stress that makes a section buckle, and what it does to a wave of a given length.

The stress of the actions is uniform along the member. Normal stress by Saint-Venant's plane
sections and the bimoment's warping, sigma = E (N / EA + a x + b y - B omega / EC_w); shear by his
solutions of torsion and flexure, the moment that V changes taken as constant over a wave.

Of a wave psi exp(ikz) the second-order energy is 1/2 sigma_ij (du_k/dx_i)(du_k/dx_j), for every
component of u alike: with u of K(k) (`SectionMatrices.wave`)

    H = k^2 G + i k (S - S^T),    G = int sigma N_i N_j,    S = int (tau . grad N_i) N_j.

Without shear sine and cosine stay apart and all is real; with it the waves are oblique.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..deforming.chains import Chains
from ..deforming.elasticity.elastic import Elastic
from ..deforming.elasticity.fields import Fields, Spots
from ..elements.basis import sampled_basis
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array

#: sigma_zz (t, q) at places of triangles, and (tau_zx, tau_zy) (t, q, 2) or None.
StressAt = Callable[[Spots], tuple[Array, Array | None]]

_CHUNK = 6_000_000


@dataclass(frozen=True, slots=True, eq=False)
class Prestress:
    """Matrices of each triangle of n functions.

    Attributes
    ----------
    normal : (t, n, n)
        G.
    shear : (t, n, n) or None
        S - S^T.
    compression, tension : float
        Largest compressive and tensile normal stress, 0 without any.
    shearing : float
        Largest component of the shear stress at the stations.
    """

    normal: Array
    shear: Array | None
    compression: float
    tension: float
    shearing: float = 0.0


def prestress(fields: Fields, stress: StressAt) -> Prestress:
    """Integrate a state of stress over the section."""
    t, n = fields.numbers.shape
    normal, skew = np.zeros((t, n, n)), np.zeros((t, n, n))
    lowest, highest, shearing, sheared = 0.0, 0.0, 0.0, False
    for rough in (False, True):
        own = np.flatnonzero(fields.curved == rough)
        # sigma may have the order of the warping
        points = fields.order + fields.order // 2 + 1 + (CURVED_EXTRA if rough else 0)
        places = sampled_basis(fields.order, points)
        for some in np.array_split(own, 1 + len(own) * len(places[0]) * n * 4 // _CHUNK):
            spots = fields.spots(some, places)
            sigma, tau = stress(spots)
            lowest = min(lowest, float(sigma.min(initial=0.0)))
            highest = max(highest, float(sigma.max(initial=0.0)))
            pulled = (sigma * spots.weights)[..., None] * spots.value
            normal[some] = pulled.transpose(0, 2, 1) @ spots.value
            if tau is None:
                continue
            sheared = True
            shearing = max(shearing, float(np.abs(tau).max(initial=0.0)))
            # tau . grad N, the derivatives by xi and eta turned into those by x and y
            along = np.einsum("tqad,tqd->tqa", spots.inverse, tau) * spots.weights[..., None]
            slope = np.einsum("tqa,qna->tqn", along, spots.grad, optimize=True)
            s = slope.transpose(0, 2, 1) @ spots.value
            skew[some] = s - s.transpose(0, 2, 1)
    return Prestress(normal, skew if sheared else None, -lowest, highest, shearing)


def stress_of_actions(fields: Fields, elastic: Elastic, chains: Chains, actions: Array) -> StressAt:
    """The stress of N, M_x, M_y, V_x, V_y, T and B.

    Parameters
    ----------
    actions : (8,)
        In the order of `stress.actions.NAMES`, the shear through the shear centre; the warping
        torque must be zero.
    """
    axial, m_x, m_y, v_x, v_y, torque, _, bimoment = actions
    slopes = np.linalg.solve(chains.bending, [-m_y, m_x])
    warped = -bimoment / chains.warping * chains.omega if bimoment else None
    mean = axial / chains.axial
    twist, flexure = _shear_mix(fields, elastic, chains, np.array([v_x, v_y]), torque)
    sheared = bool(v_x or v_y or torque)

    def stress(spots: Spots) -> tuple[Array, Array | None]:
        own = spots.triangles
        strain = mean + (spots.points - chains.centroid) @ slopes
        if warped is not None:
            strain = strain + warped[fields.numbers[own]] @ spots.value.T
        sigma = elastic.modulus[own, None] * strain
        if not sheared:
            return sigma, None
        torsion, bending = _base_shear(fields, elastic, chains, spots)
        return sigma, twist * torsion + bending @ flexure

    return stress


def _base_shear(
    fields: Fields, elastic: Elastic, chains: Chains, spots: Spots
) -> tuple[Array, Array]:
    """tau of a unit rate of twist (t, q, 2), and of the two flexures (t, q, 2, 2), the last axis
    theirs: G (grad omega + spin), G (grad W + U)."""
    numbers = fields.numbers[spots.triangles]
    axial = np.concatenate([chains.omega[:, None], chains.shear_warping], axis=1)[numbers]
    moved = np.concatenate([chains.spin[..., None], chains.contraction[..., 1:]], 2)[numbers]
    by_place = np.einsum("qna,tnc->tqac", spots.grad, axial, optimize=True)
    slope = np.einsum("tqad,tqac->tqdc", spots.inverse, by_place, optimize=True)
    value = np.einsum("qn,tndc->tqdc", spots.value, moved, optimize=True)
    tau = elastic.shear[spots.triangles, None, None, None] * (slope + value)
    return tau[..., 0], tau[..., 1:]


def _shear_mix(
    fields: Fields, elastic: Elastic, chains: Chains, force: Array, torque: float
) -> tuple[float, Array]:
    """How much of the twist and of the two flexures carries a shear force through the shear centre
    and a torque."""
    if not force.any():
        return torque / chains.torsion, np.zeros(2)
    carried, turned = np.zeros((2, 2)), np.zeros(2)
    for rough in (False, True):
        some = np.flatnonzero(fields.curved == rough)
        places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else 1))
        spots = fields.spots(some, places)
        _, bending = _base_shear(fields, elastic, chains, spots)
        weighted = bending * spots.weights[..., None, None]
        arm = spots.points - chains.shear_centre
        carried += weighted.sum(axis=(0, 1))
        turned += (arm[..., :1] * weighted[:, :, 1] - arm[..., 1:] * weighted[:, :, 0]).sum((0, 1))
    flexure: Array = np.asarray(np.linalg.solve(carried, force), dtype=float)
    return (torque - float(turned @ flexure)) / chains.torsion, flexure
