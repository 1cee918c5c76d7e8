"""The text of a file of ours: read whole, of bounded size, and parsed as TOML."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any

from ..errors import FileFormatError
from ..input_file import content

#: A section file holds a few kilobytes; ten thousand vertices take a few hundred.
_MOST_BYTES = 20_000_000
#: A dotted key makes a table for each of its parts, and costs their square.
_MOST_PARTS = 64
_DOTTED = re.compile(
    r"(?<![\w-])(?:(?:[A-Za-z0-9_-]+|\"[^\"\n]*\"|'[^'\n]*')[ \t]*\.[ \t]*)"
    f"{{{_MOST_PARTS}}}"
)
_CURLY = re.compile("[\u2018\u2019\u201a\u201c\u201d\u201e\u00ab\u00bb]")
#: A whole number longer than Python reads.
_LONG = re.compile(r"\d{4301,}")
_COMMA = re.compile(r"[+-]?\d+,\d+\s*(?:[A-Za-z][\w^*/]*)?\s*(?:#.*)?$")
_WITH_UNIT = re.compile(r"[+-]?\d+(?:\.\d+)?\s*[A-Za-z%\u00b5\u00b0][^\"'#]*$")
_WORD = re.compile(r"[A-Za-z][^\"'#=\[\]{}]*$")


def parsed(text: str) -> dict[str, Any]:
    """The tables of a TOML text."""
    if sys.version_info >= (3, 11):
        import tomllib
    else:
        import tomli as tomllib
    deep = _DOTTED.search(text)
    if deep:
        raise FileFormatError(
            f"line {text.count(chr(10), 0, deep.start()) + 1}: a key of more than {_MOST_PARTS} "
            "parts; a section file needs three at most"
        )
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        raise FileFormatError("the lists are nested too deep for a file of soapfilm") from error
    except ValueError as error:
        reason = " ".join(str(error).split())[:120]
        raise FileFormatError(f"not valid TOML: {_slip(text, reason) or reason}") from error


def _slip(text: str, reason: str) -> str:
    """What is likely wrong in the line that the reason names, and the cure; "" when unknown."""
    long = _LONG.search(text)
    if long and "digits" in reason:  # Python names no line for these
        number = text.count("\n", 0, long.start()) + 1
        return f"line {number}: a number of {len(long.group())} digits; write it like 1.5e6"
    named = re.search(r"at line (\d+), column \d+", reason)
    lines = text.splitlines()
    number = int(named.group(1)) if named else len(lines)
    line = lines[number - 1] if 0 < number <= len(lines) else ""
    place = f"line {number}: {line.strip()[:60]!r}"
    if _CURLY.search(line):
        return f'{place} has curly quotes; type straight ones, like "steel"'
    if "\\" in line:
        return (
            f"{place}: a backslash in double quotes begins a code; write / instead, or put the "
            "text in single quotes"
        )
    key, equals, value = line.partition("=")
    value = value.strip()
    if equals and _COMMA.match(value):
        return f"{place}: decimals have a point, like {key.strip()} = {value.replace(',', '.', 1)}"
    if equals and _WITH_UNIT.match(value):
        return f'{place}: a number with a unit stands in quotes, like {key.strip()} = "{value}"'
    if equals and _WORD.match(value):
        return f'{place}: a text stands in quotes, like {key.strip()} = "{value}"'
    return ""


def read_text(file: Path) -> str:
    """The whole file as text, if it is of a sensible size."""
    data = content(file, _MOST_BYTES)
    if len(data) > _MOST_BYTES:
        raise FileFormatError(f"larger than {_MOST_BYTES // 10**6} MB; soapfilm needs far less")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileFormatError(f"not UTF-8 text (byte {error.start}); save it as UTF-8") from error
