"""A plain grid of text for the terminal: a heading line, rows below it, numbers to the right."""

from __future__ import annotations

from collections.abc import Sequence

_GAP = "  "


def render_grid(heads: Sequence[str], rows: Sequence[Sequence[str]], words: int = 1) -> str:
    """The grid as text, its columns as wide as their widest entry.

    Parameters
    ----------
    heads : sequence of str
        One a column.
    rows : sequence of sequences of str
    words : int
        So many columns on the left hold words and are set to the left, the others to the right.

    Examples
    --------
    >>> print(render_grid(["shape", "A"], [["W10X49", "14.4"], ["M4X6", "1.75"]]))
    shape      A
    W10X49  14.4
    M4X6    1.75
    """
    lines = [list(heads), *(list(row) for row in rows)]
    widths = [max(len(line[k]) for line in lines) for k in range(len(heads))]
    return "\n".join(
        _GAP.join(
            cell.ljust(width) if k < words else cell.rjust(width)
            for k, (cell, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in lines
    )
