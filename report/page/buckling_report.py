"""The report of a section's buckling: what buckles first, the curve and its shapes, the modes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..buckling.effective import effective_groups, effective_notes, wall_rows
from ..buckling.figure import buckling_figure
from ..buckling.table import given_actions, mode_tables
from ..buckling.words import (
    action_texts,
    buckling_notes,
    length_text,
    mode_words,
    stress_text,
)
from ..text import caution
from ..text.number import number
from .document import Block, Document, Fact, Facts, Grid, Prose, Quantities, Remarks, ReportPart
from .inputs import section_inputs
from .origin import Origin, program, reproduction
from .picture import picture

if TYPE_CHECKING:
    from ...solver.section.buckling.effective import EffectiveSection
    from ...solver.section.buckling.result import BucklingMode, SectionBuckling
    from ..text.blocks import HeadedRows


def buckling_report(
    buckling: SectionBuckling, effective: EffectiveSection | None, origin: Origin
) -> Document:
    """The report of a solved curve."""
    actions = ", ".join(action_texts(buckling, 1.0))
    figure = picture(
        buckling_figure(buckling, effective),
        f"Critical load factor of {buckling.section.name} against half-wavelength, and the shapes "
        "in which it buckles",
        "The load factor at which the section buckles, by half-wavelength, coloured by what moves; "
        "below it the shapes at the numbered places, enlarged.",
    )
    notes = buckling_notes(buckling)
    parts = [
        ReportPart("job", "The job", [Prose(_words(buckling)), Facts(_facts(buckling))]),
        ReportPart("curve", "Curve and shapes", [figure]),
        ReportPart(
            "modes",
            "Modes",
            [_grid(rows, heading) for heading, rows in mode_tables(buckling)],
        ),
    ]
    if effective is not None:
        blocks: list[Block] = [
            Quantities(effective_groups(buckling, effective)),
            _grid(wall_rows(buckling, effective), "Walls"),
            Prose(effective_notes(buckling, effective)),
        ]
        parts.append(ReportPart("effective", "Effective section, by a code's rule", blocks))
    kept = [note for note in notes if note != caution.BUCKLING]
    parts += [
        ReportPart(
            "inputs",
            "What was given",
            [*section_inputs(buckling.section), Quantities([given_actions(buckling)])],
        ),
        ReportPart("cautions", "Assumptions and cautions", [Remarks([*kept, caution.BUCKLING])]),
        reproduction(origin),
    ]
    subtitle = f"Elastic buckling by half-wavelength under {actions}."
    return Document(buckling.section.name, subtitle, parts, {}, program())


def _words(buckling: SectionBuckling) -> list[str]:
    first = buckling.governing
    where = f"at a half-wavelength of {length_text(buckling, first.half_wavelength)}"
    critical = ", ".join(action_texts(buckling, first.factor, 4))
    sentences = [
        f"The lowest buckling mode found is {first.movement.words} {where}: load factor "
        f"{number(first.factor, 4)}, which is {critical}."
    ]
    local = [mode for mode in buckling.minima if mode is not first]
    for mode in sorted(local, key=lambda one: one.factor)[:3]:
        stress = stress_text(buckling, mode, 4)
        beside = f" ({stress})" if stress else ""
        sentences.append(
            f"{mode_words(mode).capitalize()}: load factor {number(mode.factor, 4)}{beside} at "
            f"{length_text(buckling, mode.half_wavelength)}."
        )
    return [" ".join(sentences)]


def _facts(buckling: SectionBuckling) -> list[Fact]:
    modes: list[BucklingMode] = sorted(buckling.minima, key=lambda one: one.factor)[:3]
    return [_fact(buckling, mode) for mode in [*modes, buckling.longest[0]]]


def _fact(buckling: SectionBuckling, mode: BucklingMode) -> Fact:
    critical = ", ".join(action_texts(buckling, mode.factor, 4))
    stress = stress_text(buckling, mode, 4)
    note = f"at {length_text(buckling, mode.half_wavelength)}: {critical}"
    return Fact(
        mode_words(mode), "", number(mode.factor, 4), "", f"{note}, {stress}" if stress else note
    )


def _grid(rows: HeadedRows, caption: str) -> Grid:
    heads = [
        f"{head} ({unit})" if unit else head
        for head, unit in zip(rows.headings, rows.units, strict=True)
    ]
    return Grid(heads, rows.rows, caption)
