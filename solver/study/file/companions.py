"""Files that a file names: what they hold is part of what a result depends on."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from ....geometry.errors import FileFormatError
from ....geometry.input_file import content
from ....geometry.section_file.text import parsed, read_text
from ..run.content import digest

#: A section file names drawings, a member file section files; nothing goes deeper.
_DEEPEST = 3
#: A model of a whole building may be this large; its reader refuses more.
_MOST_BYTES = 60_000_000


def companions_digest(tables: Any, folder: Path) -> str:
    """Key of the content of every file that tables name under a key `file`, and of those in turn.

    Raises
    ------
    FileFormatError
        If one cannot be read.
    """
    return digest(sorted(_contents(tables, folder, 0)))


def _contents(tables: Any, folder: Path, depth: int) -> Iterator[list[str]]:
    for name in sorted(set(_named(tables))):
        path = folder / name
        try:
            data = content(path, _MOST_BYTES)
        except FileFormatError as error:
            raise FileFormatError(f"file {name}: {error}") from error
        toml = path.suffix.lower() == ".toml"
        # A comment changes no result.
        yield [name, digest(*content_of(read_text(path))) if toml else digest(data.hex())]
        if toml and depth < _DEEPEST:
            yield from _contents(parsed(read_text(path)), path.parent, depth + 1)


def _named(tables: Any) -> Iterator[str]:
    if isinstance(tables, dict):
        if isinstance(tables.get("file"), str):
            yield tables["file"]
        tables = list(tables.values())
    if isinstance(tables, list):
        for inner in tables:
            yield from _named(inner)


def content_of(text: str) -> tuple[str, list[str]]:
    """What a TOML file says, its comments and layout apart: its tables as JSON, and the headings of
    its lists in order."""
    from ....geometry.section_file.entry_list import HEADER

    return json.dumps(parsed(text), default=str), HEADER.findall(text)
