"""How a section answers what acts on it all along the member: a uniform line load, and the pull of
a curve in plan.

Slow modes tell what travels from where a load begins or ends; under the load itself the section
takes a shape of its own, which modes approach slowly. Under a force f per length at a point of the
section, balanced by the growth of Saint-Venant's shear and torsion,

    u = c (z^4/24 e + z^2/2 U + Y, -x z^3/6 + z W),     C_u Y = M_u U + A W + f / c,

the next vector of Saint-Venant's chains (see `chains`): c makes the right side balanced, and Y is
what is missing among the functions along the member. A curve of radius R acts likewise: the axial
stress sigma pulls like a load -sigma / R across, and fibres are longer by 1 + x / R, so that the
section contracts otherwise than in a straight piece (see `curve_forces`).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..elements.basis import sampled_basis, shape_functions
from ..elements.integrals import CURVED_EXTRA
from ..mesh.location import locate
from ..mesh.section_mesh import Array
from .chains import Chains, in_plane_system, refined, without_rigid
from .elastic import Elastic
from .fields import Fields
from .matrices import SectionMatrices
from .slow import SlowModes


def responses(fields: Fields, matrices: SectionMatrices, chains: Chains, forces: Array) -> Array:
    """In-plane fields Y (count, 2, k) under forces (count, 2, k) on the shape functions."""
    if not forces.shape[2]:
        return forces
    one, zero = chains.one, np.zeros_like(chains.one)
    shift = np.stack([np.stack([one, zero], 1), np.stack([zero, one], 1)], axis=2)
    turn = chains.spin[..., None]
    # what grows by one each length: shear along x and y, torsion
    grown_u = np.concatenate([chains.contraction[..., 1:], turn], axis=2)
    grown_w = np.column_stack([chains.shear_warping, chains.omega])
    growth = matrices.pushed(grown_u, grown_w)[0]
    rigid = np.concatenate([shift, turn], axis=2)
    table = np.einsum("idr,idc->rc", rigid, growth)
    resultant = np.einsum("idr,idk->rk", rigid, forces)
    balanced = forces - growth @ np.linalg.solve(table, resultant)
    system = in_plane_system(fields, matrices)
    found = refined(system, matrices.stiff, balanced)
    return without_rigid(matrices, found, shift, turn)


def point_forces(fields: Fields, points: Sequence[tuple[float, float]]) -> Array:
    """(count, 2, 2 k) unit forces along x and along y at those points that lie in the material."""
    where = np.asarray(points, dtype=float).reshape(-1, 2)
    triangle, xi, eta = locate(fields.mesh, where)
    inside = np.flatnonzero(triangle >= 0)
    count = int(fields.numbers.max()) + 1
    out = np.zeros((count, 2, 2, len(inside)))
    value, _ = shape_functions(fields.order, xi[inside], eta[inside])
    for k, (t, shape) in enumerate(zip(triangle[inside], value, strict=True)):
        for direction in (0, 1):
            out[fields.numbers[t], direction, direction, k] = shape
    return out.reshape(count, 2, -1)


def curve_forces(
    fields: Fields, elastic: Elastic, chains: Chains, slow: SlowModes, modes: int
) -> Array:
    """(count, 2, k) forces that a curve of unit curvature adds to extension, bending and the first
    slow modes.

    Where the axial motion is w per unit of a', the strain -x w and the pull -E w along x; where the
    motion along x is v per unit of a, the strain v. Forces of a strain e are those of its stress
    lambda e in the plane.
    """
    some = slow.axial[:, :modes], slow.in_plane[:, 0, :modes]
    axial, across = (np.concatenate([m.real, m.imag], axis=1) for m in some)
    axial = np.column_stack([chains.one, chains.position, axial])
    t, n = fields.numbers.shape
    count, k = len(axial), axial.shape[1] + across.shape[1]
    local = np.zeros((t, n, 2, k))
    for rough in (False, True):
        own = np.flatnonzero(fields.curved == rough)
        if not own.size:
            continue
        places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else 2))
        spots = fields.spots(own, places)
        laws = elastic.of(own)
        w = np.einsum("qn,tnk->tqk", spots.value, axial[fields.numbers[own]])
        v = np.einsum("qn,tnk->tqk", spots.value, across[fields.numbers[own]])
        x = spots.points[..., :1]
        strain = np.concatenate([-x * w, v], axis=2)
        stress = laws.lame[:, None, None] * strain * spots.weights[..., None]
        slope = np.einsum("qna,tqad->tqnd", spots.grad, spots.inverse)
        local[own] = -np.einsum("tqnd,tqk->tndk", slope, stress, optimize=True)
        pull = laws.modulus[:, None, None] * w * spots.weights[..., None]
        local[own, :, 0, : axial.shape[1]] -= np.einsum("qn,tqk->tnk", spots.value, pull)
    out = np.zeros((count, 2, k))
    np.add.at(out, fields.numbers.ravel(), local.reshape(-1, 2, k))
    return out
