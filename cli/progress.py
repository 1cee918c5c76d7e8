"""Progress on standard error, for terminals only: a bar of items, or a line with the time."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import TypeVar

Item = TypeVar("Item")

#: Work shorter than this many steps needs no bar.
_FEW = 12


def shown(items: Sequence[Item], what: str) -> Iterable[Item]:
    """The items, with a bar while they are worked on where standard error is a terminal."""
    if len(items) < _FEW or not sys.stderr.isatty():
        return items
    from rich.console import Console
    from rich.progress import track

    return track(items, description=what, console=Console(stderr=True), transient=True)


@contextmanager
def waiting(what: str, *, after: float = 2.0) -> Iterator[None]:
    """Tell what is worked on, and for how long, once it takes longer than `after` seconds; only
    where standard error is a terminal, and gone when it is done."""
    stream = sys.stderr
    if not stream.isatty():
        yield
        return
    done = threading.Event()

    def tell() -> None:
        begin = time.monotonic()
        if done.wait(after):
            return
        while True:
            stream.write(f"\r{what}: {time.monotonic() - begin:.0f} s")
            stream.flush()
            if done.wait(1.0):
                stream.write("\r\x1b[K")
                stream.flush()
                return

    teller = threading.Thread(target=tell, daemon=True)
    teller.start()
    try:
        yield
    finally:
        done.set()
        teller.join()
