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
    m = np.zeros((degree + 1, degree + 1))
    for c in contours:
        points, steps = edge_quadrature(
            c.points - np.asarray(origin), c.ends - np.asarray(origin), c.bulges
        )
        x, y = points.T
        for a in range(degree + 1):
            for b in range(degree + 1 - a):
                m[a, b] += np.sum(x ** (a + 1) * y**b * steps[:, 1]) / (a + 1)
    return m
