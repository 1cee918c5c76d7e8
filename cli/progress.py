"""A progress bar on standard error, for terminals only."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
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
