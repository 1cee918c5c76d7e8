"""Exact area moments of contours: line integrals by Green's theorem.

A = int dA = closed integral of x dy; int x^a y^b dA = closed integral of x^(a+1) y^b / (a+1) dy.
Straight edges are integrated exactly by the rule of `contour.edge_quadrature`, arcs to rounding.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from .contour import Contour, edge_quadrature, segment_area

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
    x = np.vander(points[:, 0], degree + 2, increasing=True)[:, 1:]
    y = np.vander(points[:, 1], degree + 1, increasing=True)
    m = (x * steps[:, 1:]).T @ y / (powers[:, None] + 1)
    return np.where(powers[:, None] + powers <= degree, m, 0.0)


def area_and_first_moments(contours: Iterable[Contour], origin: Array) -> tuple[float, Array]:
    """Area inside the contours and its first moments (2,) about `origin`, in closed form.

    Polygons by the shoelace formula; a circular segment of chord c, half angle a and area S has the
    moment c^3/12 - S c/(2 tan a) about its chord.
    """
    run = list(contours)
    p = np.vstack([c.points for c in run]) - origin
    q = np.vstack([c.ends for c in run]) - origin
    cross = p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]
    area, first = float(cross.sum()) / 2, (p + q).T @ cross / 6
    bulges = np.concatenate([c.bulges for c in run])
    arcs = np.flatnonzero(bulges)
    if arcs.size:
        p, q, b = p[arcs], q[arcs], bulges[arcs]
        d = q - p
        chord2 = np.sum(d**2, axis=1)
        segment = segment_area(chord2, b)
        # tan a = 2 b/(1 - b^2); along the right of the chord, by its length
        aside = chord2 / 12 - segment * (1 - b**2) / (4 * b)
        area += float(segment.sum())
        first = first + (p + q).T @ segment / 2 + np.array([aside @ d[:, 1], -aside @ d[:, 0]])
    return area, np.asarray(first)
