"""Torsion of a tube between two circles that are not concentric, exactly, in bipolar coordinates.

With z = x + i y = c coth((xi + i eta)/2) the circles are the lines xi = const, of radius c/sinh(xi)
and centre c coth(xi). The stress function per unit G theta is phi = h - |z|^2/2 with a harmonic h
that equals |z|^2/2 but for a constant on each circle, and

    |z|^2 = c^2 (2 coth xi - 1 + 4 coth xi sum exp(-n xi) cos n eta).

The warping is the harmonic conjugate of h. It has one value at each point, so h has no term linear
in xi, and its cosine coefficients are h_n = 2 c^2 coth xi exp(-n xi) on both circles (inner a,
outer b), of the form h_n(xi) = A_n exp(n xi) + B_n exp(-n xi) between. Then
J = I_p - int |grad h|^2 with I_p about the origin of the coordinates, and Dirichlet's integral does
not change under the map:

    int |grad h|^2 = pi sum n [(h_n(a)^2 + h_n(b)^2) cosh n L - 2 h_n(a) h_n(b)]/sinh n L,

L = a - b.

Derived here; the problem was first solved by Macdonald, Proc. Camb. Phil. Soc. 8 (1893) 62 (from
memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

#: Terms of the series and points of the rules; the terms fall as exp(-n L) and faster.
_TERMS, _ACROSS, _AROUND = 400, 80, 4000


@dataclass(frozen=True, slots=True)
class ExactTube:
    """J, C_w, and the shear centre's distance from the outer circle's centre, toward the thick
    wall."""

    torsion_constant: float
    warping_constant: float
    shear_offset: float


def exact_tube(outer: float, inner: float, eccentricity: float) -> ExactTube:
    """Exact properties of the tube.

    Parameters
    ----------
    outer, inner, eccentricity : float
        Radii, and the distance of the centres; 0 < eccentricity < outer - inner.
    """
    big, small, e = outer, inner, eccentricity
    # Centres lie at sqrt(c^2 + r^2); they are e apart, the smaller circle's nearer to the origin.
    far = (big**2 - small**2 + e**2) / (2 * e)
    c = float(np.sqrt(far**2 - big**2))
    a, b = float(np.arcsinh(c / small)), float(np.arcsinh(c / big))
    n = np.arange(1.0, _TERMS + 1)
    at_a, at_b = (2 * c**2 / np.tanh(xi) * np.exp(-n * xi) for xi in (a, b))
    # cosh and 1/sinh of n L without overflow
    shrink = np.exp(-n * (a - b))
    coth = (1 + shrink**2) / (1 - shrink**2)
    csch = 2 * shrink / (1 - shrink**2)
    dirichlet = np.pi * np.sum(n * ((at_a**2 + at_b**2) * coth - 2 * at_a * at_b * csch))
    polar = sum(
        sign * np.pi * r**2 * (r**2 / 2 + c**2 + r**2) for sign, r in ((1, big), (-1, small))
    )

    # omega = -sum (A_n exp(n xi) - B_n exp(-n xi)) sin n eta, and y = -c sin(eta)/(cosh - cos):
    # both signs are left out.
    x, w = np.polynomial.legendre.leggauss(_ACROSS)
    xi = b + (x + 1) / 2 * (a - b)
    eta = (np.arange(_AROUND) + 0.5) * np.pi / _AROUND
    low, high = np.exp(np.outer(xi - a, n)), np.exp(np.outer(b - xi, n))
    rising = (at_a - at_b * shrink) / (1 - shrink**2)
    falling = (at_b - at_a * shrink) / (1 - shrink**2)
    omega = (low * rising - high * falling) @ np.sin(np.outer(n, eta))
    scale = c / (np.cosh(xi)[:, None] - np.cos(eta))
    y = scale * np.sin(eta)
    weight = scale**2 * w[:, None] * (a - b) / 2 * (2 * np.pi / _AROUND)
    second = np.pi / 4 * (big**4 - small**4)
    slope = float(np.sum(omega * y * weight)) / second
    return ExactTube(
        float(polar - dirichlet),
        float(np.sum(omega**2 * weight)) - slope**2 * second,
        -slope - far,  # about the pole (x_S, 0) omega gains x_S y, which must undo the slope
    )
