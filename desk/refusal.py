"""Why something cannot be solved, in the message's words, with its place in drawing and text."""

from __future__ import annotations

import re
from typing import Any

from ..geometry.errors import SoapfilmError, defect, one_line
from ..geometry.section_file.entry_list import HEADER
from ..geometry.section_file.preview import places_in

_LINE = re.compile(r"\bline (\d+)\b")
#: "plate 2 'web': thickness ...": a table of a list, its number, perhaps its name, perhaps a key.
_ENTRY = re.compile(r"\b([a-z_]+) (\d+)(?: '[^']*')?: (?:([A-Za-z_]+)\b)?")
_HEAD = re.compile(r"^\s*\[\[?\s*([\w.\"' -]+?)\s*\]\]?")


def refusal(error: BaseException, text: str) -> dict[str, Any]:
    """Words, place and line of an error.

    >>> refusal(SoapfilmError("hole 1 crosses the outline near (3.1, 0.0) mm"), "")
    {'words': 'hole 1 crosses the outline near (3.1, 0.0) mm', 'place': [3.1, 0.0], 'line': None}
    """
    words = _words(error)
    places = places_in(words)
    return {
        "words": words,
        "place": list(places[0]) if places else None,
        "line": line_of(words, text),
    }


def line_of(words: str, text: str) -> int | None:
    """The line of a text that a message speaks of, counted from 1; None where it cannot be told."""
    lines = text.splitlines()
    stated = _LINE.search(words)
    if stated and 0 < int(stated[1]) <= len(lines):
        return int(stated[1])
    entry = _ENTRY.search(words)
    if entry is None:
        return None
    kind, number, key = entry.groups()
    count = 0
    for k, line in enumerate(lines, start=1):
        head = HEADER.match(line)
        if head is None or head[1] != kind:
            continue
        count += 1
        if count == int(number):
            return _line_of_key(lines, k, key) or k
    return None


def _line_of_key(lines: list[str], head: int, key: str | None) -> int | None:
    """The line of a key in the table that begins at line `head`."""
    if key is None:
        return None
    for k in range(head, len(lines)):
        if _HEAD.match(lines[k]) and "=" not in lines[k].split("#")[0]:
            return None
        if re.match(rf"\s*{re.escape(key)}\s*=", lines[k]):
            return k + 1
    return None


def _words(error: BaseException) -> str:
    if isinstance(error, SoapfilmError):
        text = str(error)
    elif isinstance(error, MemoryError):
        text = "not enough memory; simplify the outline"
    else:
        text = defect(error, "report it with the sheet")
    return one_line(text)
