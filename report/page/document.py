"""What a report holds before it is laid out: parts of plain blocks, all text still unescaped."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, ClassVar

from ..text.blocks import Group


@dataclass(frozen=True, slots=True)
class Prose:
    """Paragraphs."""

    kind: ClassVar[str] = "prose"
    paragraphs: Sequence[str]


@dataclass(frozen=True, slots=True)
class Remarks:
    """A list of remarks."""

    kind: ClassVar[str] = "remarks"
    items: Sequence[str]


@dataclass(frozen=True, slots=True)
class Fact:
    """One of the few numbers a reader looks for first."""

    words: str
    symbol: str
    value: str
    unit: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Facts:
    """The few numbers a reader looks for first."""

    kind: ClassVar[str] = "facts"
    items: Sequence[Fact]


@dataclass(frozen=True, slots=True)
class Quantities:
    """Groups of quantities as the terminal's tables have them."""

    kind: ClassVar[str] = "quantities"
    groups: Sequence[Group]


@dataclass(frozen=True, slots=True)
class Grid:
    """A plain table; columns of numbers are set to the right."""

    kind: ClassVar[str] = "grid"
    heads: Sequence[str]
    rows: Sequence[Sequence[str]]
    caption: str = ""

    @property
    def numeric(self) -> list[bool]:
        """Which columns hold numbers alone, or say that there is none."""
        return [
            k > 0 and all(_NUMBER.fullmatch(row[k]) for row in self.rows)
            for k in range(len(self.heads))
        ]


@dataclass(frozen=True, slots=True)
class Picture:
    """A figure inside the page, as a data address; `sheet` for one that fills a printed page,
    `tall` for one that prints as wide as the page however high it is then."""

    kind: ClassVar[str] = "picture"
    source: str
    words: str
    caption: str
    sheet: bool = False
    tall: bool = False


@dataclass(frozen=True, slots=True)
class Formulas:
    """Equations by their names in `assets/formulas.html`."""

    kind: ClassVar[str] = "formulas"
    names: Sequence[str]


@dataclass(frozen=True, slots=True)
class Source:
    """A text to copy from, such as the input file."""

    kind: ClassVar[str] = "source"
    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Live:
    """A live block: the name of its template macro and what the template itself needs."""

    kind: ClassVar[str] = "live"
    name: str
    context: Any


_NUMBER = re.compile(r"|-|none|uplift|[-−]?\d[\d.]*(e-?\d+)?( %)?( to [-−]?\d[\d.]*(e-?\d+)?)?")

Block = Prose | Remarks | Facts | Quantities | Grid | Picture | Formulas | Source | Live


@dataclass(frozen=True, slots=True)
class ReportPart:
    """A numbered part of the report. `screen_only` parts are left out on paper."""

    name: str
    heading: str
    blocks: Sequence[Block]
    screen_only: bool = False


@dataclass(frozen=True, slots=True)
class Document:
    """A whole report.

    Attributes
    ----------
    title, subtitle : str
    parts : sequence of ReportPart
    live : dict
        Data of the live blocks, by name.
    made_with : str
        Program and version.
    """

    title: str
    subtitle: str
    parts: Sequence[ReportPart]
    live: dict[str, Any] = field(default_factory=dict)
    made_with: str = ""
