"""The text of a file of ours: read whole, of bounded size, and parsed as TOML."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from ..errors import FileFormatError

#: A section file holds a few kilobytes; ten thousand vertices take a few hundred.
_MOST_BYTES = 20_000_000


def parsed(text: str) -> dict[str, Any]:
    """The tables of a TOML text."""
    if sys.version_info >= (3, 11):
        import tomllib
    else:
        import tomli as tomllib
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        raise FileFormatError("the lists are nested too deep for a file of soapfilm") from error
    except ValueError as error:
        reason = " ".join(str(error).split())[:120]
        raise FileFormatError(f"not valid TOML: {reason}") from error


def read_text(file: Path) -> str:
    """The whole file as text, if it is of a sensible size."""
    try:
        with file.open("rb") as stream:
            data = stream.read(_MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise FileFormatError(f"cannot be read: {reason}") from error
    if len(data) > _MOST_BYTES:
        raise FileFormatError(f"larger than {_MOST_BYTES // 10**6} MB; soapfilm needs far less")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileFormatError(f"not UTF-8 text (byte {error.start}); save it as UTF-8") from error
