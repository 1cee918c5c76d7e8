"""Interrupts as a terminal gives them, however the tests were started."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def heeded() -> Iterator[None]:
    """Ctrl-C ends this process and those it starts: a shell that starts the tests in its background
    has them, and all that they start, ignore interrupts."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
