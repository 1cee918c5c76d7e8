"""The default executor: a pool of fresh processes, each with one thread of numerics.

This module loads no numerics itself: a worker imports it first, and settles its threads before
numpy is there.
"""

from __future__ import annotations

import os
import threading
from concurrent.futures import ProcessPoolExecutor

from ...threads import use_one_thread


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


def core_count() -> int:
    """Cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


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
