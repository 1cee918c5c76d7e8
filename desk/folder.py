"""The opened folder: the only place that the desk reads from and writes to."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from ..geometry.errors import InputError
from ..geometry.section_file.text import read_text
from ..report.files import write_text

#: Endings of what can be opened here; drawings become section files when they are dropped.
SHEETS = (".toml",)
DRAWINGS = (".dxf", ".svg", ".ifc", ".wkt", ".geojson")
#: How deep below the folder files are offered, and how many at most.
_DEEP, _MOST = 3, 500


@dataclass(frozen=True, slots=True)
class Copy:
    """A file as it was read: its text, and a digest that tells whether it has changed since."""

    text: str
    digest: str


@dataclass(frozen=True, slots=True)
class Folder:
    """A folder with all links resolved.

    Attributes
    ----------
    root : Path
    """

    root: Path

    @classmethod
    def at(cls, path: str | os.PathLike[str]) -> Folder:
        """The folder at a path."""
        root = Path(path).resolve()
        if not root.is_dir():
            raise InputError(f"{path}: there is no such folder")
        return cls(root)

    def place(self, name: str) -> Path:
        """The path of a name in the folder, links followed.

        Raises
        ------
        InputError
            If it leads out of the folder, or its ending is not that of a sheet or drawing.
        """
        if not name or "\0" in name or len(name) > 1000:
            raise InputError("a file's name is missing or unusable")
        path = (self.root / name).resolve()
        if not path.is_relative_to(self.root):
            raise InputError(f"{name}: lies outside the opened folder {self.root}; open that one")
        if path.suffix.lower() not in (*SHEETS, *DRAWINGS):
            raise InputError(f"{name}: the desk opens .toml files and drawings; end its name so")
        return path

    def read(self, name: str) -> Copy:
        """A file's text.

        Raises
        ------
        InputError
            If it is not there, too large, not text, or outside the folder.
        """
        return copy_of(self.place(name), name)

    def save(self, name: str, text: str, digest: str | None, *, overwrite: bool = False) -> Copy:
        """Write a file whole or not at all.

        Parameters
        ----------
        digest : str, optional
            Of the file as it was read; None for one that must not be there yet.
        overwrite : bool
            Write whatever is there.

        Raises
        ------
        InputError
            If it is outside the folder or cannot be written.
        FileChangedError
            If what is there is not what was read.
        """
        path = self.place(name)
        if path.suffix.lower() not in SHEETS:
            raise InputError(f"{name}: only .toml files are written; end its name in .toml")
        there = copy_of(path, name) if path.exists() else None
        if not overwrite and there is not None and there.text != text and there.digest != digest:
            words = "has changed on disk since it was read" if digest else "is there already"
            raise FileChangedError(
                f"{name}: {words}; overwrite it, or save under another name", name, there.text
            )
        write_text(path, text)
        return copy_of(path, name)

    def names(self) -> list[str]:
        """Sheets and drawings in the folder, near ones first."""
        return sorted(self._walk(self.root, 0), key=lambda name: (name.count("/"), name))[:_MOST]

    def _walk(self, folder: Path, depth: int) -> Iterator[str]:
        try:
            entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
        except OSError:
            return
        for entry in entries[: 4 * _MOST]:
            if entry.name.startswith("."):
                continue
            if entry.is_dir(follow_symlinks=False) and depth < _DEEP:
                yield from self._walk(Path(entry.path), depth + 1)
            elif Path(entry.name).suffix.lower() in (*SHEETS, *DRAWINGS):
                path = Path(entry.path)
                if path.resolve().is_relative_to(self.root) and path.is_file():
                    yield path.relative_to(self.root).as_posix()


class FileChangedError(InputError):
    """What is on disk is not what was read: its name, and its text now."""

    def __init__(self, words: str, path: str, text: str) -> None:
        super().__init__(words)
        self.path, self.text = path, text


def copy_of(path: Path, name: str) -> Copy:
    """A file as it is now."""
    try:
        text = read_text(path)
    except InputError as error:
        raise InputError(f"{name}: {error}") from error
    return Copy(text, digest_of(text))


def digest_of(text: str) -> str:
    """A digest of a file's text."""
    return sha256(text.encode()).hexdigest()
