"""The rows of a study in one SQLite file: the table that results are, and where a study resumes.

SQLite because it is one file, ships with Python and needs no server; because every row is written
whole or not at all, so a study killed at any moment goes on from its last finished row; and because
any spreadsheet, notebook or statistics program reads it. (A column store packs numbers tighter but
writes thousands of rows at a time.) The view `study` has one row a point, in order: its number,
parameters, results, error and seconds.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from ....geometry.errors import InputError, SolveError
from ..file.parameter import Value
from .work import Outcome

_FORMAT = "soapfilm study 1"
_WAIT = 30.0
#: Columns of the view beside parameters and results.
OWN = ("number", "error", "seconds")


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
        raise StoreError(_trouble(Path(path), error)) from error


class Store:
    """Rows of one study.

    Parameters
    ----------
    path : path
        Made when it does not exist.
    parameters, results : sequences of str
        Column names.

    Raises
    ------
    InputError
        If the file is no store, or that of a study with other columns.
    """

    def __init__(self, path: str | Path, parameters: Sequence[str], results: Sequence[str]) -> None:
        self.path = Path(path)
        self.parameters, self.results = tuple(parameters), tuple(results)
        _check_names(self.parameters, self.results)
        if self.path.exists() and not self.path.is_file():
            raise InputError(f"{path} is no ordinary file; rows need one: give another --output")
        try:
            _check_own(self.path)
            # A second run on the same file waits for single writes, never for the whole study.
            self._base = sqlite3.connect(self.path, timeout=_WAIT, isolation_level=None)
            self._prepare()
        except sqlite3.Error as error:
            raise InputError(_refusal(self.path, error)) from error

    def close(self) -> None:
        """Let the file go; the write-ahead file beside it is folded in."""
        self._base.close()

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # -- writing -----------------------------------------------------------------------------------
    def plan(self, digest: str, points: Iterable[tuple[str, Sequence[Value]]]) -> None:
        """Write down which points the study has, in order; skipped when `digest` is that of the
        plan in the file. Rows of points that are no longer asked for stay out of the view.

        Parameters
        ----------
        digest : str
            Key of the whole plan.
        points : iterable of (key, values)
        """
        if self._meta("plan") == digest:
            return
        marks = ", ".join("?" * (2 + len(self.parameters)))
        with self._base:
            self._base.execute("BEGIN IMMEDIATE")
            self._base.execute("DELETE FROM point")
            self._base.executemany(
                f"INSERT INTO point VALUES ({marks})",
                ((n, key, *values) for n, (key, values) in enumerate(points, 1)),
            )
            self._base.execute("INSERT OR REPLACE INTO meta VALUES ('plan', ?)", (digest,))

    def add(self, key: str, record: Mapping[str, Any], error: str, seconds: float) -> bool:
        """Keep a finished row; False when another run was quicker with the same one."""
        return self.add_all([Outcome(key, dict(record), error, seconds)])[0]

    def add_all(self, outcomes: Sequence[Outcome]) -> list[bool]:
        """Keep finished rows, all of them or none; False for those that another run was quicker
        with."""
        marks = ", ".join("?" * (3 + len(self.results)))
        new = []
        try:
            with self._base:
                self._base.execute("BEGIN IMMEDIATE")
                for o in outcomes:
                    values = [o.record.get(name) for name in self.results]
                    done = self._base.execute(
                        f"INSERT OR IGNORE INTO result VALUES ({marks})",
                        (o.key, o.error, o.seconds, *values),
                    )
                    new.append(done.rowcount > 0)
        except sqlite3.Error as trouble:
            raise StoreError(_trouble(self.path, trouble)) from trouble
        return new

    def forget_errors(self) -> int:
        """Drop the rows that have an error, so that they are solved again; returns their number."""
        return self._base.execute("DELETE FROM result WHERE error <> ''").rowcount

    # -- reading -----------------------------------------------------------------------------------
    def has(self, key: str) -> bool:
        """Whether a row is finished."""
        found = self._base.execute("SELECT 1 FROM result WHERE key = ?", (key,)).fetchone()
        return found is not None

    def counts(self) -> tuple[int, int, int]:
        """Number of points, of finished ones, and of those that ended with an error."""
        row = self._base.execute(
            "SELECT COUNT(*), COUNT(seconds), TOTAL(error <> '') FROM study"
        ).fetchone()
        return int(row[0]), int(row[1]), int(row[2])

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the view's columns, in order."""
        return ("number", *self.parameters, *self.results, "error", "seconds")

    def rows(self, columns: Sequence[str] | None = None) -> Iterator[tuple[Any, ...]]:
        """Finished rows in the order of their points, one after another."""
        chosen = ", ".join(_quoted(c) for c in columns or self.columns)
        yield from self._base.execute(
            f"SELECT {chosen} FROM study WHERE seconds IS NOT NULL ORDER BY number"
        )

    def errors(self, most: int) -> list[tuple[int, str]]:
        """Number and error of the first rows that have one."""
        return self._base.execute(
            "SELECT number, error FROM study WHERE error <> '' ORDER BY number LIMIT ?", (most,)
        ).fetchall()

    def range(self, column: str) -> tuple[Any, Any]:
        """Least and greatest value of a column over all rows that have one."""
        name = _quoted(column)
        low, high = self._base.execute(
            f"SELECT MIN({name}), MAX({name}) FROM study WHERE error = ''"
        ).fetchone()
        return low, high

    # -- making ------------------------------------------------------------------------------------
    def _prepare(self) -> None:
        # Two runs that begin at once: only one can change the journal, and SQLite does not wait.
        end = time.monotonic() + _WAIT
        while True:
            try:
                self._base.execute("PRAGMA journal_mode = WAL")
                break
            except sqlite3.OperationalError as error:
                if "locked" not in str(error) or time.monotonic() > end:
                    raise
                time.sleep(0.05)
        # Enough against a killed process; only a power cut may cost the last rows, never the file.
        self._base.execute("PRAGMA synchronous = NORMAL")
        tables = {row[0] for row in self._base.execute("SELECT name FROM sqlite_master")}
        if not tables:
            self._make()
        elif "meta" not in tables or self._meta("format") != _FORMAT:
            raise InputError(f"{self.path}: not a file of study rows; give another --output")
        stored = self._meta("columns")
        if stored != self._signature():
            raise InputError(
                f"{self.path}: holds a study with other parameters or results; give another "
                "--output, or move the file away"
            )

    def _make(self) -> None:
        parameters = "".join(f", {_quoted(name)}" for name in self.parameters)
        results = "".join(f", {_quoted(name)}" for name in self.results)
        with self._base:
            self._base.execute("BEGIN IMMEDIATE")
            if self._base.execute("SELECT 1 FROM sqlite_master").fetchone():
                return  # another run that began at once has made them
            for statement in (
                "CREATE TABLE meta (key TEXT PRIMARY KEY, value TEXT NOT NULL)",
                f"CREATE TABLE point (number INTEGER PRIMARY KEY, key TEXT NOT NULL{parameters})",
                "CREATE TABLE result (key TEXT PRIMARY KEY, error TEXT NOT NULL, "
                f"seconds REAL NOT NULL{results})",
                f"CREATE VIEW study AS SELECT number{parameters}{results}, error, seconds "
                "FROM point LEFT JOIN result USING (key)",
            ):
                self._base.execute(statement)
            for pair in (("format", _FORMAT), ("columns", self._signature())):
                self._base.execute("INSERT INTO meta VALUES (?, ?)", pair)

    def _signature(self) -> str:
        return "\n".join((*self.parameters, "--", *self.results))

    def _meta(self, key: str) -> str | None:
        row = self._base.execute("SELECT value FROM meta WHERE key = ?", (key,)).fetchone()
        return None if row is None else str(row[0])


