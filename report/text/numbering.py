"""Short numbers in place of long names, with the list that tells which is which."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from .blocks import HeadedRows, Passage, Sentences

#: Names of so many characters still stand in tables as they are.
LONGEST = 28
#: Headings of columns in which names stand.
_COLUMNS = ("combination", "under")


@dataclass(frozen=True, eq=False)
class Numbering:
    """Numbers of names; none where every name is short.

    Attributes
    ----------
    numbers : mapping of name to number
    """

    numbers: Mapping[str, str]

    @classmethod
    def of(cls, numbers: Mapping[str, str]) -> Numbering:
        """The numbers, if one of the names at least is long."""
        long = any(len(name) > LONGEST for name in numbers)
        return cls(numbers if long else {})

    @cached_property
    def _words(self) -> re.Pattern[str] | None:
        """Names in quotes, and long ones without; longer ones first, as one may begin another."""
        names = sorted(self.numbers, key=len, reverse=True)
        if not names:
            return None
        quoted = "|".join(re.escape(name) for name in names)
        bare = "|".join(re.escape(name) for name in names if len(name) > LONGEST)
        return re.compile(rf"['\"\u201c](?P<quoted>{quoted})['\"\u201d]|(?P<bare>{bare})")

    def text(self, text: str) -> str:
        """A sentence with numbers in place of names."""
        if self._words is None:
            return text
        return self._words.sub(lambda m: self.numbers[m["quoted"] or m["bare"]], text)

    def passage(self, passage: Passage) -> Passage:
        """A passage with numbers in its sentences and in its columns of combinations."""
        if not self.numbers:
            return passage
        return [
            self._rows(item) if isinstance(item, HeadedRows)
            else Sentences([self.text(text) for text in item.texts])
            for item in passage
        ]  # fmt: skip

    def _rows(self, block: HeadedRows) -> HeadedRows:
        named = [k for k, head in enumerate(block.headings) if head in _COLUMNS]
        rows: list[Sequence[str]] = []
        for row in block.rows:
            cells = [self.text(cell) for cell in row]
            for k in named:
                cells[k] = self.numbers.get(row[k], cells[k])
            rows.append(cells)
        return replace(block, rows=rows)
