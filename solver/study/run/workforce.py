"""Who works: a pool of processes, or any executor of `concurrent.futures`; and the jobs that keep
it busy.

`outcomes` feeds an executor with no more jobs than keep it busy, so ten thousand or ten million
rows take the same memory.
"""

from __future__ import annotations

import itertools
import os
import sys
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import (
    BrokenExecutor,
    CancelledError,
    Executor,
    Future,
    ProcessPoolExecutor,
)
from contextlib import contextmanager
from queue import Empty, SimpleQueue
from typing import Any

from ....geometry.errors import SolveError
from .work import Batch, Outcome, settle, work

#: Jobs handed out for each worker: one in work and one waiting, so that none is idle.
_AHEAD = 2
#: Seconds without an outcome after which the number of workers is asked again.
_LOOK = 10.0
#: And after which it is told what is in work: a row may never end.
_SILENCE = 600.0
#: So many losses on end, with nothing solved between them, are no fault of the rows.
_MOST_LOSSES = 5
LOST = "the process that solved it was lost (killed, or out of memory)"


def process_pool(workers: int) -> ProcessPoolExecutor:
    """A pool of processes started anew, not forked: safe beside threads and gmsh.

    Parameters
    ----------
    workers : int
    """
    import multiprocessing

    return ProcessPoolExecutor(
        workers, mp_context=multiprocessing.get_context("spawn"), initializer=settle
    )


class InlineExecutor(Executor):
    """Does every job at once, in this process: for few rows, and where a pool cannot start.

    Examples
    --------
    >>> with InlineExecutor() as executor:
    ...     executor.submit(max, 2, 3).result()
    3
    """

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """The result of the call, there already."""
        future: Future[Any] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except Exception as error:
            future.set_exception(error)
        return future


@contextmanager
def ending_pool(workers: int) -> Iterator[ProcessPoolExecutor]:
    """A pool that ends with the block; at once where the block ends with an error or Ctrl-C: rows
    in work are solved again next time, and a second Ctrl-C changes nothing."""
    executor = process_pool(workers)
    try:
        yield executor
    except BaseException:
        with _undisturbed():
            for process in list((getattr(executor, "_processes", None) or {}).values()):
                process.terminate()
            executor.shutdown(wait=True, cancel_futures=True)
        raise
    executor.shutdown()


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Ctrl-C does nothing in the block (in the main thread, the only one that it reaches)."""
    import signal

    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def core_count() -> int:
    """Cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def outcomes(
    executor: Executor,
    batches: Iterator[Batch],
    workers: int | Callable[[], int],
    renew: Callable[[], Executor] | None = None,
) -> Iterator[tuple[Outcome, ...]]:
    """Outcomes as they come, batch by batch, while no more are out than keep the workers busy;
    `workers` says how many that are, a function where they come and go.

    When a process is lost with its pool, `renew` makes another. The rows that were out are then
    tried one at a time: the one that costs its process again gets that as its error, all others
    their outcome.

    Raises
    ------
    SolveError
        If the executor broke down and there is no `renew`, or nothing but losses come of it.
    """
    losses, silent = 0, 0.0
    out: dict[Future[tuple[Outcome, ...]], Batch] = {}
    suspects: list[Batch] = []
    alone: set[str] = set()  # rows that a cluster gave up among others, to be tried by themselves
    current = executor
    # Each future announces itself: to wait for the first of thousands looks at all of them.
    ready: SimpleQueue[Future[tuple[Outcome, ...]]] = SimpleQueue()
    try:
        while True:
            try:
                most = _AHEAD * (workers if isinstance(workers, int) else workers())
                _hand_out(current, batches, out, ready, suspects, most)
                if not out:
                    return
                future = _first(ready)
                if future is None:
                    silent += _LOOK
                    if silent == _SILENCE:
                        _tell_what_lasts(out)
                    continue
                if future not in out:
                    continue
                silent = 0.0
                found = _outcome(future)
                batch = out.pop(future)
                losses = 0
                if found is None and batch[0].key in alone:
                    yield (Outcome(batch[0].key, {}, LOST),)
                elif found is None:
                    suspects += [(job,) for job in batch]
                    alone.update(job.key for job in batch)
                else:
                    yield found
            except BrokenExecutor as error:
                if renew is None:
                    raise SolveError(
                        "the workers broke down; run the same command again to go on"
                    ) from error
                losses += 1
                if losses > _MOST_LOSSES:
                    raise SolveError(
                        "the workers die as soon as they start; solve one section by itself to "
                        "see why (a script that starts them must do so under "
                        'if __name__ == "__main__")'
                    ) from error
                yield from _survivors(out)
                lost = [job for batch in out.values() for job in batch]
                out.clear()
                if len(lost) == 1:  # alone at work, so it was this one
                    yield (Outcome(lost[0].key, {}, LOST),)
                else:
                    suspects += [(job,) for job in lost]
                current = renew()
    finally:
        for future in out:
            future.cancel()


def _hand_out(
    executor: Executor,
    batches: Iterator[Batch],
    out: dict[Future[tuple[Outcome, ...]], Batch],
    ready: SimpleQueue[Future[tuple[Outcome, ...]]],
    suspects: list[Batch],
    most: int,
) -> None:
    """Submit what there is room for; suspects alone, one at a time."""

    def submit(batch: Batch) -> None:
        future = executor.submit(work, batch)
        out[future] = batch
        future.add_done_callback(ready.put)

    if suspects:
        if not out:
            submit(suspects[-1])
            suspects.pop()
        return
    while len(out) < most:
        more = next(batches, None)
        if more is None:
            return
        try:
            submit(more)
        except BrokenExecutor:
            suspects += [(job,) for job in more]
            raise


def _tell_what_lasts(out: dict[Future[tuple[Outcome, ...]], Batch]) -> None:
    """Say on standard error which rows are in work, the longest at first."""
    some = "; ".join(
        ", ".join(f"{address} = {value}" for address, value in batch[0].assignments.items())
        for batch in itertools.islice(out.values(), _AHEAD)
    )
    print(
        f"soapfilm: nothing was finished for {_SILENCE / 60:.0f} minutes; in work are {len(out)} "
        f"tasks, the first at {some}; finished rows are safe",
        file=sys.stderr,
        flush=True,
    )


def _first(
    ready: SimpleQueue[Future[tuple[Outcome, ...]]],
) -> Future[tuple[Outcome, ...]] | None:
    """The future that was done first; None where none is after a while."""
    try:
        return ready.get(timeout=_LOOK)
    except Empty:
        return None


def _outcome(future: Future[tuple[Outcome, ...]]) -> tuple[Outcome, ...] | None:
    """What a batch became; None where a cluster gave it up."""
    try:
        return future.result()
    except ImportError as error:
        raise SolveError(
            f"a worker cannot load soapfilm ({error}); install the same version there"
        ) from error
    except Exception as error:
        # Dask's verdict on a job whose workers died again and again, though it may only have waited
        # there; its class is not at hand here.
        if type(error).__name__ == "KilledWorker":
            return None
        if (
            isinstance(error, (OSError, TimeoutError, CancelledError))
            or "Cancelled" in type(error).__name__
        ):
            raise SolveError(
                "the cluster's scheduler does not answer any more; finished rows are safe: start "
                "it and run the same command again"
            ) from error
        raise


def _survivors(
    out: dict[Future[tuple[Outcome, ...]], Batch],
) -> Iterator[tuple[Outcome, ...]]:
    """Outcomes that had come before the breakdown."""
    for future in list(out):
        if future.done() and not future.cancelled() and future.exception() is None:
            del out[future]
            yield future.result()
