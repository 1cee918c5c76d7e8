"""What a taper asks of its sections beyond those of a prism.

Where a section moves with the mesh by v a unit length of the member, a field W a of the prism
varies along z by W a' less v . grad W a, and its stresses sigma no longer balance:

    f(test) = int (v . grad test + test div v) . (sigma_xz, sigma_yz, sigma_zz)
            + int (B0 test)^T D (B1 v . grad W)

is left, to the first order of v (stresses carried along by the mesh). On the outside of a flange
that falls by a twentieth, the shear stress of torsion is along the flange and so brings a twentieth
of itself across the plane of the section. Fields that take f away,

    C_u Y = f + A W' + M_u U',      C_z W = f + A^T U' + M_z W',

balanced by what grows of Saint-Venant's solutions along the member (see `response`), are those that
are missing among the functions of a piece that tapers.
"""

from __future__ import annotations

import numpy as np

from ..elements.basis import Places, sampled_basis
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array
from .chains import Chains, axial_system, refined
from .elasticity.elastic import Elastic
from .elasticity.fields import Fields, Spots
from .elasticity.matrices import SectionMatrices


def inclined_forces(moving: Fields, elastic: Elastic, chains: Chains) -> tuple[Array, Array]:
    """Forces f on the shape functions under the six solutions of Saint-Venant: in the plane
    (count, 2, 3) by torsion and shear, along the member (count, 3) by extension and bending.

    Parameters
    ----------
    moving : Fields
        On the section's mesh, that of the other end of the taper as `toward`.
    """
    turned = np.concatenate([chains.spin[..., None], chains.contraction[..., 1:]], axis=2)
    warped = np.column_stack([chains.omega, chains.shear_warping])
    across, along = chains.contraction, np.column_stack([chains.one, -chains.position])
    count = len(chains.one)
    in_plane, axial = np.zeros((count, 2, 3)), np.zeros((count, 3))
    for rough in (False, True):
        own = np.flatnonzero(moving.curved == rough)
        if not own.size:
            continue
        places = sampled_basis(moving.order, moving.order + (CURVED_EXTRA if rough else 2))
        spots, laws, numbers = moving.spots(own, places), elastic.of(own), moving.numbers[own]
        assert spots.speed is not None
        shear, lame = laws.shear[:, None, None], laws.lame[:, None, None]
        slope = np.einsum("qna,tqad->tqnd", spots.grad, spots.inverse)
        run = np.einsum("tqnd,tqd->tqn", slope, spots.speed)
        weight = spots.weights[..., None]
        test = (run + spots.value * _widening(moving, spots, places)[..., None]) * weight

        tau = np.einsum("qn,tndk->tqdk", spots.value, turned[numbers])
        tau = shear[..., None] * (tau + np.einsum("tqnd,tnk->tqdk", slope, warped[numbers]))
        wide = lame * weight * np.einsum("tqn,tnk->tqk", run, warped[numbers])
        local = np.einsum("tqn,tqdk->tndk", test, tau, optimize=True)
        local += np.einsum("tqnd,tqk->tndk", slope, wide, optimize=True)
        np.add.at(in_plane, numbers.ravel(), local.reshape(-1, 2, 3))

        spread = np.einsum("tqnd,tndk->tqk", slope, across[numbers], optimize=True)
        pull = (lame + 2 * laws.plane_shear[:, None, None]) * np.einsum(
            "qn,tnk->tqk", spots.value, along[numbers]
        )
        sheared = np.einsum("tqn,tndk->tqdk", run, across[numbers])
        sheared *= (shear * weight)[..., None]
        own_axial = np.einsum("tqn,tqk->tnk", test, pull + lame * spread, optimize=True)
        own_axial += np.einsum("tqnd,tqdk->tnk", slope, sheared, optimize=True)
        np.add.at(axial, numbers.ravel(), own_axial.reshape(-1, 3))
    return in_plane, axial


def inclined_warpings(matrices: SectionMatrices, chains: Chains, forces: Array) -> Array:
    """Axial fields (count, m) under forces (count, m) along the member, balanced by the growth of
    extension and bending; without what is plane."""
    plane = np.column_stack([chains.one, chains.position])
    growth = matrices.along(chains.contraction, np.column_stack([chains.one, -chains.position]))
    balanced = forces - growth @ np.linalg.solve(plane.T @ growth, plane.T @ forces)

    def stiff(w: Array) -> Array:
        return matrices.summed(matrices.C_z @ matrices.gathered(w))

    found = refined(axial_system(matrices), stiff, balanced[:, None])[:, 0]
    mean = matrices.summed(matrices.product @ matrices.gathered(plane[:, None]))[:, 0]
    return np.asarray(found - plane @ np.linalg.solve(plane.T @ mean, mean.T @ found))


def growing_warpings(matrices: SectionMatrices, chains: Chains, in_plane: Array) -> Array:
    """Axial fields (count, k) that go with in-plane fields (count, 2, k) which grow along the
    member: C_z W = -A^T Y. Without them the plates of the section would shear as they bend."""
    none = np.zeros((matrices.count, in_plane.shape[2]))
    return inclined_warpings(matrices, chains, -matrices.along(in_plane, none))


def _widening(moving: Fields, spots: Spots, places: Places) -> Array:
    """(t, q) div v."""
    assert moving.toward is not None
    other = moving.toward.spots(spots.triangles, places)
    here, there = np.linalg.inv(spots.inverse), np.linalg.inv(other.inverse)
    step = np.einsum("tqij,tqji->tq", there - here, spots.inverse)
    return np.asarray(moving.rate * step)
