"""One error tree. A message says what is wrong, which value, where, and what to do.

The command line prints any of these as one line ``soapfilm: error: ...``. `InputError` and its
children mean the input must change (exit code 2); `SolveError` means the input was fine and the
method did not get there (exit code 1).
"""

from __future__ import annotations

import re

#: A word of a message that is longer is cut: no path is, and what is left tells what was met.
_LONGEST_WORD, _LEFT_OF_IT = 300, 60
#: A whole message, and how much of its beginning and of its end is left.
_LONGEST, _BEGINNING, _END = 2000, 1000, 400


class SoapfilmError(Exception):
    """Root of every error this package raises on purpose.

    What a file says and a message repeats may be of any length and in several lines; the message
    is not.
    """

    def __str__(self) -> str:
        return one_line(shortened(super().__str__()))


class InputError(SoapfilmError):
    """The input is wrong or incomplete; the message says where and what to do."""


class GeometryError(InputError):
    """An outline, a hole, a region or their arrangement is not a valid cross-section."""


class ArrangementError(GeometryError):
    """Parts that are each valid cannot stand together as described, whatever theory solves them."""


class FileFormatError(InputError):
    """A file cannot be read as what it claims to be."""


class UnitError(InputError):
    """A quantity lacks its unit, or carries one of the wrong dimension."""


class SolveError(SoapfilmError):
    """Valid input that the method could not solve; the message says how far it came."""


class MeshError(SolveError):
    """The mesh generator failed; the message names the place."""


def defect(error: BaseException, report: str) -> str:
    """Words for an error that is none of these; `report` says how to report it."""
    return (
        f"unexpected {type(error).__name__}: {error}; this is a defect of soapfilm, please {report}"
    )


def shortened(text: str) -> str:
    """The text with words and a middle that no reader wants cut out.

    >>> shortened(f"there is no {'x' * 400!r}; there are box, unit")
    "there is no 'xxx...'; there are box, unit"
    """
    text = re.sub(rf"\S{{{_LONGEST_WORD},}}", _cut, text)
    return text if len(text) <= _LONGEST else f"{text[:_BEGINNING]} ... {text[-_END:]}"


def _cut(word: re.Match[str]) -> str:
    kept = word.group()[:_LEFT_OF_IT]
    closing = re.search(r"['\"]?[;:,.)]*$", word.group())
    return f"{kept}...{closing.group() if closing else ''}"


def one_line(text: str) -> str:
    """Printable and in one line, whatever a file name or a value in it contains."""
    return "".join(c if c.isprintable() else " " for c in " ".join(text.split()))
