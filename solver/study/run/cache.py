"""Solved sections kept on disk, under their content: a bounded table that processes share.

One SQLite file in the user's cache folder holds records as JSON text. SQLite locks it, writes whole
rows or none, and ships with Python; JSON holds numbers and never code, so a cache that somebody
else has written can at worst be wrong, and its records are checked. When the file is full the rows
used longest ago go first. A cache that cannot be used is no cache: nothing here ends a study.

`SOAPFILM_CACHE` names another folder, or is "off".
"""

from __future__ import annotations

import contextlib
import json
import os
import sqlite3
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

#: Default bound of the records' text, and the part of it that one clean-up frees.
LIMIT = 64 * 2**20
_FREED = 0.25
#: A record is about 1 kB; one beyond this is none of ours.
_LARGEST = 2**20
_WAIT = 2.0  # seconds for another process to finish its write
#: How old a row's last use may grow before it is written down: a reading cache that writes at every
#: hit would make its readers wait for each other.
_STALE = 3600.0
_SCHEMA = """
CREATE TABLE IF NOT EXISTS record (
    key TEXT PRIMARY KEY, text TEXT NOT NULL, size INTEGER NOT NULL, used REAL NOT NULL
) WITHOUT ROWID;
CREATE INDEX IF NOT EXISTS by_use ON record (used, size);
"""


def default_folder() -> Path | None:
    """The user's cache folder for this package; None when it is switched off."""
    named = os.environ.get("SOAPFILM_CACHE", "")
    if named.lower() == "off":
        return None
    if named:
        return Path(named)
    import platformdirs

    return Path(platformdirs.user_cache_dir("soapfilm", appauthor=False))


class RecordCache:
    """JSON records by key in one bounded file.

    Parameters
    ----------
    folder : path, optional
        Where the file `sections.sqlite` is; None makes a cache that holds nothing.
    limit : int
        Most bytes of text kept.
    """

    def __init__(self, folder: str | os.PathLike[str] | None, limit: int = LIMIT) -> None:
        self.folder = None if folder is None else Path(folder)
        self.limit = limit
        self._connection: sqlite3.Connection | None = None
        self._owner = 0
        self._given_up = False

    @property
    def path(self) -> Path | None:
        """The file, None for a cache that holds nothing."""
        return None if self.folder is None else self.folder / "sections.sqlite"

    def get(self, key: str) -> dict[str, Any] | None:
        """The record under a key; None when there is none, or none that can be read."""
        with self._forgiving(), contextlib.suppress(ValueError):
            base = self._open()
            if base is None:
                return None
            row = base.execute("SELECT text, used FROM record WHERE key = ?", (key,)).fetchone()
            if row is None:
                return None
            if time.time() - row[1] > _STALE:
                with base:
                    base.execute("UPDATE record SET used = ? WHERE key = ?", (time.time(), key))
            record = json.loads(row[0], parse_constant=_no_number)
            return record if isinstance(record, dict) else None
        return None

    def put(self, key: str, record: dict[str, Any]) -> None:
        """Keep a record, in place of an older one; too large a one is not kept."""
        text = json.dumps(record, allow_nan=False, ensure_ascii=False)
        if len(text) > min(_LARGEST, self.limit):
            return
        with self._forgiving():
            base = self._open()
            if base is None:
                return
            with base:
                base.execute("BEGIN IMMEDIATE")
                base.execute(
                    "INSERT OR REPLACE INTO record VALUES (?, ?, ?, ?)",
                    (key, text, len(text), time.time()),
                )
                self._make_room(base)

    def size(self) -> tuple[int, int]:
        """Number of records and bytes of their text."""
        base = self._open()
        if base is None:
            return 0, 0
        count, total = base.execute("SELECT COUNT(*), TOTAL(size) FROM record").fetchone()
        return int(count), int(total)

    def close(self) -> None:
        """Let the file go."""
        if self._connection is not None:
            self._connection.close()
            self._connection = None

    @contextlib.contextmanager
    def _forgiving(self) -> Iterator[None]:
        """What goes wrong with the cache is said once and ends no study: a file that is damaged is
        put aside for a new one; one that another process keeps locked is done without, for a wait
        at every row would cost more than the cache gains."""
        try:
            yield
        except sqlite3.OperationalError as error:
            if "locked" in str(error) and not self._given_up:
                self._given_up = True
                _tell(f"the cache {self.path} is locked by another process; going on without it")
        except sqlite3.DatabaseError:
            self._put_aside()
        except OSError:
            pass

    def _put_aside(self) -> None:
        assert self.path is not None
        self.close()
        aside = self.path.with_suffix(".damaged")
        with contextlib.suppress(OSError):
            self.path.replace(aside)
            for ending in ("-wal", "-shm"):
                Path(f"{self.path}{ending}").unlink(missing_ok=True)
            _tell(f"the cache {self.path} was damaged: kept as {aside.name}, and a new one begins")

    def _make_room(self, base: sqlite3.Connection) -> None:
        """Drop the records used longest ago when the bound is passed."""
        (total,) = base.execute("SELECT TOTAL(size) FROM record").fetchone()
        if total <= self.limit:
            return
        surplus = total - (1 - _FREED) * self.limit
        for key, size in base.execute("SELECT key, size FROM record ORDER BY used").fetchall():
            if surplus <= 0:
                break
            base.execute("DELETE FROM record WHERE key = ?", (key,))
            surplus -= size

    def _open(self) -> sqlite3.Connection | None:
        """The connection of this process: one must not be carried through a fork."""
        if self.path is None or self._given_up:
            return None
        if self._connection is None or self._owner != os.getpid():
            self.path.parent.mkdir(parents=True, exist_ok=True)
            base = sqlite3.connect(
                self.path, timeout=_WAIT, isolation_level=None, check_same_thread=False
            )
            try:
                base.execute("PRAGMA journal_mode = WAL")
                base.execute("PRAGMA synchronous = NORMAL")
                base.executescript(_SCHEMA)
            except sqlite3.Error:
                base.close()
                raise
            self._connection, self._owner = base, os.getpid()
        return self._connection


def _no_number(word: str) -> float:
    """JSON has no NaN and no infinity; a record with one is none of ours."""
    raise ValueError(word)


def _tell(text: str) -> None:
    print(f"soapfilm: {text}", file=sys.stderr)
