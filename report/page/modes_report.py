"""The page of a member's natural frequencies: modes in motion, tables, figure, sources."""

from __future__ import annotations

import os

from ..files import write_text
from ..text.blocks import HeadedRows, Passage
from ..vibration.figure import plot_modes
from ..vibration.result import ModesResult
from ..vibration.table import notes, passages
from .document import Block, Document, Grid, Live, Prose, Remarks, ReportPart
from .layout import page
from .live_modes import modes_data
from .origin import Origin, program, reproduction
from .picture import picture


def modes_report(result: ModesResult, origin: Origin) -> Document:
    """The document."""
    vibration = result.vibration
    data = modes_data(result)
    said = passages(result)
    figure = picture(
        plot_modes(result),
        f"Modes of {vibration.member.name}, each with the section that moves most",
        "Modes at their largest displacement.",
    )
    parts = [
        ReportPart("motion", "Modes in motion", [Live("modes", data)], screen_only=True),
        *(
            ReportPart(heading.lower().replace(" ", "-"), heading, _blocks(passage))
            for heading, passage in said.items()
        ),
        ReportPart("figure", "Figure", [figure]),
        ReportPart("cautions", "Assumptions and cautions", [Remarks(notes(result))]),
        reproduction(origin),
    ]
    subtitle = "Natural frequencies and modes of a member."
    live = {"sections": [], "modes": data}
    return Document(vibration.member.name, subtitle, parts, live, program())


def write_modes_page(result: ModesResult, path: str | os.PathLike[str], origin: Origin) -> None:
    """Write the page, whole or not at all."""
    write_text(path, page(modes_report(result, origin)))


def _blocks(passage: Passage) -> list[Block]:
    found: list[Block] = []
    for item in passage:
        if isinstance(item, HeadedRows):
            units = item.units or [""] * len(item.headings)
            heads = [f"{h} ({u})" if u else h for h, u in zip(item.headings, units, strict=True)]
            found.append(Grid(heads, item.rows))
        else:
            found.append(Prose(item.texts))
    return found
