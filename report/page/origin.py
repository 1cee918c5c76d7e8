"""Where a report comes from: program and libraries, the command, and the text of its input."""

from __future__ import annotations

import platform
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from .document import Block, Grid, Prose, ReportPart, Source

_LIBRARIES = ("numpy", "scipy", "gmsh", "shapely")
#: Longer input texts are named by their checksum instead of printed.
_LONGEST = 60_000


@dataclass(frozen=True, slots=True)
class Origin:
    """What a report was made from.

    Attributes
    ----------
    command : str
        As it was typed, or "" when there was none.
    inputs : sequence of (name, bytes)
        The files that were read.
    date : str
    """

    command: str = ""
    inputs: Sequence[tuple[str, bytes]] = ()
    date: str = ""

    @classmethod
    def of(cls, command: str, paths: Sequence[str], date: str) -> Origin:
        """Read the input files."""
        return cls(command, [(Path(p).name, Path(p).read_bytes()) for p in paths], date)


def program() -> str:
    """Name and version of this program."""
    try:
        return f"soapfilm {version('soapfilm')}"
    except PackageNotFoundError:
        return "soapfilm"


def reproduction(origin: Origin) -> ReportPart:
    """The part of a report that lets a reader repeat it."""
    rows = [
        ("soapfilm", program().removeprefix("soapfilm ")),
        ("Python", platform.python_version()),
    ]
    rows += [(name, version(name)) for name in _LIBRARIES]
    if origin.date:
        rows.append(("made on", origin.date))
    blocks: list[Block] = [
        Prose(["The same versions, command and files give the same numbers."]),
        Grid(("program", "version"), rows),
    ]
    if origin.command:
        blocks.append(Source("Command", origin.command))
    for name, data in origin.inputs:
        checksum = sha256(data).hexdigest()
        try:
            text = data.decode("utf-8")
        except UnicodeDecodeError:
            text = ""
        if not text or len(text) > _LONGEST:
            text = f"({len(data)} bytes, too long to print here)"
        blocks.append(Source(f"{name}, SHA-256 {checksum}", text))
    return ReportPart("reproduction", "To repeat it", blocks)
