"""Torsion constants in closed form of sections that a near-degenerate case can be made of.

All follow from Saint-Venant's problem by separation of variables or a conformal map (derived here,
and checked against each other where their ranges meet). Each returns J in powers of the length
given.
"""

from __future__ import annotations

from math import atanh, expm1, pi, tanh

import numpy as np


def rectangle(long: float, short: float) -> float:
    """a b^3/3 (1 - 192 b/(pi^5 a) sum over odd n of tanh(n pi a/2b)/n^5), a >= b (Saint-Venant)."""
    n = np.arange(1.0, 4001.0, 2.0)[::-1]
    tail = float(np.sum(np.tanh(n * pi * long / (2 * short)) / n**5))
    return long * short**3 / 3 * (1 - 192 * short / (pi**5 * long) * tail)


def annular_sector(inner: float, outer: float, angle: float) -> float:
    """A piece of a ring between two radii over an angle of at most a full turn, both ends free.

    With u = ln(r/a) in [0, U] and k = m pi/U the stress function is a sum of sin(k u) terms, in
    theta 1 - cosh(k theta)/cosh(k alpha), alpha half the angle, and

        J = (16 a^4 alpha/U) sum over m of (I_m/k)^2 (1 - tanh(k alpha)/(k alpha)),
        I_m = int_0^U sin(k u) exp(2 u) du = k (1 - (-1)^m exp(2 U))/(k^2 + 4).

    All terms are positive: no digits are lost for thin walls. The terms left out are a tail of the
    convergent sum of 1/m^4, summed by its leading term.
    """
    thickness = float(np.log1p((outer - inner) / inner))
    alpha = angle / 2
    m = np.arange(1.0, 20001.0)[::-1]
    k = m * pi / thickness
    odd = m % 2 == 1
    ends = np.where(odd, 2 + expm1(2 * thickness), -expm1(2 * thickness))
    # 1 - tanh(x)/x without cancellation where x is small
    x = k * alpha
    small = np.minimum(x, 0.05)
    series = small**2 * (1 / 3 - small**2 * (2 / 15 - small**2 * (17 / 315 - small**2 * 62 / 2835)))
    held = np.where(x < 0.05, series, 1 - np.tanh(x) / x)
    terms = (ends / (k**2 + 4)) ** 2 * held
    # beyond the last m the terms are ends^2/k^4 alternating between odd and even
    last = (thickness / pi) ** 4 * (ends[0] ** 2 + ends[1] ** 2) / 2 * held[0]
    total = float(terms.sum()) + last / (3 * (m[0] + 0.5) ** 3)
    return 16 * inner**4 * alpha / thickness * total


def eccentric_ring(outer: float, inner: float, offset: float) -> float:
    """A round bar with a round hole whose middle lies at `offset` from the bar's.

    The bilinear map z = (w + a)/(1 + a w) takes a concentric ring rho < |w| < 1 onto the section
    (outer radius 1) when the hole's ends are tanh(A -+ B), a = tanh A, rho = tanh B. There r^2/2 is
    constant on |w| = 1 and has on |w| = rho the Fourier coefficients

        c_n = -(1 - rho^2)(1 - a^2)/(1 - a^2 rho^2) (-a rho)^n,

    so that the warping, conjugate to the harmonic function with these values, has the energy
    D = pi sum n c_n^2 (1 + rho^(2n))/(1 - rho^(2n)), and J = I_p - D about the bar's middle.
    """
    r, e = inner / outer, offset / outer
    near, far = atanh(e - r), atanh(e + r)
    a, rho = tanh((far + near) / 2), tanh((far - near) / 2)
    q = a * rho
    polar = pi / 2 * (1 - r**4) - pi * r**2 * e**2
    if q == 0:
        return polar * outer**4
    count = int(min(2e6, max(50.0, -40 / (2 * np.log(q)))))
    n = np.arange(1.0, count + 1)[::-1]
    c = (1 - rho**2) * (1 - a**2) / (1 - q**2) * q**n
    energy = pi * float(np.sum(n * c**2 * (1 + rho ** (2 * n)) / -np.expm1(2 * n * np.log(rho))))
    return (polar - energy) * outer**4


def notched_disc(radius: float, notch: float) -> float:
    """A round bar with a round notch whose middle lies on its border (Weber's keyway).

    phi = (r^2 - b^2)(2 R cos(theta)/r - 1)/2 about the notch's middle (Weber, Forschungsarbeiten
    VDI 249 (1921), from memory; it vanishes on both circles and has the Laplacian -2). J = 2 int
    phi dA; with h = 2 R cos(theta) - b the integral over r is (b h^3/3 + h^4/12)/2.
    """
    end = float(np.arccos(notch / (2 * radius)))
    x, w = np.polynomial.legendre.leggauss(200)
    deep = 2 * radius * np.cos(end * (x + 1) / 2) - notch  # of the material behind the notch
    return end * float(w @ (notch * deep**3 / 3 + deep**4 / 12))
