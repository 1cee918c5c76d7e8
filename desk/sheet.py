"""The sheet on the desk: a file's text, edited value by value with comments and layout kept."""

from __future__ import annotations

import math
from collections.abc import MutableMapping
from dataclasses import dataclass
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from ..geometry.errors import FileFormatError, InputError
from ..geometry.quantity import LENGTHS, split
from ..geometry.section_file.text import parsed
from ..solver.study.file.address import place_of

#: The largest text that is edited by hand, in characters; larger ones are for an editor.
MOST_TEXT = 2_000_000
#: The largest that is edited value by value, which reads it with its comments and layout (100 kB a
#: second), how many values at once, and the longest address of one.
MOST_EDITED, _MOST_CHANGES, _LONGEST_ADDRESS = 100_000, 1000, 200
#: The longest value.
_LONGEST = 1000


def checked_text(text: Any) -> str:
    """A text that a sheet may have.

    Raises
    ------
    InputError
        If it is none, or too long.
    """
    if not isinstance(text, str) or len(text) > MOST_TEXT:
        raise InputError(f"a sheet is a text of at most {MOST_TEXT} characters")
    return text


@dataclass(slots=True)
class TomlSheet:
    """A text and its TOML document, which is made when it is first edited.

    Attributes
    ----------
    text : str
    """

    text: str
    _document: tomlkit.TOMLDocument | None = None

    def set(self, changes: list[dict[str, Any]]) -> None:
        """Give values at addresses (as studies name them) their new values, all or none.

        Parameters
        ----------
        changes : list of dict
            Each an address `at` and a value `to`: a number in the file's unit, a text as a file
            would have it, true or false, or None to take the key away.

        Raises
        ------
        InputError
            For an address that leads nowhere, a text that is not TOML, or too much of either.
        """
        if len(self.text) > MOST_EDITED:
            raise InputError(
                f"a sheet of more than {MOST_EDITED} characters is changed in its text alone"
            )
        if not isinstance(changes, list) or len(changes) > _MOST_CHANGES:
            raise InputError(f"changes are a list of at most {_MOST_CHANGES}")
        document = self._document or _document(self.text)
        self._document = None  # until all went well
        for change in changes:
            holder, key = place_of(document, str(change["at"])[:_LONGEST_ADDRESS])
            value = change["to"]
            if value is None:
                if isinstance(holder, MutableMapping) and key in holder:
                    del holder[key]
            else:
                holder[key] = _written(value, _present(holder, key), document.get("unit"))
        self.text = tomlkit.dumps(document)
        self._document = document


def _document(text: str) -> tomlkit.TOMLDocument:
    parsed(text)  # its messages name the slip in a line
    try:
        return tomlkit.parse(text)
    except TOMLKitError as error:
        raise FileFormatError(f"not valid TOML: {error}") from error


def _present(holder: Any, key: Any) -> Any:
    try:
        return holder[key]
    except (KeyError, IndexError):
        return None


def _written(value: Any, present: Any, unit: Any) -> Any:
    """A value as it is written where another stands: numbers keep that one's unit."""
    if isinstance(value, bool):
        return value
    if isinstance(value, (int, float)):
        if not math.isfinite(value):
            raise InputError("a value is a finite number")
        return _in_its_unit(value, present, unit) if isinstance(present, str) else _plain(value)
    if not isinstance(value, str) or len(value) > _LONGEST or not value.isprintable():
        raise InputError(f"a value is a number, or a text of at most {_LONGEST} characters")
    text = value.strip()
    if isinstance(present, str):
        return text
    try:
        number = float(text)
    except ValueError:
        return text
    return _plain(number) if math.isfinite(number) else text


def _in_its_unit(value: float, present: str, unit: Any) -> str:
    """A length in the file's unit, written in the unit that stands there."""
    found = split(present)
    own = found[1] if found else ""
    if own in LENGTHS and unit in LENGTHS:
        return f"{_plain(value * float(LENGTHS[unit] / LENGTHS[own]))} {own}"
    return f"{_plain(value)} {unit or ''}".strip()


def _plain(value: float) -> int | float:
    """A number without the digits that a drag leaves behind the tenth."""
    rounded = float(f"{value:.10g}")
    return int(rounded) if rounded.is_integer() and abs(rounded) < 1e15 else rounded
