"""Who works: a pool of processes, a cluster, any executor of `concurrent.futures`; and the jobs
that keep it busy.

`outcomes` feeds an executor with no more jobs than keep it busy, so ten thousand or ten million
rows take the same memory.
"""

from __future__ import annotations

import logging
import os
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import (
    FIRST_COMPLETED,
    BrokenExecutor,
    CancelledError,
    Executor,
    Future,
    ProcessPoolExecutor,
    wait,
)
from contextlib import contextmanager
from typing import Any, cast

from ....geometry.errors import InputError, SolveError
from .work import Batch, Outcome, settle, work

#: Jobs handed out for each worker: one in work and one waiting, so that none is idle.
_AHEAD = 2
#: Seconds to wait for a cluster's first worker; threads counted on at least.
_PATIENCE, _FEW = 15, 4
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


@contextmanager
def cluster(address: str) -> Iterator[tuple[Executor, int]]:
    """The executor of a Dask cluster by its scheduler's address, and its number of threads.

    Raises
    ------
    InputError
        If Dask distributed is not installed, or nothing answers at the address.
    """
    try:
        from distributed import Client
    except ImportError as error:
        raise InputError(
            "a cluster needs Dask distributed; install it with: pip install 'soapfilm[cluster]'"
        ) from error
    # Its own warnings are pages of traceback; what matters of them is said in one line here.
    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    try:
        client: Any = cast(Any, Client)(address, timeout="10s", set_as_default=False)
    except (OSError, TimeoutError, ValueError, ImportError) as error:
        raise InputError(
            f"no scheduler answers at {address!r}; start one with: dask scheduler"
        ) from error
    with client:
        try:
            client.wait_for_workers(1, timeout=_PATIENCE)
        except TimeoutError as error:
            raise InputError(
                f"the scheduler at {address} has no workers; start one with: "
                f"dask worker {address} --nthreads 1"
            ) from error
        _see_that_workers_load_it(client)
        # Workers may still be joining; a few jobs too many in their queues cost nothing.
        yield client.get_executor(pure=False), max(sum(client.nthreads().values()), _FEW)


def _see_that_workers_load_it(client: Any) -> None:
    """Dask itself would send jobs round and round among workers that cannot read them.

    Raises
    ------
    InputError
        With the address of a worker that has no soapfilm.
    """
    # A builtin, since a function of this package could not be read there.
    seen = client.run(eval, "__import__('importlib').util.find_spec('soapfilm') is not None")
    without = [worker for worker, there in seen.items() if not there]
    if without:
        raise InputError(
            f"the worker at {without[0]} cannot import soapfilm; install the same version there "
            "and run the same command again"
        )


def outcomes(
    executor: Executor,
    batches: Iterator[Batch],
    workers: int,
    renew: Callable[[], Executor] | None = None,
) -> Iterator[tuple[Outcome, ...]]:
    """Outcomes as they come, batch by batch, while no more are out than keep the workers busy.

    When a process is lost with its pool, `renew` makes another. The rows that were out are then
    tried one at a time: the one that costs its process again gets that as its error, all others
    their outcome.

    Raises
    ------
    SolveError
        If the executor broke down and there is no `renew`, or nothing but losses come of it.
    """
    losses = 0
    out: dict[Future[tuple[Outcome, ...]], Batch] = {}
    suspects: list[Batch] = []
    current = executor
    try:
        while True:
            try:
                _hand_out(current, batches, out, suspects, _AHEAD * workers)
                if not out:
                    return
                for future in wait(out, return_when=FIRST_COMPLETED).done:
                    found = _outcome(future, out[future])
                    if found is None:
                        suspects += [(job,) for job in out[future]]
                    del out[future]
                    losses = 0
                    if found is not None:
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
    suspects: list[Batch],
    most: int,
) -> None:
    """Submit what there is room for; suspects alone, one at a time."""
    if suspects:
        if not out:
            batch = suspects[-1]
            out[executor.submit(work, batch)] = batch
            suspects.pop()
        return
    while len(out) < most:
        more = next(batches, None)
        if more is None:
            return
        try:
            out[executor.submit(work, more)] = more
        except BrokenExecutor:
            suspects += [(job,) for job in more]
            raise


def _outcome(future: Future[tuple[Outcome, ...]], batch: Batch) -> tuple[Outcome, ...] | None:
    """What a batch became, also where a cluster gave it up; None if it must be tried row by row."""
    try:
        return future.result()
    except ImportError as error:
        raise SolveError(
            f"a worker cannot load soapfilm ({error}); install the same version there"
        ) from error
    except Exception as error:
        # Dask's verdict on a job whose workers died again and again; its class is not at hand here.
        if type(error).__name__ == "KilledWorker":
            return (Outcome(batch[0].key, {}, LOST),) if len(batch) == 1 else None
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
