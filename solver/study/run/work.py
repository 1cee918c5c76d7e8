"""Rows of a study: from a file's text and some values to numbers, or to the reason there are none.

This is what worker processes run, here or on another machine: the job brings everything along. The
module loads no numerics itself: a new process imports it first, and settles its threads before
numpy is there.
"""

from __future__ import annotations

import os
import threading
import time
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from ....geometry.errors import SoapfilmError, SolveError
from ...threads import use_one_thread

if TYPE_CHECKING:
    from ..file.parameter import Value
    from ..file.section_base import Base
    from .cache import RecordCache


@dataclass(frozen=True, slots=True)
class Job:
    """One row to be solved.

    Attributes
    ----------
    key : str
        Under which its outcome is kept.
    base : Base
        The file that is changed.
    assignments : dict of str to Value
        Values by address.
    accuracy : float
        Relative width asked of J's interval.
    cached : bool
        Whether to use the cache of solved sections of the machine that does the work.
    version : str
        `content.code_version` of the process that asks.
    """

    key: str
    base: Base
    assignments: dict[str, Value]
    accuracy: float
    cached: bool
    version: str


#: Rows that one call solves.
Batch = tuple[Job, ...]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a job: numbers by column, or an error; and the seconds it took."""

    key: str
    record: dict[str, Any] = field(default_factory=dict)
    error: str = ""
    seconds: float = 0.0


class OtherVersion(SolveError):
    """A worker has other code than the process that asks it."""


def work(jobs: Batch) -> tuple[Outcome, ...]:
    """Solve rows; what goes wrong with one becomes its error.

    Several rows are of one file and solved together, in less time than one after another: their
    numbers are as true, and agree with those of single rows to the accuracy asked for.

    Raises
    ------
    OtherVersion
        If this process has other code than the asking one: no row of it could be trusted.
    """
    from ..file.section_base import SectionBase
    from .content import code_version

    if any(job.version != code_version() for job in jobs):
        raise OtherVersion(
            "a worker has another version of soapfilm or of its libraries; install the same "
            "everywhere and run the command again"
        )
    base = jobs[0].base
    if len(jobs) > 1 and isinstance(base, SectionBase):
        begin = time.perf_counter()
        try:
            found = base.solved_together([job.assignments for job in jobs], jobs[0].accuracy)
            seconds = (time.perf_counter() - begin) / len(jobs)
            return tuple(
                Outcome(job.key, {}, _line(str(one)), seconds)
                if isinstance(one, SoapfilmError)
                else Outcome(job.key, one, "", seconds)
                for job, one in zip(jobs, found, strict=True)
            )
        except Exception:  # a row that does this does it alone too, and is told then
            pass
    return tuple(_alone(job) for job in jobs)


def _alone(job: Job) -> Outcome:
    begin = time.perf_counter()
    try:
        cache = _cache() if job.cached else None
        record = job.base.solved(job.assignments, job.accuracy, cache)
    except SoapfilmError as error:
        return Outcome(job.key, {}, _line(str(error)), time.perf_counter() - begin)
    except MemoryError:
        return Outcome(job.key, {}, "not enough memory", time.perf_counter() - begin)
    except Exception as error:  # a defect must not end a study of ten thousand rows
        text = f"unexpected {type(error).__name__}: {error}"
        return Outcome(job.key, {}, _line(text), time.perf_counter() - begin)
    return Outcome(job.key, record, "", time.perf_counter() - begin)


def settle() -> None:
    """In a new worker: one thread, no part in Ctrl-C, and no life of its own.

    A pool's workers would wait for ever when their parent is killed, since each of them holds the
    writing end of the pipe it reads jobs from.
    """
    import multiprocessing
    import signal

    use_one_thread()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_follow, args=(parent,), daemon=True).start()


def _follow(parent: object) -> None:
    parent.join()  # type: ignore[attr-defined]
    os._exit(1)


@lru_cache(maxsize=1)
def _cache() -> RecordCache:
    from .cache import RecordCache, default_folder

    return RecordCache(default_folder())


def _line(text: str) -> str:
    """One line of bounded length."""
    text = " ".join(text.split())
    return text if len(text) <= 500 else text[:497] + "..."
