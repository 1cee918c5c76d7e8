"""Small HTML tables: what a notebook shows of a section or a result."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape


def notebook_table(title: str, rows: Iterable[tuple[str, str, str]]) -> str:
    """A result's few main numbers; every text is escaped.

    Parameters
    ----------
    title : str
    rows : iterable of (words, symbol, value)

    Examples
    --------
    >>> notebook_table("<bar>", [("area", "A", "6 mm^2")])
    '<table><caption>&lt;bar&gt;</caption><tr><td>area</td><td>A</td><td>6 mm^2</td></tr></table>'
    """
    return notebook_grid(title, (), rows)


def notebook_grid(title: str, head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Rows under headings, which may be left out.

    Examples
    --------
    >>> notebook_grid("", ["z (m)"], [["1.5"]])
    '<table><tr><th>z (m)</th></tr><tr><td>1.5</td></tr></table>'
    """
    caption = f"<caption>{escape(title)}</caption>" if title else ""
    top = "<tr>" + "".join(f"<th>{escape(cell)}</th>" for cell in head) + "</tr>" if head else ""
    lines = "".join(
        "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in rows
    )
    return f"<table>{caption}{top}{lines}</table>"
