"""What the desk offers to begin with: files, examples, rolled shapes, an empty sheet."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ..geometry.catalogue import search, shape
from .folder import Folder

#: A sheet for plates: two of them and the welds that make them one.
EMPTY = """\
# Plates by the lines that they follow; welds alone make them one
name = "new section"
unit = "mm"

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
            {"name": name, "words": _comment(text), "kind": _kind(text)}
            for name, text in examples.items()
        ],
        "shapes": designations(),
    }


def designations() -> list[str]:
    """Every rolled shape of the catalogue."""
    return [listing.designation for listing in search()]


def rolled_text(designation: str) -> tuple[str, str]:
    """A section file of a rolled shape, and its name.

    Raises
    ------
    InputError
        If there is no such shape.
    """
    section = shape(designation)
    return (
        f'# A rolled shape of the catalogue\nname = "{section.name}"\nunit = "{section.unit}"\n\n'
        f'[[shape]]\nshape = "{section.name}"\n',
        section.name,
    )


def example_home() -> Path:
    """The folder of the bundled examples, beside which they find each other."""
    return Path(__file__).parent.parent / "cli" / "examples"


def _about(path: Path) -> dict[str, str]:
    """Kind and first comment of a file."""
    if path.suffix.lower() != ".toml":
        return {"what": "drawing", "words": path.suffix[1:].upper()}
    try:
        with path.open("rb") as file:
            text = file.read(20_000).decode("utf-8", "replace")
    except OSError:
        return {"what": "section", "words": ""}
    return {"what": _kind(text), "words": _comment(text)}


def _comment(text: str) -> str:
    first = next((line for line in text.splitlines() if not line.startswith("#:")), "")
    return first.lstrip("# ")[:_FIRST_WORDS] if first.startswith("#") else ""


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
