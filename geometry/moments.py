"""Exact area moments of contours: line integrals by Green's theorem.

A = int dA = closed integral of x dy; int x^a y^b dA = closed integral of x^(a+1) y^b / (a+1) dy.
Straight edges are integrated exactly by the rule of `contour.edge_quadrature`, arcs to rounding.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from .contour import Contour, edge_quadrature

Array = NDArray[np.float64]


def contour_moments(
    contours: Iterable[Contour], origin: tuple[float, float], degree: int = 2
) -> Array:
    """Moments int x^a y^b dA of the area inside the contours, about `origin`.

    Parameters
    ----------
    contours : iterable of Contour
        Outlines anticlockwise, holes clockwise: signed areas add up.
    origin : (x, y)
        Moments are taken about this point; choose it near the centroid to keep digits.
    degree : int
        Highest a + b (at most 6 for the rule used).

    Returns
    -------
    (degree + 1, degree + 1) array m with m[a, b] = int x^a y^b dA, zero where a + b > degree.
    """
    run = list(contours)
    points, steps = edge_quadrature(
        np.vstack([c.points for c in run]) - np.asarray(origin),
        np.vstack([c.ends for c in run]) - np.asarray(origin),
        np.concatenate([c.bulges for c in run]),
    )
    powers = np.arange(degree + 1)
    x, y = points[:, :1] ** (powers + 1), points[:, 1:] ** powers
    m = (x * steps[:, 1:]).T @ y / (powers[:, None] + 1)
    return np.where(powers[:, None] + powers <= degree, m, 0.0)
