"""What the desk offers to begin with: files, examples, rolled shapes, an empty sheet."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ..geometry.catalogue import search, shape
from ..geometry.errors import InputError, SoapfilmError
from ..geometry.input_file import name_of
from ..geometry.section_file.kinds import kind_of
from ..geometry.section_file.text import parsed
from .folder import Folder
from .sheet import MOST_EDITED, checked_text

#: A sheet for plates: two of them and the welds that make them one.
EMPTY = """\
# Plates by the lines that they follow; welds alone make them one
name = "new section"
unit = "mm"

[material.steel]
grade = "S355"

[[plate]]
name = "flange"
points = [[-75, 100], [75, 100]]
thickness = 10

[[plate]]
name = "web"
points = [[0, 95], [0, -100]]
thickness = 8

[[weld]]
name = "neck"
between = ["flange", "web"]
leg = 5
"""
_FIRST_WORDS = 300


def offers(folder: Folder, examples: Mapping[str, str]) -> dict[str, Any]:
    """All of it."""
    return {
        "folder": str(folder.root),
        "files": [{"path": name, **_about(folder.root / name)} for name in folder.names()],
        "examples": [
            {
                "name": name,
                "words": _comment(text),
                "kind": _kind(text),
                "joints": _joints(text),
            }
            for name, text in examples.items()
        ],
        "shapes": designations(),
    }


def designations() -> list[str]:
    """Every rolled shape of the catalogue."""
    return [listing.designation for listing in search()]


@dataclass(frozen=True, slots=True)
class Opened:
    """A sheet to begin with: its text, its file in the folder if it has one, and the folder beside
    which it names others."""

    text: str
    name: str
    home: Path
    path: str | None = None
    digest: str = ""


def opened_sheet(
    message: Mapping[str, Any], folder: Folder, examples: Mapping[str, str],
    beside: Path | None = None,
) -> Opened:  # fmt: skip
    """What a message names by `path`, `example`, `designation` or `text`; else an empty sheet.

    Parameters
    ----------
    message : mapping
    folder : Folder
    examples : mapping
    beside : path, optional
        Where a text's files are; the folder's root when left out.

    Raises
    ------
    InputError
        If there is no such file, example or shape.
    """
    named = {key: message[key] for key in ("path", "example", "designation", "text")
             if message.get(key) is not None}  # fmt: skip
    if any(not isinstance(value, str) for value in named.values()):
        raise InputError("what to open is named by a text")
    if "path" in named:
        copy = folder.read(named["path"])
        place = folder.place(named["path"])
        return Opened(copy.text, name_of(place), place.parent, named["path"], copy.digest)
    if "example" in named:
        if named["example"] not in examples:
            raise InputError(f"there is no example {named['example'][:80]!r}")
        return Opened(examples[named["example"]], named["example"], example_home())
    if "designation" in named:
        return _rolled(named["designation"], folder.root)
    if "text" in named:
        return Opened(checked_text(named["text"]), "section", beside or folder.root)
    return Opened(EMPTY, "sheet", folder.root)


def _rolled(designation: str, home: Path) -> Opened:
    """A section file of a rolled shape, of a usual steel."""
    section = shape(designation)
    grade = "A992" if section.unit == "in" else "S355"
    text = (
        f'# A rolled shape of the catalogue\nname = "{section.name}"\nunit = "{section.unit}"\n\n'
        f'[[shape]]\nshape = "{section.name}"\nmaterial = "{grade}"        # change it as needed\n'
    )
    return Opened(text, section.name, home)


def example_home() -> Path:
    """The folder of the bundled examples, beside which they find each other."""
    return Path(__file__).parent.parent / "cli" / "examples"


def _about(path: Path) -> dict[str, Any]:
    """Kind and first comment of a file."""
    if path.suffix.lower() != ".toml":
        return {"what": "drawing", "words": path.suffix[1:].upper()}
    try:
        with path.open("rb") as file:
            text = file.read(20_000).decode("utf-8", "replace")
    except OSError:
        return {"what": "section", "words": ""}
    return {"what": _kind(text), "words": _comment(text), "joints": _joints(text)}


def _joints(text: str) -> list[str]:
    """Names of the joints that a file describes."""
    if "[[joint]]" not in text:
        return []
    with suppress(SoapfilmError):
        rows = parsed(text).get("joint")
        if isinstance(rows, list):
            return [
                r["name"] for r in rows if isinstance(r, dict) and isinstance(r.get("name"), str)
            ]
    return []


def _comment(text: str) -> str:
    first = next((line for line in text.splitlines() if not line.startswith("#:")), "")
    return first.lstrip("# ")[:_FIRST_WORDS] if first.startswith("#") else ""


def kind_of_text(text: str) -> str | None:
    """Kind of a sheet; None of one that is not TOML. A long one is not read through for it."""
    if len(text) > MOST_EDITED:
        return _kind(text)
    try:
        return kind_of(parsed(text))
    except SoapfilmError:
        return None


def _kind(text: str) -> str:
    """Told by the tables' headings, without reading the whole."""
    heads = {
        line.strip().strip("[]").split(".")[0] for line in text.splitlines() if line[:1] == "["
    }
    if heads & {"span", "support", "segment"}:
        return "member"
    if heads & {"parameter", "catalogue", "candidates"}:
        return "study"
    return "joints" if "joint" in heads else "section"
