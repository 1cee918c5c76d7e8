"""Which diagrams a member's figure has: actions, twist and stress, with what limits them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from ...solver.member.review.movement_limits import TwistLimit
from ...solver.member.review.stress_limit import StressLimit
from .carried_flow import heaviest
from .combination_numbers import numbering
from .diagram import FIRST, SECOND, Curve, Diagram
from .units import MemberUnits

if TYPE_CHECKING:
    from ...solver.member.review.assessment import Assessment

#: A moment or shear across below this share of the other is not drawn.
_IDLE = 0.02
#: How the classical theory is drawn beside deforming sections.
_CLASSICAL = ("classical theory", FIRST, (4, 1.5))


def diagrams(assessment: Assessment, units: MemberUnits, shown: int) -> list[Diagram]:
    """The panels from top to bottom, `shown` being the combination drawn with its parts."""
    table = assessment.table

    def of(word: str, quantity: str) -> Any:
        return getattr(table, word) * units.factor(quantity)

    moment, force = units.unit("moment"), units.unit("force")
    across = of("M_y", "moment")[:, shown]
    bending = -of("M_x", "moment")
    lateral = of("V_x", "force")[:, shown]
    shear = of("V_y", "force")
    parts = (
        Curve(of("T_t", "moment")[:, shown], "T_t Saint-Venant", FIRST, (4, 1.5)),
        Curve(of("T_w", "moment")[:, shown], "T_w restrained warping", SECOND, (1.2, 1.2)),
    )
    found = [
        Diagram(
            "sagging moment −M_x, drawn on the tension side",
            moment,
            bending,
            _if_felt(across, bending, "M_y"),
            down=True,
        ),
        Diagram("shear V_y", force, shear, _if_felt(lateral, shear, "V_x")),
        Diagram("torque T", moment, of("T", "moment"), parts if table.B.any() else parts[:1]),
    ]
    if table.B.any():
        found.append(Diagram("bimoment B", units.unit("bimoment"), of("B", "bimoment")))
    if assessment.flows is not None and (weld := heaviest(assessment.flows)) is not None:
        # Nothing is drawn where the member has another section.
        flow = np.nan_to_num(weld.flow) * units.factor("line load")
        found.append(Diagram(f"flow of weld {weld.line.name!r}", units.unit("line load"), flow))
    found = [d for d in found if d.values.any() or any(c.values.any() for c in d.curves)]
    found.append(_twist(assessment, units, shown))
    if assessment.stress is not None:
        found.append(_stress(assessment, units, shown))
    return found


def _if_felt(values: Any, beside: Any, words: str) -> tuple[Curve, ...]:
    if np.abs(values).max() <= _IDLE * np.abs(beside).max():
        return ()
    return (Curve(values, words, FIRST, (4, 1.5)),)


def _twist(assessment: Assessment, units: MemberUnits, shown: int) -> Diagram:
    name = assessment.solution.names[shown]
    limits = [
        x.degrees
        for x in assessment.request.limits
        if isinstance(x, TwistLimit) and (not x.combinations or name in x.combinations)
    ]
    remark = _used(assessment, "twist", units, "angle")
    limit = np.radians(min(limits)) * units.factor("angle") if limits else None
    values = assessment.table.phi * units.factor("angle")
    other = assessment.deformed
    curves: tuple[Curve, ...] = ()
    if other is not None:
        curves = (Curve(values[:, shown], *_CLASSICAL),)
        values = other.solution.twist(assessment.table.z) * units.factor("angle")
    return Diagram("twist φ", units.unit("angle"), values, curves, limit=limit, remark=remark)


def _stress(assessment: Assessment, units: MemberUnits, shown: int) -> Diagram:
    """Von Mises stress, by the theory that limits are judged by beside the classical one."""
    found = _classical_stress(assessment, units)
    other = assessment.deformed
    if other is None:
        return found
    if other.unsettled_near is not None:
        joined = " and from" if ", away" in found.words else ", away from"
        found = replace(found, words=f"{found.words}{joined} loads and supports")
    envelope = other.stress
    values = envelope.mises * units.factor("stress")
    limits = _mises_limits(assessment)
    if found.limit is not None:
        (limit,) = limits
        if limit.allowed is not None:
            values = 100 * limit.factor * envelope.mises / limit.allowed
        elif envelope.utilisation is not None:
            values = 100 * limit.factor * envelope.utilisation
        else:
            return replace(found, words=f"{found.words} (classical theory)")
    # Where the stress jumps, the larger of both sides.
    places, start = np.unique(envelope.z, return_index=True)
    values = np.maximum.reduceat(values, start, axis=0)
    at = [np.interp(assessment.table.z, places, column) for column in values.T]
    curves = (Curve(found.values[:, shown], *_CLASSICAL),)
    return replace(found, values=np.stack(at, axis=1), curves=curves)


def _mises_limits(assessment: Assessment) -> list[StressLimit]:
    return [
        x for x in assessment.request.limits
        if isinstance(x, StressLimit) and x.component == "von Mises"
    ]  # fmt: skip


def _classical_stress(assessment: Assessment, units: MemberUnits) -> Diagram:
    """Von Mises stress; as a share of its limit where there is one."""
    stress = assessment.stress
    assert stress is not None
    limits = _mises_limits(assessment)
    remark = _used(assessment, "stress", units, "stress")
    away = "" if stress.bounded else ", away from sharp corners"
    if len(limits) == 1:
        (limit,) = limits
        if limit.allowed is not None:
            share = limit.factor * stress.mises / limit.allowed
        else:
            assert stress.utilisation is not None
            share = limit.factor * stress.utilisation
        return Diagram(
            f"stress utilisation, largest{away}", "%", 100 * share, limit=100.0,
            remark=remark,
        )  # fmt: skip
    values = stress.mises * units.factor("stress")
    return Diagram(
        f"von Mises stress, largest{away}", units.unit("stress"), values,
        remark=remark,
    )  # fmt: skip


def _used(assessment: Assessment, kind: str, units: MemberUnits, quantity: str) -> str:
    """The most used limit of a kind, in words."""
    rows = [item.row for item in assessment.limits if item.kind == kind]
    if not rows:
        return ""
    row = max(rows, key=lambda r: r.ratio)
    name = "customary limit" if assessment.customary else row.limit.split(" times")[0]
    value = units.value(abs(row.value), quantity, 3)
    return (
        f"{name}: {value} of {units.text(row.allowed, quantity, 3)}, {100 * row.ratio:.0f} %, "
        f"{numbering(assessment).text(row.combination)}"
    )
