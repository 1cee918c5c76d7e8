"""What arcs in place of drawn curves can change of J, to first order.

Where the border moves outward by v, J grows by loop int v tau^2 / G ds, tau the shear stress per
unit twist there (Hadamard's formula for 2 l(phi) - a(phi, phi), whose phi is stationary: only the
border's motion counts); at an interface the energies of both sides part, so that their sum bounds
it. Nothing lies off by more than d, so d times the integral over all borders bounds the change.
Terms of second order are of the square of that, relative to J (a third of it for a strip that
grows on both faces, three eighths for a disc), and the whole square is added.
"""

from __future__ import annotations

import numpy as np
from numpy.polynomial import legendre

from ....geometry.outline.contour import edge_lengths
from .interval import TorsionField
from .peak import searched_edges
from .peak_search import edge_basis
from .sampling import sampled_stress

#: Share of J from which on a first order is no bound.
NOT_SMALL = 0.1


def curve_effect(field: TorsionField, deviation: float) -> float | None:
    """How far J of the drawn curves may lie from J of the arcs within `deviation` of them.

    Returns
    -------
    float or None
        In the units of J; None where the deviation is not small, so that no such bound holds.
    """
    if deviation == 0:
        return 0.0
    j = (field.lower + field.upper) / 2
    share = deviation * border_energy(field) / j
    return share * (1 + share) * j if share < NOT_SMALL else None


def border_energy(field: TorsionField) -> float:
    """loop int tau^2 / G ds over all borders, and both sides of interfaces, per unit twist.

    The larger of the two estimates of the stress counts.
    """
    mesh = field.mesh
    triangles, local = searched_edges(field)
    edges = mesh.triangle_edges[triangles, local]
    ends = mesh.vertices[mesh.edges[edges]]
    lengths = edge_lengths(ends[:, 0], ends[:, 1], mesh.bulges[edges])
    x, w = legendre.leggauss(field.order + 3)  # places along an arc run evenly with its length
    places = tuple((1 + x) / 2)
    total = 0.0
    for e in range(3):
        some = np.flatnonzero(local == e)
        if some.size:
            own = triangles[some]
            found = sampled_stress(field, own, edge_basis(field.order, e, places))
            squares = [(f**2).sum(axis=2) for f in (found.from_phi, found.from_omega)]
            means = np.maximum(*squares) @ w / 2
            total += float((means / field.shear[own]) @ lengths[some])
    return total
