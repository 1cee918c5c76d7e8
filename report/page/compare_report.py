"""The report of compared sections: side by side, their membranes, and ratios to the first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ...geometry.errors import InputError
from ...solver.section.stress.actions import SYMBOLS
from ..study.compare_figure import plot_comparison
from ..study.compare_table import compare_blocks, compare_cases, compare_notes
from ..text.blocks import CaseGroup
from ..text.number import number
from .document import Block, Document, Formulas, Grid, Live, Prose, Remarks, ReportPart
from .inputs import section_inputs
from .live_section import section_data, shaped
from .origin import Origin, program, reproduction
from .picture import picture
from .section_report import unit_cases

if TYPE_CHECKING:
    from ...solver.study.choice.comparison import Comparison

#: Films in one page: each adds about half a megabyte.
_MOST_FILMS = 3
_FORMULAS = ("lower_bound", "upper_bound", "width", "shear_centre", "lever_arm", "plastic_torque")


def compare_report(comparison: Comparison, sources: Sequence[str], origin: Origin) -> Document:
    """The report of a comparison.

    Parameters
    ----------
    comparison : Comparison
    sources : sequence of str
        Where each section comes from.
    origin : Origin
    """
    names = [p.name for p in comparison.properties]
    figure = picture(
        plot_comparison(comparison),
        f"The sections {', '.join(names)} to one scale, and bars of their ratios to the first",
        "Sections to one scale with the shear-flow lines of a torque; ratios to the first.",
        tall=True,
    )
    films = _films(comparison)
    live = {"sections": films} if films else {}
    parts = [
        ReportPart("job", "The job", [Prose(_words(comparison))]),
        ReportPart("figures", "Figure", [figure]),
        *_film_part(films, names),
        ReportPart("numbers", "Side by side", _tables(comparison, names)),
        ReportPart("inputs", "What was given", _given(comparison, sources)),
        ReportPart("equations", "Equations and sources", [Formulas(_FORMULAS)]),
        ReportPart("cautions", "Assumptions and cautions", [Remarks(compare_notes(comparison))]),
        reproduction(origin),
    ]
    equal = f", scaled to equal {comparison.equal}" if comparison.equal else ""
    return Document(" beside ".join(names), f"Sections compared{equal}.", parts, live, program())


def _words(comparison: Comparison) -> list[str]:
    first = comparison.properties[0]
    words = [f"The sections are compared with the first, \u201c{first.name}\u201d."]
    for p, ratio in zip(comparison.properties[1:], comparison.ratios[1:], strict=True):
        what = "weighs" if comparison.by_material else "has an area"
        words.append(
            f"\u201c{p.name}\u201d {what} {number(ratio.weight, 3)} times as much and is "
            f"{number(ratio.stiffness, 3)} times as stiff in torsion: its shear acts on a mean "
            f"lever arm of {number(p.mean_lever_arm, 3)} {p.length_unit}".rstrip()
            + f", that of the first on {number(first.mean_lever_arm, 3)} {first.length_unit}."
        )
    return words


def _films(comparison: Comparison) -> list[dict[str, Any]]:
    """Data of the films; none where a section's stresses have no meaning."""
    found = []
    for k, result in enumerate(comparison.results[:_MOST_FILMS]):
        try:
            units = unit_cases(result)
        except InputError:
            return []
        data = shaped(section_data(None, units, None), result.section)
        # A film needs nothing but the stress of a torque: the other fields stay out of the page.
        torque = [unit for unit in data["tau"] if unit["action"] == SYMBOLS.index("T")]
        suffix = "" if k == 0 else f"-{k + 1}"
        found.append(
            data | {"sigma": [], "tau": torque, "known": [], "peaks": None, "suffix": suffix}
        )
    return found


def _film_part(films: list[dict[str, Any]], names: Sequence[str]) -> list[ReportPart]:
    if not films:
        return []
    blocks: list[Block] = [Live("film_words", films[0] | {"cells": any(f["cells"] for f in films)})]
    for data, name in zip(films, names, strict=False):
        words = f"\u201c{name}\u201d, the membrane to its own height:"
        blocks += [Prose([words]), Live("film", data)]
    if len(names) > len(films):
        left = ", ".join(f"\u201c{name}\u201d" for name in names[len(films) :])
        blocks.append(
            Prose(
                [
                    f"This page shows the first {len(films)} membranes, since each adds half a "
                    f"megabyte. Not shown: {left}. A comparison that names them first shows theirs."
                ]
            )
        )
    return [ReportPart("film", "The membranes (soap films)", blocks)]


def _tables(comparison: Comparison, names: Sequence[str]) -> list[Block]:
    return [_grid(block, names) for block in compare_blocks(comparison)]


def _grid(block: CaseGroup, names: Sequence[str]) -> Grid:
    rows = [
        (" ".join(w for w in (line.quantity.strip(), line.symbol) if w), *line.values, line.unit)
        for line in block.rows
    ]
    return Grid(("quantity", *names, "unit"), rows, block.heading)


def _given(comparison: Comparison, sources: Sequence[str]) -> list[Block]:
    blocks: list[Block] = [Remarks(compare_cases(comparison, sources))]
    for result in comparison.results:
        blocks += [Prose([f"\u201c{result.section.name}\u201d:"]), *section_inputs(result.section)]
    return blocks
