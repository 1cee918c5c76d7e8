"""Rules on one section and one place, as a verdict each: the program applies the same along members
(`soapfilm.solver.rules`)."""

from __future__ import annotations

import math

from soapfilm.geometry.errors import InputError
from soapfilm.solver.rules import hollow_torsion, shear_torsion
from soapfilm.solver.rules.verdict import Verdict


def shear_check(
    shear: float, plastic_resistance: float, reduction: shear_torsion.ShearReduction
) -> Verdict:
    """V_Ed / V_pl,T,Rd <= 1."""
    if not plastic_resistance > 0:
        raise InputError(f"plastic shear resistance must be positive, got {plastic_resistance}")
    source = f"{shear_torsion.SOURCE} Eq. ({reduction.equation})"
    if reduction.exhausted:
        reason = "torsion alone uses the whole shear resistance"
        return Verdict("shear with torsion", math.inf, source, shear_torsion.PROVENANCE, reason)
    ratio = abs(shear) / (plastic_resistance * reduction.ratio)
    return Verdict("shear with torsion", ratio, source, shear_torsion.PROVENANCE)


def torsion_check(torque: float, resistance: float) -> Verdict:
    """T_Ed / T_Rd <= 1 with T_Ed = T_t,Ed + T_w,Ed (6.23, 6.24)."""
    if not resistance > 0:
        raise InputError(f"torsional resistance must be positive, got {resistance}")
    return Verdict(
        "torsion",
        abs(torque) / resistance,
        f"{shear_torsion.SOURCE} Eq. (6.23)",
        shear_torsion.PROVENANCE,
    )


def yield_criterion(
    normal_stress: float, shear_stress: float, yield_stress: float, gamma_m0: float = 1.0
) -> Verdict:
    """(sigma/f_yd)^2 + 3 (tau/f_yd)^2 <= 1, clause 6.2.1 Eq. (6.1) for one fibre.

    sigma holds axial, bending and warping stress of that fibre, tau shear, Saint-Venant and
    warping. The ratio given is the square root of the left side.
    """
    if not (yield_stress > 0 and gamma_m0 > 0):
        raise InputError(
            f"yield stress and gamma_M0 must be positive, got {yield_stress} and {gamma_m0}"
        )
    design = yield_stress / gamma_m0
    ratio = math.hypot(normal_stress, math.sqrt(3) * shear_stress) / design
    return Verdict(
        "elastic yield criterion", ratio, "EN 1993-1-1:2005 Eq. (6.1)", shear_torsion.PROVENANCE
    )


def open_section(
    normal_stress: float,
    shear_stress: float,
    yield_stress: float,
    buckling_stress: float | None = None,
    *,
    allowable: bool = False,
) -> tuple[Verdict, ...]:
    """Other shapes (H3.3): elastic stresses under factored loads against phi F_n, or F_n / Omega.

    Normal stress against F_y, shear against 0.6 F_y, and, where the buckling stress F_cr by
    analysis is given, normal stress against it. Constrained local yielding beside elastic areas,
    which the code lets pass (from memory), is not used.
    """
    _check(yield_stress)
    factor = 1 / hollow_torsion.SAFETY if allowable else hollow_torsion.RESISTANCE
    rows = [
        ("normal yield", abs(normal_stress), yield_stress),
        ("shear yield", abs(shear_stress), 0.6 * yield_stress),
    ]
    if buckling_stress is not None:
        _check(buckling_stress)
        rows.append(("buckling", abs(normal_stress), buckling_stress))
    return tuple(
        Verdict(
            f"open section in torsion, {word}",
            demand / (factor * limit),
            hollow_torsion.SOURCE,
            hollow_torsion.PROVENANCE,
        )
        for word, demand, limit in rows
    )


def _check(value: float) -> None:
    if not 0 < value < math.inf:
        raise InputError(f"stresses that limit must be positive, got {value}")
