"""The progress of a study on standard error: rows, rate, time left; a plain line now and then where
standard error is no terminal."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..solver.study.run.sweep import Progress

#: Seconds between lines in a log.
_EVERY = 30.0


@contextmanager
def study_progress() -> Iterator[Callable[[Progress], None]]:
    """A function that shows each state it is told of."""
    if not sys.stderr.isatty():
        yield _logged()
        return
    from rich.console import Console
    from rich.progress import (
        BarColumn,
        MofNCompleteColumn,
        TextColumn,
        TimeElapsedColumn,
        TimeRemainingColumn,
    )
    from rich.progress import Progress as Bar

    bar = Bar(
        TextColumn("rows"),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("{task.fields[rate]} failed {task.fields[failed]}"),
        TextColumn("elapsed"),
        TimeElapsedColumn(),
        TextColumn("left"),
        TimeRemainingColumn(),
        console=Console(stderr=True),
        transient=True,
    )
    begin = time.monotonic()
    with bar:
        task = bar.add_task("rows", total=None, rate="", failed=0)

        def show(state: Progress) -> None:
            took = time.monotonic() - begin
            rate = f"{state.solved / took:.1f}/s" if state.solved and took > 0 else ""
            bar.update(
                task,
                total=state.total,
                completed=state.found + state.solved,
                rate=rate,
                failed=state.failed,
            )

        yield show


def _logged() -> Callable[[Progress], None]:
    begin = last = time.monotonic()

    def show(state: Progress) -> None:
        nonlocal last
        now = time.monotonic()
        if now - last < _EVERY or not state.solved:
            return
        last = now
        left = (state.total - state.found - state.solved) * (now - begin) / state.solved
        print(
            f"{state.found + state.solved} of {state.total} rows, "
            f"{state.solved / (now - begin):.1f} a second, {left:.0f} s left",
            file=sys.stderr,
        )

    return show


@contextmanager
def count_progress(what: str) -> Iterator[Callable[[int, int], None]]:
    """A function that shows how many of how many are done; silent where there is no terminal."""
    if not sys.stderr.isatty():
        yield lambda done, total: None
        return
    from rich.console import Console
    from rich.progress import Progress as Bar

    with Bar(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)
