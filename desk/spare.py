"""Solving processes ready to work: one is kept warm, so that none waits for libraries to load."""

from __future__ import annotations

import asyncio
import multiprocessing
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from typing import Any

from .bench import work

#: Seconds after which another is started where one was taken.
_LATER = 3.0
#: So many are kept in reserve at most.
_MOST_READY = 2
#: What hears a process: called with its line and each message, an EOFError at its end.
Told = Callable[[Connection, Any], None]


@dataclass(slots=True, eq=False)
class Bench:
    """A solving process with the line to it, and the number up to which its jobs are stale."""

    process: Any
    line: Connection
    stale: Any
    _told: tuple[asyncio.AbstractEventLoop, Told] | None = None
    _listens: bool = False

    @classmethod
    def start(cls, does: Callable[[Connection, Any], None] = work) -> Bench:
        """A new one, started anew and not forked: safe beside threads and gmsh."""
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        stale = context.Value("q", 0, lock=False)
        process = context.Process(target=does, args=(theirs, stale), daemon=True)
        process.start()
        theirs.close()
        return cls(process, ours, stale)

    def tell(self, loop: asyncio.AbstractEventLoop, told: Told) -> None:
        """From now on hand each message of the process to a function of the loop."""
        self._told = loop, told
        self.stale.value = 0
        if not self._listens:
            self._listens = True
            threading.Thread(target=self._listen, daemon=True).start()

    def end(self) -> None:
        """End it by force, whatever it does."""
        self.process.kill()
        self.line.close()

    def _listen(self) -> None:
        """Wait for messages in a thread."""
        while True:
            try:
                message: Any = self.line.recv()
            except (EOFError, OSError, TypeError, ValueError):  # closed, here or there
                message = EOFError()
            if self._told is not None:
                loop, told = self._told
                with suppress(RuntimeError):  # the loop has ended
                    loop.call_soon_threadsafe(told, self.line, message)
            if isinstance(message, EOFError):
                return


@dataclass(slots=True)
class SpareBench:
    """Gives out solving processes, takes idle ones back, and keeps one in reserve.

    Attributes
    ----------
    does : function
        What a process does with its end of the line and the number of stale jobs.
    """

    does: Callable[[Connection, Any], None] = work
    _ready: list[Bench] = field(default_factory=list)
    _timer: asyncio.TimerHandle | None = None
    _closed: bool = False

    def take(self) -> Bench:
        """A process: one in reserve, or a new one."""
        alive = [bench for bench in self._ready if bench.process.is_alive()]
        bench = alive.pop() if alive else Bench.start(self.does)
        self._ready = alive
        if self._timer is None:
            self._timer = asyncio.get_running_loop().call_later(_LATER, self._refill)
        return bench

    def give_back(self, bench: Bench) -> None:
        """One that has nothing to do: the next page finds it warm."""
        if self._closed or len(self._ready) >= _MOST_READY or not bench.process.is_alive():
            bench.end()
        else:
            self._ready.append(bench)

    def close(self) -> None:
        """End those in reserve."""
        self._closed = True
        if self._timer is not None:
            self._timer.cancel()
        while self._ready:
            self._ready.pop().end()

    def _refill(self) -> None:
        self._timer = None
        if not self._ready and not self._closed:
            self._ready.append(Bench.start(self.does))
