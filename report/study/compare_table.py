"""The table of compared sections: properties, then ratios to the first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from ...geometry.units import Units
from ..member.lines import failures, member_lines
from ..section.curve_words import curve_notes
from ..text import caution
from ..text.blocks import CaseGroup, CaseRow
from ..text.number import number, unit_text
from ..text.rendering import render_cases

if TYPE_CHECKING:
    from ...solver.study.choice.comparison import Comparison
    from ...solver.study.choice.member_outcome import MemberOutcome
    from ...solver.study.run.properties import Properties

NONE = "none"
_DIGITS = 5
_RATIO_DIGITS = 4


def compare_table(
    comparison: Comparison,
    sources: Sequence[str],
    members: Sequence[MemberOutcome | str] = (),
    units: Units | None = None,
) -> str:
    """The table as text.

    Parameters
    ----------
    comparison : Comparison
    sources : sequence of str
        Where each section comes from.
    members : sequence
        What a member does with each section, or why it could not be solved; empty without one.
    units : Units
        Of the member.
    """
    equal = f", all scaled to equal {comparison.equal}" if comparison.equal else ""
    title = f"{len(comparison.properties)} sections compared{equal}"
    return render_cases(
        title,
        compare_cases(comparison, sources),
        compare_blocks(comparison, members, units),
        compare_notes(comparison, members),
    )


def compare_blocks(
    comparison: Comparison,
    members: Sequence[MemberOutcome | str] = (),
    units: Units | None = None,
) -> list[CaseGroup]:
    """Properties, ratios to the first, and what a member does with each."""
    blocks = [
        CaseGroup("Properties", _properties(comparison)),
        CaseGroup(f"Ratios to 1, {comparison.properties[0].name}", _ratios(comparison)),
    ]
    if members and units is not None:
        blocks.append(CaseGroup("In the member", member_lines(members, units)))
    return blocks


def compare_cases(comparison: Comparison, sources: Sequence[str]) -> list[str]:
    """What each section is and where it comes from."""
    found = []
    for p, factor, source in zip(comparison.properties, comparison.factors, sources, strict=True):
        size = f"{number(p.width, 4)} x {number(p.depth, 4)} {p.length_unit}".rstrip()
        scaled = f", scaled by {number(factor, 4)}" if factor != 1 else ""
        material = "" if p.material == "unspecified" else f", {p.material}"
        found.append(f"{p.name}: {size}{scaled}{material} ({source})")
    return found


def _properties(comparison: Comparison) -> list[CaseRow]:
    unit = comparison.unit

    def line(words: str, symbol: str, power: int, value: Callable[[Properties], Any]) -> CaseRow:
        values = tuple(_shown(value(p), _DIGITS) for p in comparison.properties)
        raised = unit if power == 1 else unit_text(f"{unit}^{power}") if unit else ""
        return CaseRow(words, symbol, raised, values)

    lines = [line("area", "A", 2, lambda p: p.gross_area)]
    if unit and all(p.mass_per_length is not None for p in comparison.properties):
        label, factor = Units(unit).display("mass per length")
        masses = (p.mass_per_length for p in comparison.properties)
        values = tuple(number(factor * m, _DIGITS) for m in masses if m is not None)
        lines.append(CaseRow("mass per length", "m", unit_text(label), values))
    lines += [
        line("torsion constant", "J = I_T", 4, lambda p: p.torsion_constant),
        line("warping constant", "C_w = I_w", 6, lambda p: p.warping_constant if p.warps else 0.0),
        line("mean lever arm", "T / int|tau| dA", 1, lambda p: p.mean_lever_arm),
        line("torsion section modulus", "W_T", 3, lambda p: p.torsion_modulus),
    ]
    if any(p.torsion_modulus is None for p in comparison.properties):
        lines.append(
            line("  away from sharp corners", "W_T,away", 3, lambda p: p.torsion_modulus_away)
        )
    lines.append(line("fully plastic torque", "T_pl / tau_y", 3, lambda p: p.plastic_torque))
    return lines


def _ratios(comparison: Comparison) -> list[CaseRow]:
    def line(words: str, symbol: str, attribute: str) -> CaseRow:
        values = (getattr(r, attribute) for r in comparison.ratios)
        return CaseRow(words, symbol, "", tuple(_shown(v, _RATIO_DIGITS) for v in values))

    material, strength = comparison.by_material, comparison.by_strength
    return [
        line("weight", "", "weight"),
        line("torsional stiffness", "G J" if material else "J", "stiffness"),
        line("torque at first yield", "W_T tau_y" if strength else "W_T", "strength"),
        line("fully plastic torque", "T_pl", "plastic"),
        line("warping stiffness", "E C_w" if material else "C_w", "warping"),
        line("mean lever arm", "", "lever_arm"),
    ]


def compare_notes(comparison: Comparison, members: Sequence[MemberOutcome | str] = ()) -> list[str]:
    """What must stand beside the numbers: what has none and why, how it was compared, cautions."""
    notes = failures(members)
    if any(p.torsion_modulus is None for p in comparison.properties):
        notes.append(
            "A sharp re-entrant corner leaves the elastic stress without bound, so there is no "
            "torque at first yield; enter the real fillet radius to get it. The fully plastic "
            "torque does not depend on the fillet's stress."
        )
    if not comparison.by_material:
        notes.append(
            "Not every section names a material, so stiffness is compared by geometry alone."
        )
    if not comparison.by_strength and comparison.by_material:
        notes.append("Not every material states a strength, so strength is compared by geometry.")
    if any(m for m in members if not isinstance(m, str) and not m.bounded):
        notes.append("Stresses leave the surroundings of sharp corners out.")
    widest = max(p.reached for p in comparison.properties)
    notes.append(f"Every J is known to {widest:.0e} or better, guaranteed.")
    for result in comparison.results:
        notes += [f"{result.section.name}: {note}" for note in curve_notes([result])]
    if any(not isinstance(m, str) and m.classical is not None for m in members):
        notes.append(caution.JUDGED)
    notes.append(caution.SECTION)
    return notes


def _shown(value: float | None, digits: int) -> str:
    return NONE if value is None else number(value, digits)
