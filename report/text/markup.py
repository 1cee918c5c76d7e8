"""In which markup tables are written: laid out for a terminal, or Markdown or LaTeX for one's own
document."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Protocol

from . import latex, markdown

#: Names of the markups; the first is the terminal's layout.
MARKUPS = ("text", "markdown", "latex")


class Markup(Protocol):
    """What a markup has to write; every element is a list of lines."""

    def heading(self, title: str, level: int) -> list[str]:
        """A heading, 1 for the document's own and 2 below it."""
        ...

    def grid(
        self, head: Sequence[Sequence[str]], rows: Sequence[Sequence[str]], right: Sequence[bool]
    ) -> list[str]:
        """Rows under one or two lines of headings; `right` says which columns hold numbers."""
        ...

    def sentence(self, text: str, item: bool) -> list[str]:
        """A paragraph, or an item of a list."""
        ...


_WRITERS: dict[str, Markup] = {"markdown": markdown, "latex": latex}
_CHOSEN: ContextVar[Markup | None] = ContextVar("markup", default=None)


def chosen() -> Markup | None:
    """The markup asked for, None for the terminal's layout."""
    return _CHOSEN.get()


@contextmanager
def written_as(name: str) -> Iterator[None]:
    """Write tables in this markup inside a with-block.

    Parameters
    ----------
    name : str
        One of `MARKUPS`.
    """
    token = _CHOSEN.set(_WRITERS.get(name))
    try:
        yield
    finally:
        _CHOSEN.reset(token)
