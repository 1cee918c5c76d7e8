"""The solving process from inside: jobs in, answers out, until the line is closed.

An answer is JSON text, so that the desk passes it on without looking into it.
"""

from __future__ import annotations

import signal
import warnings
from collections.abc import Callable, Mapping
from contextlib import suppress
from multiprocessing.connection import Connection
from typing import Any

from ..geometry.input_file import confined
from ..solver.threads import use_one_thread
from .errand import Cancelled, Errand

Doing = Callable[[dict[str, Any], Errand], None]

#: Bytes of address space that a solving process may take, where the system can hold it to that: a
#: drawing that grows without end when it is read ends in words, not in a machine without memory.
MOST_MEMORY = 8 * 2**30


def work(line: Connection, stale: Any) -> None:
    """Do jobs until the line is closed."""
    use_one_thread()
    _limit_memory()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the desk's, which ends this one
    warnings.simplefilter("ignore")
    from .jobs import JOBS, warm

    warm()
    serve(line, stale, JOBS)


def serve(line: Connection, stale: Any, jobs: Mapping[str, Doing]) -> None:
    """Do the jobs that come, by the word of their `do`."""
    while True:
        try:
            job = line.recv()
        except (EOFError, OSError):
            return
        _do(jobs[job["do"]], job, Errand(line, stale, job))
        try:
            line.send((job["number"], None))
        except OSError:
            return


def _limit_memory() -> None:
    try:
        import resource
    except ImportError:  # Windows
        return
    hard = resource.getrlimit(resource.RLIMIT_AS)[1]
    most = MOST_MEMORY if hard == resource.RLIM_INFINITY else min(MOST_MEMORY, hard)
    with suppress(OSError, ValueError):  # macOS
        resource.setrlimit(resource.RLIMIT_AS, (most, hard))


def _do(doing: Doing, job: dict[str, Any], errand: Errand) -> None:
    """One job; what goes wrong in it is told in words."""
    from .refusal import refusal

    try:
        with confined(job["roots"]):
            doing(job, errand)
    except Cancelled:
        pass
    except Exception as error:  # whatever it is, it is told, and the process lives on
        with suppress(Cancelled, OSError):  # the latter: the line is closed
            errand.tell("refused", **refusal(error, job.get("text", "")))
