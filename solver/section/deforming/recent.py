"""Reduced sections asked for lately, under their content: what a study or a page that asks once
and again for the same section need not wait for.

The last few stay in memory; a command that ends after one member keeps them on disk too (`kept`),
where its next run finds them.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Sequence
from pathlib import Path
from typing import Generic, TypeVar

from ....geometry.section import Section
from .kept import KeptSections, key_of
from .reduced import ReducedSection

T = TypeVar("T")

#: How many answers are kept; a large section takes some ten megabytes.
KEPT = 8


class Lately(Generic[T]):
    """The last few answers, each under its question."""

    def __init__(self, most: int) -> None:
        self._most, self._lock = most, threading.Lock()
        self._known: OrderedDict[Hashable, T] = OrderedDict()

    def answer(self, key: Hashable, solve: Callable[[], T]) -> T:
        """The answer from before, or a new one."""
        with self._lock:
            if key in self._known:
                self._known.move_to_end(key)
                return self._known[key]
        found = solve()
        with self._lock:
            self._known[key] = found
            while len(self._known) > self._most:
                self._known.popitem(last=False)
        return found


_STORE: list[KeptSections] = []
_KNOWN: Lately[tuple[ReducedSection, ...]] = Lately(KEPT)


def keep_on_disk(folder: Path | None) -> None:
    """Keep answers in a folder from now on; None: in memory alone."""
    _STORE[:] = [] if folder is None else [KeptSections(folder)]


def recent(
    what: str,
    sections: Sequence[Section],
    options: Hashable,
    solve: Callable[[], tuple[ReducedSection, ...]],
) -> tuple[ReducedSection, ...]:
    """The answer to the same question before, or a new one.

    Parameters
    ----------
    what : str
        Which question it is.
    sections : sequence of Section
    options : hashable
        Everything else that the answer depends on.
    solve : function
        Finds the answer.
    """
    key = (what, tuple(content_of(section) for section in sections), options)
    return _KNOWN.answer(key, lambda: _kept_or_solved(key, solve))


def _kept_or_solved(
    key: Hashable, solve: Callable[[], tuple[ReducedSection, ...]]
) -> tuple[ReducedSection, ...]:
    if not _STORE:
        return solve()
    store, name = _STORE[0], key_of(key)
    found = store.get(name)
    if found is None:
        found = solve()
        store.put(name, found)
    return found


def content_of(section: Section) -> Hashable:
    """What of a section its solution depends on, exact for every float; names count, for they
    appear in messages."""
    regions = tuple(
        (
            tuple((c.points.tobytes(), c.bulges.tobytes()) for c in region.contours),
            region.material,
        )
        for region in section.regions
    )
    return section.name, section.unit, regions, section.slits
