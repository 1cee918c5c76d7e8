"""Sections that stay plane in torsion, such as circles, told from rounding."""

from __future__ import annotations

#: C_w below this share of (I_x + I_y)^2 / A is rounding, which leaves about 1e-20 there.
_NO_WARPING = 1e-12


def warps(
    warping_constant: float, second_moment_x: float, second_moment_y: float, area: float
) -> bool:
    """False for sections that can carry neither bimoment nor warping torque."""
    return warping_constant > _NO_WARPING * (second_moment_x + second_moment_y) ** 2 / area
