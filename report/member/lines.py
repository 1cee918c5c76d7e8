"""Rows of a member's twist, displacement, stress and limits for tables with one column a case."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...geometry.units import Units
from ..text.blocks import CaseRow
from ..text.number import number, unit_text

if TYPE_CHECKING:
    from ...solver.study.choice.substitution import MemberOutcome

NONE = "none"
_DIGITS = 4


def member_lines(members: Sequence[MemberOutcome | str], units: Units) -> list[CaseRow]:
    """What a member does in every case; a text stands for a case that could not be solved."""
    stress_unit, stress = units.display("stress")
    mass_unit = units.mass
    solved = [None if isinstance(m, str) else m for m in members]
    lines = [
        _line("mass of the member", "", mass_unit, [None if m is None else m.mass for m in solved]),
        _line(
            "largest twist",
            "phi",
            "deg",
            [None if m is None else math.degrees(m.twist) for m in solved],
        ),
        _line(
            "largest displacement",
            "",
            units.length,
            [None if m is None else m.movement for m in solved],
        ),
        _line(
            "largest von Mises stress",
            "sigma_v",
            unit_text(stress_unit),
            [None if m is None or m.stress is None else stress * m.stress for m in solved],
        ),
    ]
    if any(m is not None and m.checks for m in solved):
        used = [m.ratio if m is not None and m.checks else None for m in solved]
        lines.append(_line("most used limit", "", "of it", used))
    return lines


def failures(members: Sequence[MemberOutcome | str]) -> list[str]:
    """A note for every case that could not be solved."""
    return [
        f"The member with section {n}: {text}"
        for n, text in enumerate(members, 1)
        if isinstance(text, str)
    ]


def _line(words: str, symbol: str, unit: str, values: Sequence[float | None]) -> CaseRow:
    shown = tuple(NONE if v is None else number(v, _DIGITS) for v in values)
    return CaseRow(words, symbol, unit, shown)
