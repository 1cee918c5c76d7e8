"""The rows of a study in one SQLite file: the table that results are, and where a study resumes.

SQLite because it is one file, ships with Python and needs no server; because every row is written
whole or not at all, so a study killed at any moment goes on from its last finished row; and because
any spreadsheet, notebook or statistics program reads it. (A column store packs numbers tighter but
writes thousands of rows at a time.) The view `study` has one row a point, in order: its number,
parameters, results, error and seconds.

Results are filed under a number, their place, which each point is given when the plan is written
down; a point whose key has a result from before takes that result's place. So rows that are solved
one after another lie one after another: filed under their keys, which are random, every row
rewrote pages all over the file, ten times the bytes of the row.
"""

from __future__ import annotations

import contextlib
import sqlite3
import time
import uuid
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from ....geometry.errors import InputError
from ..file.parameter import Value
from .store_file import meta, opened, quoted
from .store_trouble import StoreError, troubles_told
from .work import Outcome

#: Seconds after which a run that has kept no row counts as no longer at work.
_AT_WORK = 60.0


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
        self._run, self._said = uuid.uuid4().hex, 0.0
        #: Numbers of points that were found missing, by their keys.
        self._numbers: dict[str, int] = {}
        self._base = opened(self.path, self.parameters, self.results)

    def close(self) -> None:
        """Let the file go; the write-ahead file beside it is folded in."""
        self.rest()
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

        Raises
        ------
        InputError
            If another run is at work on another plan: its points would be lost.
        """
        if self._meta("plan") == digest:
            return
        if self.others_at_work():
            raise InputError(
                f"{self.path}: another run is at work on this file, with another study or another "
                "version of soapfilm; give this one an --output of its own (or wait a minute, if "
                "that run was killed)"
            )
        marks = ", ".join("?" * (3 + len(self.parameters)))
        with self._base:
            self._base.execute("BEGIN IMMEDIATE")
            self._base.execute("DELETE FROM point")
            (used,) = self._base.execute("SELECT COALESCE(MAX(place), 0) FROM result").fetchone()
            self._base.executemany(
                f"INSERT INTO point VALUES ({marks})",
                ((n, used + n, key, *values) for n, (key, values) in enumerate(points, 1)),
            )
            for statement in (  # points alike share a place, and take that of a result they have
                "CREATE INDEX point_key ON point (key)",
                "CREATE INDEX result_key ON result (key)",
                "UPDATE point SET place = (SELECT MIN(p.place) FROM point AS p "
                "WHERE p.key = point.key) "
                "WHERE key IN (SELECT key FROM point GROUP BY key HAVING COUNT(*) > 1)",
                "UPDATE point SET place = (SELECT place FROM result WHERE result.key = point.key) "
                "WHERE key IN (SELECT key FROM result)",
                "DROP INDEX point_key",
                "DROP INDEX result_key",
            ):
                self._base.execute(statement)
            self._base.execute("INSERT OR REPLACE INTO meta VALUES ('plan', ?)", (digest,))

    def add(self, key: str, record: Mapping[str, Any], error: str, seconds: float) -> bool:
        """Keep a finished row; False when another run was quicker with the same one."""
        return self.add_all([Outcome(key, dict(record), error, seconds)])[0]

    def add_all(self, outcomes: Sequence[Outcome]) -> list[bool]:
        """Keep finished rows, all of them or none; False for those that another run was quicker
        with."""
        marks = ", ".join("?" * (4 + len(self.results)))
        new = []
        with troubles_told(self.path), self._base:
            self._base.execute("BEGIN IMMEDIATE")
            for o in outcomes:
                place = self._place(o.key)
                values = [o.record.get(name) for name in self.results]
                done = self._base.execute(
                    f"INSERT OR IGNORE INTO result VALUES ({marks})",
                    (place, o.key, o.error, o.seconds, *values),
                )
                new.append(done.rowcount > 0)
            self._say_at_work()
        for o in outcomes:
            self._numbers.pop(o.key, None)
        return new

    def _place(self, key: str) -> int:
        """Where the result of a point goes, if it still goes there.

        Raises
        ------
        StoreError
            If another run has put another plan in the file.
        """
        query, number = "SELECT place FROM point WHERE key = ?", self._numbers.get(key)
        if number is None:
            found = self._base.execute(query, (key,)).fetchone()
        else:  # found at once
            found = self._base.execute(f"{query} AND number = ?", (key, number)).fetchone()
        if found is None:
            raise StoreError(
                f"{self.path}: another run has put another study's points there; rows finished "
                "so far are safe: give each study an --output of its own"
            )
        return int(found[0])

    def rest(self) -> None:
        """Tell other runs that this one is no longer at work."""
        if self._said:
            self._said = 0.0
            with contextlib.suppress(sqlite3.Error):  # whose trouble is told where rows are kept
                self._base.execute(
                    "DELETE FROM meta WHERE key = 'at work' AND value LIKE ?", (f"{self._run} %",)
                )

    def _say_at_work(self) -> None:
        """Tell other runs, now and then, that this one is at work."""
        now = time.time()
        if now - self._said > _AT_WORK / 12:
            self._said = now
            self._base.execute(
                "INSERT OR REPLACE INTO meta VALUES ('at work', ?)", (f"{self._run} {now:.0f}",)
            )

    def forget_errors(self) -> int:
        """Drop the rows that have an error, so that they are solved again; returns their number."""
        return self._base.execute("DELETE FROM result WHERE error <> ''").rowcount

    # -- reading -----------------------------------------------------------------------------------
    def others_at_work(self) -> bool:
        """Whether another run has kept a row a moment ago. (After one that was killed it may seem
        so.)"""
        run, _, when = (self._meta("at work") or " 0").partition(" ")
        return run != self._run and abs(time.time() - float(when)) < _AT_WORK

    def missing(self, first: int, last: int) -> list[tuple[int, str]]:
        """Number and key of each point from `first` to `last` that has no result."""
        found = self._base.execute(
            "SELECT point.number, point.key FROM point LEFT JOIN result USING (place) "
            "WHERE point.number BETWEEN ? AND ? AND result.place IS NULL",
            (first, last),
        ).fetchall()
        self._numbers.update((key, number) for number, key in found)
        return found

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
        chosen = ", ".join(quoted(c) for c in columns or self.columns)
        yield from self._base.execute(
            f"SELECT {chosen} FROM study WHERE seconds IS NOT NULL ORDER BY number"
        )

    def errors(self, most: int) -> list[tuple[int, str]]:
        """Number and error of the first rows that have one."""
        return self._base.execute(
            "SELECT number, error FROM study WHERE error <> '' ORDER BY number LIMIT ?", (most,)
        ).fetchall()

    def ranges(self, columns: Sequence[str]) -> list[tuple[Any, Any]]:
        """Least and greatest value of each column over all rows that have one, in one reading."""
        if not columns:
            return []
        asked = ", ".join(f"MIN({name}), MAX({name})" for name in map(quoted, columns))
        found = self._base.execute(f"SELECT {asked} FROM study WHERE error = ''").fetchone()
        return list(zip(found[::2], found[1::2], strict=True))

    def kinds(self) -> dict[str, set[str]]:
        """What the values of each column are over all finished rows, in SQLite's words (integer,
        real, text), in one reading."""
        words = ("integer", "real", "text")
        asked = ", ".join(
            f"MAX(typeof({quoted(name)}) = '{word}')" for name in self.columns for word in words
        )
        found = self._base.execute(
            f"SELECT {asked} FROM study WHERE seconds IS NOT NULL"
        ).fetchone()
        return {
            name: {word for word, there in zip(words, found[3 * k :], strict=False) if there}
            for k, name in enumerate(self.columns)
        }

    def _meta(self, key: str) -> str | None:
        return meta(self._base, key)
