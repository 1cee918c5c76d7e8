"""The SQLite file of a study's rows: how it is opened, and its tables."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Sequence
from pathlib import Path

from ....geometry.errors import InputError
from .store_trouble import refusal

Names = Sequence[str]
_FORMAT, _BEFORE = "soapfilm study 2", "soapfilm study 1"
_WAIT = 30.0
#: Columns of the view beside parameters and results.
OWN = ("number", "error", "seconds")


def opened(path: Path, parameters: Names, results: Names) -> sqlite3.Connection:
    """The file, made where it does not exist.

    Parameters
    ----------
    path : Path
    parameters, results : sequences of str
        Column names.

    Raises
    ------
    InputError
        If the file is no store, or that of a study with other columns.
    """
    _check_names(parameters, results)
    if path.exists() and not path.is_file():
        raise InputError(f"{path} is no ordinary file; rows need one: give another --output")
    try:
        _check_own(path)
        # A second run on the same file waits for single writes, never for the whole study.
        base = sqlite3.connect(path, timeout=_WAIT, isolation_level=None)
        _prepare(base, path, parameters, results)
    except sqlite3.Error as error:
        raise InputError(refusal(path, error)) from error
    return base


def meta(base: sqlite3.Connection, key: str) -> str | None:
    """What the file says of itself under a key."""
    row = base.execute("SELECT value FROM meta WHERE key = ?", (key,)).fetchone()
    return None if row is None else str(row[0])


def quoted(name: str) -> str:
    """An identifier as SQL takes any text for one."""
    if "\0" in name:
        raise InputError(f"the name {name!r} holds a null character; choose another")
    return '"' + name.replace('"', '""') + '"'


def _prepare(base: sqlite3.Connection, path: Path, parameters: Names, results: Names) -> None:
    # Two runs that begin at once: only one can change the journal, and SQLite does not wait.
    end = time.monotonic() + _WAIT
    while True:
        try:
            base.execute("PRAGMA journal_mode = WAL")
            break
        except sqlite3.OperationalError as error:
            if "locked" not in str(error) or time.monotonic() > end:
                raise
            time.sleep(0.05)
    # Enough against a killed process; only a power cut may cost the last rows, never the file.
    base.execute("PRAGMA synchronous = NORMAL")
    tables = _tables(base)
    if not tables:
        _make(base, parameters, results)
    elif "meta" in tables and meta(base, "format") == _BEFORE:
        raise InputError(
            f"{path}: holds rows of an earlier version of soapfilm, which this one would "
            "solve again; give another --output, or move the file away"
        )
    elif "meta" not in tables or meta(base, "format") != _FORMAT:
        raise InputError(f"{path}: not a file of study rows; give another --output")
    stored = meta(base, "columns")
    if stored != _signature(parameters, results):
        raise InputError(
            f"{path}: holds a study with other parameters or results; give another "
            "--output, or move the file away"
        )


def _make(base: sqlite3.Connection, parameters: Names, results: Names) -> None:
    given = "".join(f", {quoted(name)}" for name in parameters)
    found = "".join(f", {quoted(name)}" for name in results)
    with base:
        base.execute("BEGIN IMMEDIATE")
        if base.execute("SELECT 1 FROM sqlite_master").fetchone():
            return  # another run that began at once has made them
        for statement in (
            "CREATE TABLE meta (key TEXT PRIMARY KEY, value TEXT NOT NULL)",
            "CREATE TABLE point (number INTEGER PRIMARY KEY, place INTEGER NOT NULL, "
            f"key TEXT NOT NULL{given})",
            "CREATE TABLE result (place INTEGER PRIMARY KEY, key TEXT NOT NULL, "
            f"error TEXT NOT NULL, seconds REAL NOT NULL{found})",
            f"CREATE VIEW study AS SELECT number{given}{found}, error, seconds "
            "FROM point LEFT JOIN result USING (place, key)",
        ):
            base.execute(statement)
        for pair in (("format", _FORMAT), ("columns", _signature(parameters, results))):
            base.execute("INSERT INTO meta VALUES (?, ?)", pair)


def _tables(base: sqlite3.Connection) -> set[str]:
    return {row[0] for row in base.execute("SELECT name FROM sqlite_master")}


def _signature(parameters: Names, results: Names) -> str:
    return "\n".join((*parameters, "--", *results))


def _check_own(path: Path) -> None:
    """Look into an existing file without changing a byte of it, or beside it: it may be the
    database of another program."""
    if not path.exists() or not path.stat().st_size or Path(f"{path}-wal").exists():
        return
    base = sqlite3.connect(f"{path.resolve().as_uri()}?immutable=1", uri=True)
    try:
        tables = _tables(base)
    finally:
        base.close()
    if tables and "meta" not in tables:
        raise InputError(f"{path}: not a file of study rows; give another --output")


def _check_names(parameters: Names, results: Names) -> None:
    taken = {name.lower() for name in (*results, *OWN, "key", "place")}
    for name in parameters:
        if name.lower() in taken:
            raise InputError(
                f"parameter {name!r} bears the name of another column of the table; "
                f"call it something else, like {name + ' given'!r}"
            )
        taken.add(name.lower())
