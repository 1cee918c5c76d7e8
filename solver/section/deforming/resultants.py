"""The classical resultants of the stress, by integration over the section."""

from __future__ import annotations

import numpy as np

from ..elements.basis import sampled_basis
from ..elements.integrals import CURVED_EXTRA
from ..mesh.section_mesh import Array
from .elasticity.elastic import Elastic
from .elasticity.fields import Fields, Spots
from .elasticity.strain import stretch_of

#: Rows of `resultants`.
RESULTANTS = ("N", "V_x", "V_y", "M_x", "M_y", "T", "B")
#: Triangles at once.
_CHUNK = 250


def resultants(
    fields: Fields, elastic: Elastic, curvature: float = 0.0, warping: Array | None = None
) -> tuple[Array, Array]:
    """R0 and R1, each (7, n): the resultants are R0 a + R1 a'.

    What each displacement and derivative at a point adds to them is gathered on the shape
    functions; the columns come last, all at once.

    Parameters
    ----------
    warping : (count,), optional
        Torsional warping omega per unit rate of twist, about the shear centre, without extension or
        bending; without it the row of B is zero.
    """
    count, three, n = fields.coefficients.shape
    out = np.zeros((2, count, three, len(RESULTANTS)))
    for rough in (False, True):
        own = np.flatnonzero(fields.curved == rough)
        places = sampled_basis(fields.order, fields.order + (CURVED_EXTRA if rough else 1))
        for some in np.array_split(own, 1 + len(own) // _CHUNK):
            spots = fields.spots(some, places)
            omega = np.zeros(spots.points.shape[:2])
            if warping is not None:
                omega = warping[fields.numbers[some]] @ spots.value.T
            weights = spots.weights * elastic.solid[some, None]
            levers = _levers(spots.points, omega) * weights
            local = _on_functions(spots, elastic.of(some), levers, curvature)
            for k in (0, 1):
                np.add.at(out[k], fields.numbers[some], local[k])
    columns = fields.coefficients.reshape(-1, n)
    still, along = (part.reshape(-1, len(RESULTANTS)).T @ columns for part in out)
    return still, along


def _levers(points: Array, omega: Array) -> Array:
    """(3, 7, t, q) by row of the resultants: what sigma_zz, tau_yz and tau_xz are multiplied by."""
    x, y = points[..., 0], points[..., 1]
    one, none = np.ones_like(x), np.zeros_like(x)
    return np.array(
        [
            [one, none, none, y, -x, none, -omega],
            [none, none, one, none, none, x, none],
            [none, one, none, none, none, -y, none],
        ]
    )


def _on_functions(
    spots: Spots, laws: Elastic, levers: Array, curvature: float
) -> tuple[Array, Array]:
    """(t, f, 3, 7) of displacements, and of their rates, on the shape functions.

    sigma_zz takes lambda (e_xx + e_yy) + (lambda + 2 mu) e_zz, the shears G each; the strains of u
    are those of `strain`.
    """
    lame, mu, shear = (a[:, None] for a in (laws.lame, laws.plane_shear, laws.shear))
    normal, yz, xz = levers
    side = lame * normal  # on e_xx and on e_yy
    rate = np.stack([shear * xz, shear * yz, (lame + 2 * mu) * normal])  # on rates of x, y, z
    rate = rate / stretch_of(spots.points, curvature)
    zero = np.zeros_like(side)
    by_x = np.stack([side, zero, shear * xz])
    by_y = np.stack([zero, side, shear * yz])
    plain = np.zeros_like(rate)
    if curvature:
        plain[0], plain[2] = curvature * rate[2], -curvature * rate[0]
    if spots.speed is not None:
        by_x = by_x - spots.speed[..., 0] * rate
        by_y = by_y - spots.speed[..., 1] * rate
    # d / d(x, y) by d / d(xi, eta)
    turned = [spots.inverse[..., k, 0] * by_x + spots.inverse[..., k, 1] * by_y for k in (0, 1)]
    still = plain @ spots.value + turned[0] @ spots.grad[..., 0] + turned[1] @ spots.grad[..., 1]
    return still.transpose(2, 3, 0, 1), (rate @ spots.value).transpose(2, 3, 0, 1)
