"""Half-waves of thin walls by finite strips: Kirchhoff's plates on middle lines, cubic across in
bending, quadratic in their plane.

A second method of a page beside the solver and the 3D reference. It knows no shear across the
walls, no material of corners and no stress that varies through the thickness.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from scipy.linalg import eigh

from .cases import STEEL, Case

#: Middle lines (x0, y0, x1, y1, thickness).
Wall = tuple[float, float, float, float, float]


def critical_factor(walls: list[Wall], case: Case, half_wavelength: float, strips: int) -> float:
    """On the strains of a case, with so many strips along the longest wall.

    Walls meet at their ends.
    """
    k = np.pi / half_wavelength
    longest = max(np.hypot(x1 - x0, y1 - y0) for x0, y0, x1, y1, _ in walls)
    nodes: dict[tuple[float, float], int] = {}
    pieces = []
    for x0, y0, x1, y1, t in walls:
        count = max(2, round(strips * np.hypot(x1 - x0, y1 - y0) / longest))
        line = np.linspace((x0, y0), (x1, y1), count + 1)
        for a, b in pairwise(line):
            ends = [nodes.setdefault(tuple(np.round(p, 6)), len(nodes)) for p in (a, b)]
            pieces.append((ends, a, b, t))
    # Of a node u_x, u_y, u_z and the rotation about z; of a strip's middle both in its plane.
    size = 4 * len(nodes) + 2 * len(pieces)
    stiff, pull = np.zeros((2, size, size))
    for number, (ends, a, b, t) in enumerate(pieces):
        own = [4 * end + i for end in ends for i in range(4)]
        own += [4 * len(nodes) + 2 * number + i for i in (0, 1)]
        at = np.ix_(own, own)
        for matrix, part in zip((stiff, pull), _strip(case, a, b, t, k), strict=True):
            matrix[at] += part
    return float(1 / eigh(pull, stiff, eigvals_only=True)[-1])


def _strip(case: Case, a: np.ndarray, b: np.ndarray, t: float, k: float) -> tuple:
    """Elastic and initial-stress matrices (10, 10) of a strip."""
    e, nu = STEEL.elastic_modulus, STEEL.poisson_ratio
    width = float(np.hypot(*(b - a)))
    along = (b - a) / width
    across = np.array([-along[1], along[0]])
    turn = np.zeros((2, 2, 10))  # in-plane and across movement of both ends
    for end in (0, 1):
        turn[0, end, 4 * end : 4 * end + 2] = along
        turn[1, end, 4 * end : 4 * end + 2] = across
    stretch = t * e / (1 - nu**2) * np.array([[1, nu, 0], [nu, 1, 0], [0, 0, (1 - nu) / 2]])
    bend = stretch * t**2 / 12
    stiff, pull = np.zeros((2, 10, 10))
    x, weight = np.polynomial.legendre.leggauss(5)
    for s, w in zip((1 + x) / 2, weight * width / 2, strict=True):
        bubble = 4 * s * (1 - s)
        slope = 4 * (1 - 2 * s) / width
        u = (1 - s) * turn[0, 0] + s * turn[0, 1]
        du = (turn[0, 1] - turn[0, 0]) / width
        z, dz = np.zeros((2, 10))
        z[[2, 6]], dz[[2, 6]] = (1 - s, s), (-1 / width, 1 / width)
        u[8], du[8], z[9], dz[9] = bubble, slope, bubble, slope
        h = [1 - 3 * s**2 + 2 * s**3, 3 * s**2 - 2 * s**3]
        r = [width * (s - 2 * s**2 + s**3), width * (s**3 - s**2)]
        dh = [(6 * s**2 - 6 * s) / width, (6 * s - 6 * s**2) / width]
        dr = [1 - 4 * s + 3 * s**2, 3 * s**2 - 2 * s]
        ddh = [(12 * s - 6) / width**2, (6 - 12 * s) / width**2]
        ddr = [(6 * s - 4) / width, (6 * s - 2) / width]
        v, dv, ddv = (own[0] * turn[1, 0] + own[1] * turn[1, 1] for own in (h, dh, ddh))
        for field, own in ((v, r), (dv, dr), (ddv, ddr)):
            field[[3, 7]] = own
        strain = np.array([du, -k * z, dz + k * u])
        curve = np.array([ddv, -(k**2) * v, 2 * k * dv])
        stiff += w * (strain.T @ stretch @ strain + curve.T @ bend @ curve)
        mean, by_x, by_y = case.strain
        px, py = a + s * (b - a)
        stress = -e * (mean + by_x * px + by_y * py) * t * k**2
        pull += w * stress * sum(np.outer(f, f) for f in (u, v, z))
    return stiff, pull
