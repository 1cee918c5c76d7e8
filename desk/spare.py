"""Solving processes ready to work: one is kept warm, so that none waits for libraries to load."""

from __future__ import annotations

import asyncio
import multiprocessing
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Any

from .bench import work

#: Seconds after which another is started where one was taken.
_LATER = 3.0


@dataclass(frozen=True, slots=True)
class Bench:
    """A solving process with the line to it, and the number up to which its jobs are stale."""

    process: Any
    line: Connection
    stale: Any

    @classmethod
    def start(cls) -> Bench:
        """A new one, started anew and not forked: safe beside threads and gmsh."""
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        stale = context.Value("q", 0, lock=False)
        process = context.Process(target=work, args=(theirs, stale), daemon=True)
        process.start()
        theirs.close()
        return cls(process, ours, stale)

    def end(self) -> None:
        """End it by force, whatever it does."""
        self.process.kill()
        self.line.close()


@dataclass(slots=True)
class SpareBench:
    """Gives out solving processes, and keeps one in reserve."""

    _ready: Bench | None = None
    _timer: asyncio.TimerHandle | None = None

    def take(self) -> Bench:
        """A process for good: the one in reserve, or a new one."""
        bench, self._ready = self._ready, None
        if bench is None or not bench.process.is_alive():
            bench = Bench.start()
        if self._timer is None:
            self._timer = asyncio.get_running_loop().call_later(_LATER, self._refill)
        return bench

    def close(self) -> None:
        """End the one in reserve."""
        if self._timer is not None:
            self._timer.cancel()
        if self._ready is not None:
            self._ready.end()
            self._ready = None

    def _refill(self) -> None:
        self._timer = None
        if self._ready is None:
            self._ready = Bench.start()
