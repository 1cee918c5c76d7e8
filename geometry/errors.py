"""One error tree. A message says what is wrong, which value, where, and what to do.

The command line prints any of these as one line ``soapfilm: error: ...``. `InputError` and its
children mean the input must change (exit code 2); `SolveError` means the input was fine and the
method did not get there (exit code 1).
"""

from __future__ import annotations


class SoapfilmError(Exception):
    """Root of every error this package raises on purpose."""


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


def one_line(text: str) -> str:
    """Printable and in one line, whatever a file name or a value in it contains."""
    return "".join(c if c.isprintable() else " " for c in " ".join(text.split()))
