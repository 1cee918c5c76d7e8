"""What the terminal can show: how many characters a line, and which."""

from __future__ import annotations

import codecs
import shutil
import sys
import unicodedata

#: Name under which streams find `plain_character` as their way with characters they lack.
PLAIN = "soapfilm_plain"
_RAISED = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-", strict=True))
_PLAIN = {"·": "*", "°": " deg", "−": "-", "–": "-", "—": "-", "“": '"', "”": '"', "×": "x"}
_PLAIN |= {"\u2018": "'", "\u2019": "'", "…": "...", "σ": "sigma", "τ": "tau", "ω": "omega"}
_PLAIN |= {"█": "#", "≤": "<=", "≥": ">=", "\u00a0": " ", "\u202f": " "}


def terminal_width() -> int | None:
    """Characters on a line of the terminal, or None where the output is no terminal.

    What goes into a file or to another program keeps its lines whole.
    """
    if not (sys.stdout and sys.stdout.isatty()):
        return None
    return max(shutil.get_terminal_size().columns, 40)


def plain(text: str) -> str:
    """The text without characters beyond ASCII, readable where it can be.

    >>> plain("83.6e6 mm⁴ of 12 kN·m²")
    '83.6e6 mm^4 of 12 kN*m^2'
    """
    out, raised = [], False
    for c in text:
        if c in _RAISED:
            out.append(_RAISED[c] if raised else f"^{_RAISED[c]}")
        elif c.isascii():
            out.append(c)
        else:
            bare = unicodedata.normalize("NFKD", c).encode("ascii", "ignore").decode()
            out.append(_PLAIN.get(c) or bare or "?")
        raised = c in _RAISED
    return "".join(out)


def plain_character(error: UnicodeError) -> tuple[str, int]:
    """What to write for characters that an encoding lacks; see `codecs.register_error`."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return plain(error.object[error.start : error.end]), error.end


codecs.register_error(PLAIN, plain_character)
