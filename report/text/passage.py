"""Grids and sentences of a member's report, and how the terminal shows them."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

_GAP = "  "
#: Sentences are folded here: the width every terminal has.
_WIDTH = 79


@dataclass(frozen=True, slots=True)
class HeadedRows:
    """Rows under headings and their units, not yet laid out."""

    headings: Sequence[str]
    units: Sequence[str]
    rows: Sequence[Sequence[str]]


@dataclass(frozen=True, slots=True)
class Sentences:
    """Paragraphs, not yet folded."""

    texts: Sequence[str]


Passage = Sequence[HeadedRows | Sentences]


def printed(passage: Passage) -> str:
    """A passage as the terminal shows it."""
    return "".join(
        grid(item.headings, item.units, item.rows)
        if isinstance(item, HeadedRows)
        else folded(item.texts)
        for item in passage
    )


def grid(headings: Sequence[str], units: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """The grid as text, with one line of headings and one of units (left out when all are empty).

    A column is set to the right when all its entries start like a number, or are a dash.
    """
    lines = [list(headings), *([list(units)] if any(units) else []), *map(list, rows)]
    right = [all(_numeric(row[k]) for row in rows) for k in range(len(headings))]
    widths = [max(len(line[k]) for line in lines) for k in range(len(headings))]
    out = []
    for line in lines:
        cells = [
            cell.rjust(width) if to_right else cell.ljust(width)
            for cell, width, to_right in zip(line, widths, right, strict=True)
        ]
        out.append(_GAP.join(cells).rstrip())
    head = len(out) - len(rows)
    out.insert(head, _GAP.join("-" * width for width in widths))
    return "\n".join(out) + "\n"


def _numeric(text: str) -> bool:
    return text in ("", "-", "lifts") or text.lstrip("+-")[:1].isdigit()


def folded(sentences: Iterable[str], first: str = "") -> str:
    """Sentences as paragraphs, each with `first` in front of it; "" when there are none."""
    lines = []
    for sentence in sentences:
        lines += textwrap.wrap(
            sentence, _WIDTH, initial_indent=first, subsequent_indent=" " * len(first)
        )
    return "\n".join(lines) + "\n" if lines else ""
