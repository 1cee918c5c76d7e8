"""A Dask cluster as an executor, and how many jobs it takes while workers come and go."""

from __future__ import annotations

import asyncio
import logging
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import CancelledError, Executor, Future
from contextlib import contextmanager
from typing import Any, cast

from ....geometry.errors import InputError

#: Seconds to wait for a cluster's first worker; threads counted on at least, since workers may
#: still be joining and a few jobs too many in their queues cost nothing.
_PATIENCE, _FEW = 15, 4
#: Seconds between two looks at how many workers there are.
_EVERY = 5.0


@contextmanager
def cluster(address: str) -> Iterator[tuple[Executor, Callable[[], int]]]:
    """The executor of a Dask cluster by its scheduler's address, and its number of threads, asked
    anew as a study goes on.

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
    _hush()
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
        yield ClusterExecutor(client), ClusterSize(client.nthreads, address)


class ClusterExecutor(Executor):
    """A Dask client as an executor, of which every job ends: where the worker that holds a result
    dies before it is fetched, and the job kills those that try it again, the executor that Dask
    itself makes of a client (2026.8) leaves its future open for ever.

    Parameters
    ----------
    client : distributed.Client
    """

    def __init__(self, client: Any) -> None:
        self._client = client

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Hand a job to the cluster."""
        own: Future[Any] = Future()
        theirs = self._client.submit(fn, *args, pure=False, **kwargs)

        def fetched(done: Any) -> None:
            if not own.set_running_or_notify_cancel():
                return
            try:
                own.set_result(done.result())
            except asyncio.CancelledError:  # no Exception, as Python has it
                own.set_exception(CancelledError())
            except Exception as error:
                own.set_exception(error)

        theirs.add_done_callback(fetched)
        own.add_done_callback(lambda done: theirs.cancel() if done.cancelled() else None)
        return own


class ClusterSize:
    """How many threads a cluster has, by a look every few seconds.

    Says it on standard error when the last worker has gone, and when one has come again: jobs wait
    for it at the scheduler, for ever if need be.

    Parameters
    ----------
    threads : function
        Threads by worker, as `distributed.Client.nthreads` tells them.
    address : str
        Of the scheduler.
    """

    def __init__(self, threads: Callable[[], dict[str, int]], address: str) -> None:
        self._threads, self._address = threads, address
        self._count, self._looked, self._alone = 0, float("-inf"), False

    def __call__(self) -> int:
        """Threads that jobs may be handed out for."""
        if time.monotonic() - self._looked >= _EVERY:
            self._look()
            self._looked = time.monotonic()
        return max(self._count, _FEW)

    def _look(self) -> None:
        try:
            self._count = sum(self._threads().values())
        except (OSError, TimeoutError, ValueError):
            return  # a scheduler that is lost is told of by the jobs it had
        if self._alone == (self._count == 0):
            return
        self._alone = self._count == 0
        _tell(
            f"the cluster at {self._address} has no worker left; waiting for one (dask worker "
            f"{self._address} --nthreads 1), or stop: finished rows are safe"
            if self._alone
            else f"the cluster at {self._address} has a worker again"
        )


def _hush() -> None:
    """Dask's own warnings are pages of traceback; what matters of them is said in one line here."""
    for name in list(logging.root.manager.loggerDict):  # its configuration gives some a level
        if name.partition(".")[0] == "distributed":
            logging.getLogger(name).setLevel(logging.CRITICAL)


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


def _tell(text: str) -> None:
    print(f"soapfilm: {text}", file=sys.stderr, flush=True)
