"""A table of numbers with one column a case: quantities down, cases across, units beside them."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

_GAP = "  "
_WIDTH = 79
#: Cases side by side before the table goes on below.
_ACROSS = 6


@dataclass(frozen=True, slots=True)
class Line:
    """One quantity of every case.

    Attributes
    ----------
    quantity, symbol, unit : str
    values : tuple of str
        As printed, one a case.
    """

    quantity: str
    symbol: str
    unit: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """Lines under a heading."""

    heading: str
    lines: Sequence[Line]


def render_columns(
    title: str, cases: Sequence[str], blocks: Iterable[Block], notes: Iterable[str] = ()
) -> str:
    """The table as text; cases are numbered, their names stand in a list above it.

    Parameters
    ----------
    title : str
    cases : sequence of str
        What is said of each case.
    blocks : iterable of Block
    notes : iterable of str
    """
    kept = [block for block in blocks if block.lines]
    width = len(str(len(cases)))
    lines = [title, "=" * min(len(title), _WIDTH), ""]
    lines += [f"{n:>{width}}  {case}" for n, case in enumerate(cases, 1)]
    for start in range(0, len(cases), _ACROSS):
        lines += _part(kept, range(start, min(start + _ACROSS, len(cases))))
    folded = [
        textwrap.wrap(note, _WIDTH, initial_indent="* ", subsequent_indent="  ") for note in notes
    ]
    if folded:
        lines += ["", *(line for note in folded for line in note)]
    return "\n".join(lines) + "\n"


def _part(blocks: Sequence[Block], cases: range) -> list[str]:
    rows = [line for block in blocks for line in block.lines]
    words, symbols, units = (
        max((len(getattr(row, column)) for row in rows), default=0)
        for column in ("quantity", "symbol", "unit")
    )
    across = [max([len(str(k + 1)), *(len(row.values[k]) for row in rows)]) for k in cases]
    head = _GAP.join(
        [" " * (words + len(_GAP) + symbols)]
        + [str(k + 1).rjust(size) for k, size in zip(cases, across, strict=True)]
    )
    lines = ["", head.rstrip()]
    for n, block in enumerate(blocks):
        lines += [*([""] if n else []), block.heading, "-" * len(block.heading)]
        for row in block.lines:
            cells = [row.quantity.ljust(words), row.symbol.ljust(symbols)]
            cells += [row.values[k].rjust(s) for k, s in zip(cases, across, strict=True)]
            lines.append(_GAP.join([*cells, row.unit.ljust(units)]).rstrip())
    return lines
