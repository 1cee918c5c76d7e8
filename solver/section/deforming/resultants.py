"""The classical resultants of the stress, by integration over the section."""

from __future__ import annotations

import numpy as np

from ..elements.basis import sampled_basis
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array
from .elasticity.elastic import Elastic
from .elasticity.fields import Fields
from .elasticity.strain import strains

#: Rows of `resultants`.
RESULTANTS = ("N", "V_x", "V_y", "M_x", "M_y", "T", "B")


def resultants(
    fields: Fields, elastic: Elastic, curvature: float = 0.0, warping: Array | None = None
) -> tuple[Array, Array]:
    """R0 and R1, each (7, n): the resultants are R0 a + R1 a'.

    Parameters
    ----------
    warping : (count,), optional
        Torsional warping omega per unit rate of twist, about the shear centre, without extension or
        bending; without it the row of B is zero.
    """
    n = fields.coefficients.shape[2]
    out = np.zeros((2, len(RESULTANTS), n))
    for rough in (False, True):
        own = np.flatnonzero(fields.curved == rough)
        places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else 1))
        for some in np.array_split(own, max(1, len(own) * len(places[0]) * n // 500_000)):
            spots = fields.spots(some, places)
            u, gradient = fields.at(spots)
            x, y = spots.points[..., 0], spots.points[..., 1]
            omega = np.zeros_like(x)
            if warping is not None:
                omega = warping[fields.numbers[some]] @ spots.value.T
            w, none = spots.weights * elastic.solid[some, None], np.zeros_like(x)
            # by row of the resultants: what sigma_zz, tau_yz and tau_xz are multiplied by
            levers = np.stack(
                [
                    np.stack([w, none, none, w * y, -w * x, none, -w * omega]),
                    np.stack([none, none, w, none, none, w * x, none]),
                    np.stack([none, w, none, none, none, -w * y, none]),
                ]
            )
            for k, strain in enumerate(strains(u, gradient, spots.points, curvature, spots.speed)):
                stress = elastic.of(some).stress(strain)[:, :, 2:5]
                out[k] += np.einsum("drtq,tqdn->rn", levers, stress, optimize=True)
    return out[0], out[1]