def _check_own(path: Path) -> None:
    """Look into an existing file without changing a byte of it, or beside it: it may be the
    database of another program."""
    if not path.exists() or not path.stat().st_size or Path(f"{path}-wal").exists():
        return
    base = sqlite3.connect(f"{path.resolve().as_uri()}?immutable=1", uri=True)
    try:
        tables = {row[0] for row in base.execute("SELECT name FROM sqlite_master")}
    finally:
        base.close()
    if tables and "meta" not in tables:
        raise InputError(f"{path}: not a file of study rows; give another --output")


def _refusal(path: Path, error: sqlite3.Error) -> str:
    """Why a file cannot be opened, and what to do."""
    text = str(error)
    if "locked" in text:
        return f"{path}: another program keeps it locked; its rows are safe: close that program"
    if "malformed" in text:
        return f"{path}: the file is damaged; move it away, or give another --output"
    return f"{path}: cannot keep rows there ({error}); give another --output"


def _trouble(path: Path, error: sqlite3.Error) -> str:
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


def _check_names(parameters: Sequence[str], results: Sequence[str]) -> None:
    taken = {name.lower() for name in (*results, *OWN, "key")}
    for name in parameters:
        if name.lower() in taken:
            raise InputError(
                f"parameter {name!r} bears the name of another column of the table; "
                f"call it something else, like {name + ' given'!r}"
            )
        taken.add(name.lower())


def _quoted(name: str) -> str:
    """An identifier as SQL takes any text for one."""
    if "\0" in name:
        raise InputError(f"the name {name!r} holds a null character; choose another")
    return '"' + name.replace('"', '""') + '"'
