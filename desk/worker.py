"""One solving process a client: the newest wish wins, and a crash or hang takes nothing else down.

The mesher is C++ and may crash or never return; so all that reads sections and solves runs in a
process of its own, which is started ahead and holds every library loaded. One job is at work. A
newer job of the same lane makes it stale: it stops at its next step (`Cancelled` there), and is
ended by force where it does not within a moment. Jobs of other lanes wait, the newest of each.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from typing import Any

from .spare import Bench, SpareBench

Job = dict[str, Any]
Told = Callable[[Job, str], None]

#: Seconds that a stale job may take to stop, and that any may last.
PATIENCE, LONGEST = 1.0, 120.0
#: Characters of a job that a pipe takes without being read (Linux: 64 kB and more).
_AT_ONCE = 30_000
CRASHED = (
    "the process that solves ended without an answer (a crash of the mesher, or out of memory); "
    "another one is ready: change the sheet, or undo"
)
#: Processes that may end one after the other without a word before no more are started unasked.
_MOST_SILENT = 3
TOO_LONG = "solving took longer than {:.0f} s and was cut off; ask for less, or undo"


@dataclass(slots=True)
class Worker:
    """The desk's side of a solving process.

    Attributes
    ----------
    answer : function
        Called with the job and each of its answers (JSON text), in order; never with a stale one.
    failed : function
        Called with the job, if any, and words, when it crashed or was cut off.
    spares : SpareBench
        Where processes come from.
    longest : float
        Seconds that a job may last.
    """

    answer: Told
    failed: Told
    spares: SpareBench
    longest: float = LONGEST
    _bench: Bench | None = None
    _number: int = 0
    _current: Job | None = None
    _waiting: dict[str, Job] = field(default_factory=dict)
    _alarm: asyncio.TimerHandle | None = None
    _closed: bool = False
    _silent: int = 0

    def start(self) -> None:
        """Take a process; jobs may come at once."""
        self._bench = self.spares.take()
        self._bench.tell(asyncio.get_running_loop(), self._heard)

    @property
    def identity(self) -> int | None:
        """The process's number."""
        return None if self._bench is None else self._bench.process.pid

    def submit(self, job: Job) -> None:
        """Do a job as soon as possible; `job["lane"]` names the lane of which it is the newest."""
        self._waiting.pop(job["lane"], None)  # the newest goes last
        self._waiting[job["lane"]] = job
        if self._bench is None and self._silent >= _MOST_SILENT:
            self._silent = 0
            self.start()
        if self._current is None:
            self._next()
        elif self._current["lane"] == job["lane"] and not self._current.get("stale"):
            self._give_up()

    def stop(self) -> None:
        """Give up what is at work and what waits."""
        self._waiting.clear()
        if self._current is not None:
            self._give_up()

    def close(self) -> None:
        """End the process, or give it back where it has nothing to do."""
        self._closed = True
        self._waiting.clear()
        self._silence()
        if self._current is None and self._bench is not None:
            self.spares.give_back(self._bench)
            self._bench = None
        else:
            self._end_process()

    def _next(self) -> None:
        if self._closed or not self._waiting or self._bench is None:
            return
        lane = next(iter(self._waiting))
        job = self._waiting.pop(lane)
        self._number += 1
        self._current = {**job, "number": self._number}
        if sum(len(v) for v in job.values() if isinstance(v, str)) < _AT_ONCE:
            _send(self._bench.line, self._current)
        else:  # the process may be busy loading, or hang: the desk does not wait for it to read
            line, big = self._bench.line, self._current
            threading.Thread(target=_send, args=(line, big), daemon=True).start()
        limit = float(job.get("longest", self.longest))
        self._set_alarm(limit, TOO_LONG.format(limit))

    def _give_up(self) -> None:
        assert self._current is not None
        self._current["stale"] = True
        if self._bench is not None:
            self._bench.stale.value = self._current["number"]
        self._set_alarm(PATIENCE, "")

    def _set_alarm(self, seconds: float, words: str) -> None:
        self._silence()
        self._alarm = asyncio.get_running_loop().call_later(seconds, self._restart, words)

    def _silence(self) -> None:
        if self._alarm is not None:
            self._alarm.cancel()
            self._alarm = None

    def _heard(self, line: Connection, message: Any) -> None:
        """What the process sent: an answer, the end of a job (None), or its own end (EOFError)."""
        if self._closed or self._bench is None or line is not self._bench.line:
            return
        if isinstance(message, EOFError):
            self._silent += 1
            self._restart(CRASHED)
            return
        self._silent = 0
        number, text = message
        job = self._current
        if job is None or number != job["number"]:
            return
        if text is None:
            self._silence()
            self._current = None
            self._next()
        elif not job.get("stale"):
            job["answered"] = True
            self.answer(job, text)

    def _restart(self, words: str) -> None:
        """End the process by force and start another; stale work ends without words."""
        job = self._current
        self._current = None
        self._silence()
        self._end_process()
        if job is not None and not job.get("stale") and words:
            if words == CRASHED and not (job.get("answered") or job.get("again")):
                # it may have been dead before the job came
                self._waiting.setdefault(job["lane"], job | {"again": True})
            else:
                self.failed(job, words)
        if self._closed:
            return
        if self._silent < _MOST_SILENT:
            self.start()
            self._next()
            return
        waiting, self._waiting = self._waiting, {}
        for job in waiting.values():
            self.failed(job, CRASHED)

    def _end_process(self) -> None:
        bench, self._bench = self._bench, None
        if bench is not None:
            bench.end()
            threading.Thread(target=bench.process.join, daemon=True).start()


def _send(line: Connection, job: Job) -> None:
    with suppress(
        OSError, ValueError, TypeError
    ):  # it has just died or been ended; the listener tells
        line.send(job)
