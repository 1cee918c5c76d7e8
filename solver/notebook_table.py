"""A result's few main numbers as a small HTML table: what a notebook shows of it."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape


def notebook_table(title: str, rows: Iterable[tuple[str, str, str]]) -> str:
    """The table as HTML; every text is escaped.

    Parameters
    ----------
    title : str
    rows : iterable of (words, symbol, value)

    Examples
    --------
    >>> notebook_table("<bar>", [("area", "A", "6 mm^2")])
    '<table><caption>&lt;bar&gt;</caption><tr><td>area</td><td>A</td><td>6 mm^2</td></tr></table>'
    """
    lines = "".join(
        "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in rows
    )
    return f"<table><caption>{escape(title)}</caption>{lines}</table>"
