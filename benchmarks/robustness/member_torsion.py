"""Twist of one span between forks that leave it to warp, in closed form.

Vlasov's G J phi' - E C_w phi''' = T(z) with phi = phi'' = 0 at both ends of the length L gives,
with k^2 = G J / (E C_w), under a torque T at a (b = L - a), at a itself,

    phi = T / (G J) [a b / L - sinh(k a) sinh(k b) / (k sinh(k L))],

and under a torque t per length, at a,

    phi = t / (G J) [a b / 2 - (1 - cosh(k (L / 2 - a)) / cosh(k L / 2)) / k^2]

(insert to see it; the functions of Heins and Seaburg's charts). Where the amount of warping chi is
not the rate of twist (Benscoter), T = G J phi' + G J_s (phi' - chi) and E C_w chi'' = G J_s (chi -
phi'), so that chi is Vlasov's rate with k^2 = G J J_s / ((J + J_s) E C_w), and

    phi = (J phi_SV + J_s phi_Vlasov) / (J + J_s), phi_SV the twist that never warps.
"""

from __future__ import annotations

import math

from soapfilm.solver.member.model.constants import SectionConstants

from .member_case import Torque


def twist(constants: SectionConstants, length: float, torque: Torque, at: float) -> float:
    """At a station, of a torque along the length, and of a single one that acts there."""
    c = constants
    g, j, extra = c.shear_modulus, c.torsion_constant, c.secondary_torsion_constant
    share = 1.0 if extra is None else extra / (j + extra)
    k = math.sqrt(g * j * share / (c.elastic_modulus * c.warping_constant))
    a, b = at, length - at
    single = torque.single / (g * j)
    along = torque.along / (g * j)
    # sinh(ka) sinh(kb) / sinh(kL) and cosh(k(L/2 - a)) / cosh(kL/2) without overflow.
    shorter = -math.expm1(-2 * k * a) * -math.expm1(-2 * k * b) / -math.expm1(-2 * k * length) / 2
    lower = (math.exp(-k * a) + math.exp(-k * b)) / (1 + math.exp(-k * length))
    plain = single * a * b / length + along * a * b / 2
    warped = single * shorter / k + along * (1 - lower) / k**2
    return plain - share * warped


def warped_share(constants: SectionConstants, length: float, at: float) -> float:
    """Twist at a single torque between forks, of what it is without warping: a narrow rectangle's
    plate warps too, which takes up to 2.5 % in a span of 25 heights, the torque at its quarter."""
    if not constants.warping_constant > 0:
        return 1.0
    unit = Torque(at, 1.0, 0.0)
    free = at * (length - at) / (length * constants.shear_modulus * constants.torsion_constant)
    return twist(constants, length, unit, at) / free
