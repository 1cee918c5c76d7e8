"""Watching the file on the desk: a change from outside is told at once."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from ..geometry.errors import InputError
from .folder import Copy, copy_of


class Watch:
    """Watches one file at a time.

    Parameters
    ----------
    changed : function
        Called with the file's new copy, whoever wrote it.
    """

    def __init__(self, changed: Callable[[Copy], None]) -> None:
        self._changed = changed
        self._path: Path | None = None
        self._task: asyncio.Task[None] | None = None

    def follow(self, path: Path | None) -> None:
        """Watch this file from now on, or none."""
        if path == self._path and self._task is not None and not self._task.done():
            return
        self.end()
        self._path = path
        if path is not None:
            self._task = asyncio.create_task(self._run(path))

    def end(self) -> None:
        """Watch no more."""
        if self._task is not None:
            self._task.cancel()
            self._task = None

    async def _run(self, path: Path) -> None:
        from watchfiles import awatch

        # The folder is watched: editors replace a file by another of its name.
        async for changes in awatch(path.parent, recursive=False, debounce=100, step=20):
            if not any(Path(name).name == path.name for _, name in changes):
                continue
            with suppress(InputError):  # just taken away; it may come back
                self._changed(copy_of(path, path.name))
