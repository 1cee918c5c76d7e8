"""What became of a study's file of rows where SQLite cannot go on: a line, and what to do."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from ....geometry.errors import SolveError


class StoreError(SolveError):
    """Rows cannot be kept any more; those that are finished are safe."""


@contextmanager
def troubles_told(path: str | Path) -> Iterator[None]:
    """Say in one line what became of the file of rows while it is worked on.

    Raises
    ------
    StoreError
        For whatever SQLite meets: a lock, damage, a full disk.
    """
    try:
        yield
    except sqlite3.Error as error:
        raise StoreError(_trouble(path, error)) from error


def refusal(path: Path, error: sqlite3.Error) -> str:
    """Why a file cannot be opened, and what to do."""
    text = str(error)
    if "locked" in text:
        return f"{path}: another program keeps it locked; its rows are safe: close that program"
    if "malformed" in text:
        return f"{path}: the file is damaged; move it away, or give another --output"
    return f"{path}: cannot keep rows there ({error}); give another --output"


def _trouble(path: str | Path, error: sqlite3.Error) -> str:
    """Why a row cannot be kept, and what to do."""
    text = str(error)
    if "full" in text:
        cure = "the disk is full; finished rows are safe: make room"
    elif "locked" in text:
        cure = "another program keeps it locked; finished rows are safe: close that program"
    elif "malformed" in text or "not a database" in text:
        cure = "the file is damaged; move it away"
    else:
        cure = f"rows cannot be written ({text}); finished ones are safe: see to the disk"
    return f"{path}: {cure}, and run the same command again"
