"""The table of a section's buckling: actions, minima, and what rules at the longest half-wave."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..text.blocks import Group, HeadedRows, Row, Sentences
from ..text.number import displayed, number, unit_text
from ..text.rendering import folded, render, render_passage
from .effective import effective_groups, effective_notes, wall_rows
from .words import DIGITS, action_units, buckling_notes, mode_words

if TYPE_CHECKING:
    from ...solver.section.buckling.effective import EffectiveSection
    from ...solver.section.buckling.result import BucklingMode, SectionBuckling


def buckling_table(buckling: SectionBuckling, effective: EffectiveSection | None = None) -> str:
    """The table as text."""
    title = f"{buckling.section.name}: elastic buckling by half-wavelength"
    text = render(title, [given_actions(buckling)])
    for heading, rows in mode_tables(buckling):
        text += "\n" + render_passage([Sentences([heading]), rows])
    notes = buckling_notes(buckling)
    if effective is not None:
        group = effective_groups(buckling, effective)[0]
        text += "\n" + render(group.heading, [Group("Properties", group.rows)])
        text += "\n" + render_passage([Sentences(["Walls"]), wall_rows(buckling, effective)])
        notes = [*effective_notes(buckling, effective), *notes]
    return text + "\n" + folded(notes, "* ")


def given_actions(buckling: SectionBuckling) -> Group:
    """The actions of load factor 1."""
    rows = [
        Row("", symbol, number(float(buckling.vector[k]) * factor), unit)
        for k, symbol, unit, factor in action_units(buckling)
    ]
    if buckling.compression:
        unit, factor = displayed(buckling.section.unit, "stress")
        value = number(buckling.compression * factor, DIGITS)
        rows.append(Row("largest compressive stress", "σ", value, unit))
    return Group("Actions at load factor 1", rows)


def mode_tables(buckling: SectionBuckling) -> list[tuple[str, HeadedRows]]:
    """Headings and tables of the modes."""
    longest = number(float(buckling.half_wavelengths[0]), 4)
    out = []
    if buckling.minima:
        out.append(("Minima of the load factor", mode_rows(buckling, buckling.minima, 1)))
    out.append(
        (
            f"At the longest half-wavelength, {longest} {buckling.section.unit}".rstrip(),
            mode_rows(buckling, buckling.longest, 1 + len(buckling.minima)),
        )
    )
    return out


def mode_rows(buckling: SectionBuckling, modes: Sequence[BucklingMode], first: int) -> HeadedRows:
    """One row a mode, numbered from `first` as in the figure."""
    stress_unit, stress = displayed(buckling.section.unit, "stress")
    actions = action_units(buckling)
    heads = ["", "what buckles", "half-wavelength", "load factor"]
    units = ["", "", unit_text(buckling.section.unit), ""]
    if buckling.compression:
        heads.append("critical stress")
        units.append(stress_unit)
    heads += [symbol for _, symbol, _, _ in actions]
    units += [unit for _, _, unit, _ in actions]
    rows = []
    for n, mode in enumerate(modes, first):
        row = [str(n), mode_words(mode), number(mode.half_wavelength, 4)]
        row.append(number(mode.factor, DIGITS))
        if buckling.compression:
            row.append(number(buckling.stress(mode) * stress, DIGITS))
        row += [
            number(float(buckling.vector[k]) * mode.factor * factor, DIGITS)
            for k, _, _, factor in actions
        ]
        rows.append(row)
    return HeadedRows(heads, units, rows, words=None)
