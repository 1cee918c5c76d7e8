"""Tables and sentences as Markdown (with the pipe tables that its dialects share)."""

from __future__ import annotations

import re
from collections.abc import Sequence

#: Characters that would begin an element of the markup; underscores inside words do not.
_SPECIAL = re.compile(r"([\\`*<|]|\[(?=[^\]]*\]\())")


def heading(title: str, level: int) -> list[str]:
    """A heading.

    >>> heading("Limits", 2)
    ['## Limits', '']
    """
    return [f"{'#' * level} {escaped(title)}", ""]


def grid(
    head: Sequence[Sequence[str]], rows: Sequence[Sequence[str]], right: Sequence[bool]
) -> list[str]:
    """A table; several lines of headings become one.

    >>> print("\\n".join(grid([["shape", "A"], ["", "in²"]], [["W10X49", "14.4"]], [False, True])))
    <BLANKLINE>
    | shape | A in² |
    | --- | ---: |
    | W10X49 | 14.4 |
    <BLANKLINE>
    """
    titles = [" ".join(filter(None, column)) for column in zip(*head, strict=True)]
    lines = [titles or [""] * len(right), ["---:" if side else "---" for side in right]]
    cells = [[escaped(cell) for cell in row] for row in [lines[0], *rows]]
    return ["", *(_line(row) for row in (cells[0], lines[1], *cells[1:])), ""]


def sentence(text: str, item: bool) -> list[str]:
    """A paragraph, or an item of a list."""
    return [("- " if item else "") + escaped(text), ""]


def escaped(text: str) -> str:
    r"""The text without a character that Markdown would take for its own.

    >>> escaped("int|tau| * 2")
    'int\\|tau\\| \\* 2'
    """
    return _SPECIAL.sub(r"\\\1", text)


def _line(cells: Sequence[str]) -> str:
    return "| " + " | ".join(cells) + " |"
