"""Elastic critical moment by the three-factor formula (NCCI SN003b Eq. 1, read in part).

    M_cr = C_1 pi^2 E I_z / (k L)^2
           { sqrt[(k/k_w)^2 I_w/I_z + (k L)^2 G I_t / (pi^2 E I_z) + (C_2 z_g)^2] - C_2 z_g }

for doubly symmetric sections with both ends held against sideways movement and twist. z_g is
positive for a load above the shear centre. `stability` solves the eigenvalue problem itself; this
formula is its companion by hand.
"""

from __future__ import annotations

import math

from soapfilm.geometry.errors import InputError
from soapfilm.solver.rules.verdict import Verdict

SOURCE = "NCCI SN003b Eq. (1)"

#: (C_1, C_2) by moment diagram, from memory. For a point load the eigenvalue solution of
#: `stability`
#: is within 1.2 % of the older pair and up to 5 % from the newer one where the load is off the
#: shear
#: centre (above it, the newer pair is on the safe side; below it, it is not).
FACTORS: dict[str, tuple[float, float]] = {
    "uniform moment": (1.0, 0.0),
    "uniform load": (1.127, 0.454),
    "midspan point load": (1.348, 0.630),
    "midspan point load, older tables": (1.365, 0.553),
}


def critical_moment(
    elastic_modulus: float,
    shear_modulus: float,
    second_moment_minor: float,
    torsion_constant: float,
    warping_constant: float,
    length: float,
    *,
    factors: tuple[float, float] = (1.0, 0.0),
    load_height: float = 0.0,
    k: float = 1.0,
    k_w: float = 1.0,
) -> float:
    """M_cr; `k` below 1 (ends held in plan) and `k_w` below 1 (warping held) need their own
    justification."""
    for word, value in (
        ("E", elastic_modulus),
        ("G", shear_modulus),
        ("I_z", second_moment_minor),
        ("I_t", torsion_constant),
        ("length", length),
        ("k", k),
        ("k_w", k_w),
        ("C_1", factors[0]),
    ):
        if not 0 < value < math.inf:
            raise InputError(f"critical moment: {word} must be positive, got {value}")
    if not warping_constant >= 0:
        raise InputError(f"critical moment: I_w must not be negative, got {warping_constant}")
    c_1, c_2 = factors
    euler = math.pi**2 * elastic_modulus * second_moment_minor / (k * length) ** 2
    inside = (
        (k / k_w) ** 2 * warping_constant / second_moment_minor
        + shear_modulus * torsion_constant / euler
        + (c_2 * load_height) ** 2
    )
    return c_1 * euler * (math.sqrt(inside) - c_2 * load_height)


def first_order_check(
    moment: float, critical: float, *, flag_above: float = 0.1, refuse_above: float = 0.3
) -> Verdict:
    """How near a moment is to M_cr, against the share above which first order is refused.

    The shares are this project's choice: first-order twist grows by about 1 / (1 - M / M_cr).
    """
    if not critical > 0:
        return Verdict("first-order twist", math.inf, SOURCE, "derived", "no critical moment")
    share = abs(moment) / critical
    flagged = "flagged, " if flag_above < share <= refuse_above else ""
    return Verdict(
        f"first-order twist ({flagged}amplified by about "
        f"{1 / (1 - share) if share < 1 else math.inf:.2f})",
        share / refuse_above,
        SOURCE,
        "derived",
    )
