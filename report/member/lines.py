"""Rows of a member's twist, displacement, stress and limits for tables with one column a case."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from ...geometry.units import Units
from ..text.blocks import CaseRow
from ..text.number import near_zero, number, unit_text

if TYPE_CHECKING:
    from ...solver.member.beam.support_reaction import SupportReaction
    from ...solver.study.choice.member_outcome import MemberOutcome

NONE = "none"
_DIGITS = 4
#: How the classical value beside a row is called.
BESIDE = "  by the classical theory"
Value = Callable[["MemberOutcome"], float | None]


def member_lines(members: Sequence[MemberOutcome | str], units: Units) -> list[CaseRow]:
    """What a member does in every case; a text stands for a case that could not be solved."""
    solved = [None if isinstance(m, str) else m for m in members]
    rows = [
        case_line(
            "mass of the member", "", units.mass, [None if m is None else m.mass for m in solved]
        ),
        *theory_lines(solved),
        *motion_lines(solved, units),
    ]
    if any(m is not None and m.rows for m in solved):
        rows += _both(solved, "most used limit", "", "of it", lambda m: m.ratio if m.rows else None)
    return [*rows, *_limits(solved), *_held(solved, units)]


def _limits(members: Sequence[MemberOutcome | None]) -> list[CaseRow]:
    """The use of each limit, a row each where there are several."""
    checks = [() if m is None else m.checks for m in members]
    longest = max(checks, key=len, default=())
    if len(longest) < 2:
        return []
    return [
        case_line(f"used: {one.limit}", "", "of it", [c[n].ratio if c else None for c in checks])
        for n, one in enumerate(longest)
    ]


def _held(members: Sequence[MemberOutcome | None], units: Units) -> list[CaseRow]:
    """The largest and smallest reaction of all supports and restraints, and the largest torque."""
    label, force = units.display("force")
    moment_label, moment = units.display("moment")
    each = [[r for c in m.reactions for r in c] if m is not None else [] for m in members]
    return [
        case_line("largest upward reaction", "R_y", unit_text(label),
                  [max((force * r.force[1] for r in held), default=None) for held in each]),
        case_line("smallest upward reaction", "R_y", unit_text(label),
                  [min((force * r.force[1] for r in held), default=None) for held in each]),
        case_line("largest torque of a support", "T", unit_text(moment_label),
                  [_largest_torque(held, moment) for held in each]),
    ]  # fmt: skip


def _largest_torque(held: Sequence[SupportReaction], factor: float) -> float | None:
    """0 where it is rounding beside the forces, each at an arm of one unit of length."""
    scale = max((max(map(abs, r.force)) for r in held), default=0.0)
    torque = max((abs(r.torque) for r in held), default=None)
    return None if torque is None else factor * near_zero(torque, scale)


def theory_lines(members: Sequence[MemberOutcome | None]) -> list[CaseRow]:
    """Which theory the numbers below are of."""
    values = tuple(NONE if m is None else m.theory for m in members)
    return [CaseRow("theory", "", "", values)]


def motion_lines(members: Sequence[MemberOutcome | None], units: Units) -> list[CaseRow]:
    """Twist, displacement, deflection and stress, the classical ones below."""
    stress_unit, stress = units.display("stress")

    def scaled(m: MemberOutcome) -> float | None:
        return None if m.stress is None else stress * m.stress

    length = units.length
    rows = [
        *_both(members, "largest twist", "phi", "deg", lambda m: math.degrees(m.twist)),
        *_both(members, "largest displacement of the shear centre", "", length,
               lambda m: m.movement),
    ]  # fmt: skip
    if any(m is not None and m.deflection is not None for m in members):
        words = "largest deflection of a corner"
        rows += _both(members, words, "", length, lambda m: m.deflection)
    label = unit_text(stress_unit)
    return [*rows, *_both(members, "largest von Mises stress", "sigma_v", label, scaled)]


def _both(
    members: Sequence[MemberOutcome | None], words: str, symbol: str, unit: str, value: Value
) -> list[CaseRow]:
    """A row, and one of the classical values where deforming sections lead."""
    rows = [case_line(words, symbol, unit, [None if m is None else value(m) for m in members])]
    beside = [None if m is None or m.classical is None else value(m.classical) for m in members]
    if any(b is not None for b in beside):
        rows.append(case_line(BESIDE, "", unit, beside))
    return rows


def failures(members: Sequence[MemberOutcome | str]) -> list[str]:
    """A note for every case that could not be solved, and for every one of which the classical
    theory tells alone."""
    notes = []
    for n, found in enumerate(members, 1):
        if isinstance(found, str):
            notes.append(f"The member with section {n}: {found}")
        elif found.alone:
            notes.append(
                f"The member with section {n} is judged by the classical theory alone: "
                f"{found.alone}."
            )
        elif found.stress is None and found.change is not None:
            notes.append(
                f"The member with section {n}: its peak stress still changes with the modes by "
                f"{number(100 * found.change, 2)} %, so none is stated, and a limit of stress is "
                "not judged reliably."
            )
    return notes


def case_line(
    words: str, symbol: str, unit: str, values: Sequence[float | None], digits: int = _DIGITS
) -> CaseRow:
    """Numbers of every case."""
    shown = tuple(NONE if v is None else number(v, digits) for v in values)
    return CaseRow(words, symbol, unit, shown)
