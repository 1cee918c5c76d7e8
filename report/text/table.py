"""A table of quantities for the terminal: words, symbols, values and units in aligned columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

#: Notes are folded here: the width every terminal has.
_WIDTH = 79
_GAP = "  "


@dataclass(frozen=True, slots=True)
class Row:
    """One quantity.

    Attributes
    ----------
    quantity : str
        In words.
    symbol : str
        In both notations where they differ: "J = I_T".
    value, unit : str
    note : str
        What has to be said of the value, printed below it.
    """

    quantity: str
    symbol: str = ""
    value: str = ""
    unit: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """Rows under a heading."""

    heading: str
    rows: Sequence[Row]


def render(title: str, groups: Iterable[Group], notes: Iterable[str] = ()) -> str:
    """The table as text, its columns as wide as their widest entry.

    Parameters
    ----------
    title : str
    groups : iterable of Group
        Those without rows are left out.
    notes : iterable of str
        Printed below, folded to the width of a terminal.
    """
    kept = [group for group in groups if group.rows]
    rows = [row for group in kept for row in group.rows]
    quantity, symbol, value = (
        max((len(getattr(row, column)) for row in rows), default=0)
        for column in ("quantity", "symbol", "value")
    )
    lines = [title, "=" * min(len(title), _WIDTH)]
    for group in kept:
        lines += ["", group.heading, "-" * len(group.heading)]
        for row in group.rows:
            cells = (row.quantity.ljust(quantity), row.symbol.ljust(symbol), row.value.rjust(value))
            lines.append(_GAP.join((*cells, row.unit)).rstrip())
            lines += _folded(row.note, "    ")
    if noted := [_folded(note, "  ", first="* ") for note in notes]:
        lines += ["", *(line for note in noted for line in note)]
    return "\n".join(lines) + "\n"


def _folded(text: str, indent: str, first: str | None = None) -> list[str]:
    return textwrap.wrap(
        text, _WIDTH, initial_indent=indent if first is None else first, subsequent_indent=indent
    )
