"""The shape that a section takes in its plane under a strain of its own.

Where fibres may not lengthen, the stress D e works in the plane alone: C_u Y = int B0^T D e. Long
fibres, extension and bending have fields of their own (Saint-Venant's); Y is what they cannot show:
how layers of other temperature or material widen, and drag on one another.
"""

from __future__ import annotations

import numpy as np

from ..mesh.section_mesh import Array
from .chains import in_plane_system, refined, without_rigid
from .elasticity.matrices import section_matrices
from .own_strain import Own, places_of, pressure
from .reduced import ReducedSection


def own_responses(section: ReducedSection, strains: list[Own], turns: bool) -> Array:
    """(count, 2, k) the in-plane fields of k strains in a straight section; `turns` where one
    bends inside triangles."""
    fields = section.fields
    matrices = section_matrices(fields, section.elastic)
    count = matrices.count
    forces = np.zeros((count, 2, len(strains)))
    for rough in (False, True):
        some = np.flatnonzero((fields.curved == rough) & section.elastic.solid)
        if not some.size:
            continue
        spots = fields.spots(some, places_of(fields.order, rough, turns))
        slope = np.einsum("qna,tqad->tqnd", spots.grad, spots.inverse, optimize=True)
        level = pressure(section.elastic.of(some))[:, None]
        for k, own in enumerate(strains):
            sigma = level * own(some, spots.points) * spots.weights
            local = np.einsum("tqnd,tq->tnd", slope, sigma, optimize=True)
            np.add.at(forces[..., k], fields.numbers[some].ravel(), local.reshape(-1, 2))
    one = np.zeros(count)
    one[: len(fields.mesh.vertices)] = 1.0
    x, y = fields.linear.T
    zero = np.zeros(count)
    shift = np.stack([np.stack([one, zero], 1), np.stack([zero, one], 1)], axis=2)
    turn = np.stack([-y, x], axis=1)[..., None]
    found = refined(in_plane_system(fields, matrices), matrices.stiff, forces)
    return without_rigid(matrices, found, shift, turn)
