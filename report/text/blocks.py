"""What a table is made of, not yet laid out: `rendering` shows it on a terminal, the report page in
its own way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Row:
    """One quantity.

    Attributes
    ----------
    quantity : str
        In words.
    symbol : str
        In both notations where they differ: "J = I_T".
    value, unit : str
    note : str
        What has to be said of the value, printed below it.
    """

    quantity: str
    symbol: str = ""
    value: str = ""
    unit: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """Rows under a heading."""

    heading: str
    rows: Sequence[Row]


@dataclass(frozen=True, slots=True)
class CaseRow:
    """One quantity of every case.

    Attributes
    ----------
    quantity, symbol, unit : str
    values : tuple of str
        As printed, one a case.
    """

    quantity: str
    symbol: str
    unit: str
    values: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CaseGroup:
    """Rows of every case under a heading."""

    heading: str
    rows: Sequence[CaseRow]


@dataclass(frozen=True, slots=True)
class HeadedRows:
    """Rows under headings and their units.

    Attributes
    ----------
    headings, units : sequence of str
        One a column; units may be left out as a whole.
    rows : sequence of sequences of str
        A column whose entries all start like a number is set to the right.
    words : int, optional
        So many columns on the left are set to the left whatever they hold; no rule is drawn then.
    """

    headings: Sequence[str]
    units: Sequence[str]
    rows: Sequence[Sequence[str]]
    words: int | None = None


@dataclass(frozen=True, slots=True)
class Sentences:
    """Paragraphs."""

    texts: Sequence[str]


Passage = Sequence[HeadedRows | Sentences]


def as_sentence(words: str) -> str:
    """Words with a capital, and a full stop where there is none."""
    return f"{words[0].upper()}{words[1:]}{'' if words.endswith('.') else '.'}"
