"""Kinks at which nothing keeps the section's shape rigidly: walls pass on to walls.

Seen from the bisecting plane, a point of the section moves by H u before the kink and by H^T u'
beyond it, H the turn by half of the angle. The two fields v and v' agree in the mean over the
section, weighed by each of the section's own functions W and by Young's modulus,

    int E W^T (v' - v) dA = 0,

and every force that works on the functions is passed on the other way round, as a traction E W.
In-plane motion of one piece becomes axial motion of the other: flanges and webs deviate, and so
distort the section. As both pieces are taken to end square to their own axes, where a point is
differs by the lean of the plane: rigid motion is therefore passed on as what it is, by the movement
of the axis and the rotation, and H turns the rest.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.reduced import ReducedSection
from ...section.elements.basis import sampled_basis
from ...section.elements.integrals import CURVED_EXTRA
from ..beam.junction import kink_matrix

Array = NDArray[np.float64]


def bare_kink(section: ReducedSection, angle: float, turned: Array) -> tuple[Array, Array]:
    """Rows (n, 2n), zero on the values of both nodes, and the matrix (n, n) that brings forces on
    the node beyond to the node before.

    Parameters
    ----------
    section : ReducedSection
    angle : float
        Of the kink, radians, positive toward +x.
    turned : (6, 6)
        Rigid motion in a frame turned by half of the angle, from that in the frame before.
    """
    products = component_products(section)
    whole = np.einsum("aacd->cd", products)
    across = np.einsum("ab,abcd->cd", kink_matrix(angle / 2), products)
    rigid = section.rigid
    mean = np.linalg.pinv(rigid)
    rest = np.eye(section.size) - rigid @ mean
    before = across @ rest + whole @ rigid @ turned @ mean
    beyond = across.T @ rest + whole @ rigid @ np.linalg.inv(turned) @ mean
    root = np.linalg.cholesky(whole)
    rows = np.linalg.solve(root, np.hstack([-before, beyond]))
    return np.asarray(rows), np.asarray(np.linalg.solve(beyond, before).T)


def component_products(section: ReducedSection) -> Array:
    """(3, 3, n, n) int E u_i u_j dA of the functions' components."""
    fields, elastic = section.fields, section.elastic
    found = np.zeros((3, 3, section.size, section.size))
    for rough in (False, True):
        own = np.flatnonzero((fields.curved == rough) & elastic.solid)
        if not own.size:
            continue
        places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else 1))
        for some in np.array_split(own, 1 + len(own) // 250):
            spots = fields.spots(some, places)
            u = fields.at(spots)[0]
            weight = spots.weights * elastic.of(some).modulus[:, None]
            u = np.moveaxis(u, 2, 0)
            flat = u.reshape(3, -1, section.size)
            heavy = (u * weight[..., None]).reshape(3, -1, section.size)
            found += flat.swapaxes(1, 2)[:, None] @ heavy[None]
    return found
