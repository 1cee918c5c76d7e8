"""Files that are read: ordinary ones of bounded size, and remembered, so that none is written over.

What is read while `remembered` is on is known by its device and number, so a second name or a link
does not hide it. Programs that import the package leave it off: they may write what they have read.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path

from .errors import FileFormatError

_KINDS = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
    (stat.S_ISSOCK, "a socket"),
)
#: Name of each file read, by its identity; None while nothing is remembered.
_read: ContextVar[dict[tuple[int, int], str] | None] = ContextVar("read", default=None)
#: Folders that files are read from; None where any file may be read.
_folders: ContextVar[tuple[Path, ...] | None] = ContextVar("folders", default=None)


@contextmanager
def remembered() -> Iterator[None]:
    """Remember every file that is read in the block."""
    token = _read.set({})
    try:
        yield
    finally:
        _read.reset(token)


@contextmanager
def forgetting() -> Iterator[None]:
    """Remember nothing in the block, which may write what it has read."""
    token = _read.set(None)
    try:
        yield
    finally:
        _read.reset(token)


@contextmanager
def confined(folders: Iterable[str | os.PathLike[str]]) -> Iterator[None]:
    """Read no file in the block but those inside the folders, links followed."""
    token = _folders.set(tuple(Path(folder).resolve() for folder in folders))
    try:
        yield
    finally:
        _folders.reset(token)


def remember(path: str | os.PathLike[str]) -> None:
    """Count a file as read, if it is there."""
    known = _read.get()
    if known is None:
        return
    try:
        found = os.stat(path)
    except (OSError, ValueError):
        return
    known.setdefault((found.st_dev, found.st_ino), str(path))


def read_as(path: str | os.PathLike[str]) -> str | None:
    """The name under which a file was read, None if it was not."""
    known = _read.get()
    if not known:
        return None
    try:
        found = os.stat(path)
    except (OSError, ValueError):
        return None
    return known.get((found.st_dev, found.st_ino))


def name_of(path: str | os.PathLike[str]) -> str:
    """What is called after a file: its name without the extension, each byte that is no UTF-8
    replaced, so that figures, tables and pages can be written.

    >>> name_of("parts/edge.toml")
    'edge'
    """
    return os.fsencode(Path(path).stem).decode("utf-8", "replace")


def content(path: str | os.PathLike[str], limit: int) -> bytes:
    """At most `limit` + 1 bytes of an ordinary file.

    Raises
    ------
    FileFormatError
        If it cannot be opened, lies outside the folders that the block is confined to, or is a
        pipe or a device, which might never end.
    """
    file = Path(path)
    try:
        inside = _folders.get()
        if inside is not None and not any(file.resolve().is_relative_to(f) for f in inside):
            raise FileFormatError("lies outside the opened folder; put it there")
        mode = file.stat().st_mode
        kind = next((name for test, name in _KINDS if test(mode)), None)
        if kind is not None:
            raise FileFormatError(f"is {kind}; give a file")
        with file.open("rb") as stream:
            data = stream.read(limit + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise FileFormatError(f"cannot be read: {reason}") from error
    remember(file)
    return data
