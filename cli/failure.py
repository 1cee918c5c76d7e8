"""What the user sees when something goes wrong: one line and an exit code.

2 means the input must change (files and options included), 1 that the method did not get there,
130 that the user stopped it.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from ..geometry.errors import InputError, SoapfilmError, defect, one_line, shortened

if TYPE_CHECKING:
    from ..solver.section.result import SectionResult

INPUT, SOLVE, STOPPED = 2, 1, 130
#: What the system says without the name of a file, and what it is about.
_NAMELESS = {
    errno.ENOSPC: "the output cannot be written: {}; make room, or send it elsewhere",
    errno.ENOENT: "the folder in which the command runs is no longer there; change to another",
    errno.EMFILE: "{}; allow more (ulimit -n), or work with fewer --workers",
}


class Failure(Exception):
    """An error that knows its exit code and the file it speaks of."""

    def __init__(self, message: str, code: int) -> None:
        super().__init__(message)
        self.code = code


@contextmanager
def about(file: str) -> Iterator[None]:
    """Name the file in front of every error of this package raised in the block."""
    try:
        yield
    except SoapfilmError as error:
        text = str(error)
        named = text if text.startswith(f"{file}:") else f"{file}: {text}"
        raise Failure(named, exit_code(error)) from error


def check_accuracy(named: Iterable[tuple[str, SectionResult]]) -> None:
    """Raise the failure of a command whose results, already given out, miss the accuracy asked for.

    Raises
    ------
    Failure
        With the width reached of the widest interval and what it belongs to.
    """
    missed = [(name, result.solver) for name, result in named if not result.solver.met]
    if missed:
        name, solver = max(missed, key=lambda pair: pair[1].reached)
        raise Failure(
            f"{name}: J is known to {solver.reached:.1e} of itself only, not to the "
            f"{solver.accuracy:.1e} asked for; its interval holds all the same",
            SOLVE,
        )


def exit_code(error: BaseException) -> int:
    """The process's exit code for an error."""
    if isinstance(error, Failure):
        return error.code
    if isinstance(error, KeyboardInterrupt):
        return STOPPED
    return INPUT if isinstance(error, (InputError, OSError)) else SOLVE


def sentence(error: BaseException) -> str:
    """The error in one printable line, whatever a file name or a value in it contains."""
    if isinstance(error, KeyboardInterrupt):
        text = "stopped"
    elif isinstance(error, (Failure, SoapfilmError)):
        text = str(error)
    elif isinstance(error, OSError) and error.errno in _NAMELESS and not error.filename:
        text = _NAMELESS[error.errno].format(error.strerror)
    elif isinstance(error, OSError):
        text = ": ".join(str(part) for part in (error.filename, error.strerror or error) if part)
    elif isinstance(error, MemoryError):
        text = "not enough memory; ask for a lower accuracy or simplify the outline"
    else:
        text = defect(error, "report it with the output under SOAPFILM_TRACEBACK=1")
    return one_line(shortened(text))


def wants_traceback() -> bool:
    """True when the environment asks for Python's traceback instead of the one line."""
    return bool(os.environ.get("SOAPFILM_TRACEBACK"))
