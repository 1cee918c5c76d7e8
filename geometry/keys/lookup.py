"""Finding a key by a word, and what is nearest to a misspelt one."""

from __future__ import annotations

import difflib
from collections.abc import Iterator

from .description import FILES, FileKind, Key, Table, file_kind


def found(word: str) -> list[tuple[FileKind, Table, Key | None]]:
    """All tables and keys that a word means: those of that name, else those whose words hold it.

    A table by itself has None for its key.

    Examples
    --------
    >>> [(file.name, table.name, key.name) for file, table, key in found("taper_to")]
    [('member', 'segment', 'taper_to')]
    """
    bare = word.strip("[]").casefold()
    everything = list(_all())
    named = [
        (file, table, key)
        for file, table, key in everything
        if bare == (table.name if key is None else key.name).casefold()
    ]
    return named or [
        (file, table, key)
        for file, table, key in everything
        if bare in (table.words if key is None else key.words).casefold()
    ]


def nearest(word: str) -> list[str]:
    """Names of tables and keys most like a misspelt one."""
    names = {(table.name if key is None else key.name) for _, table, key in _all()}
    return difflib.get_close_matches(word, sorted(names - {""}), n=3, cutoff=0.6)


def _all() -> Iterator[tuple[FileKind, Table, Key | None]]:
    for name in FILES:
        file = file_kind(name)
        for table in file.tables:
            if table.name:
                yield file, table, None
            for key in table.keys:
                yield file, table, key
