"""Cases by name, and the run over them in a process that is ended when a case is late."""

from __future__ import annotations

import json
import multiprocessing
import time
import zlib
from collections.abc import Callable, Iterable, Iterator
from multiprocessing.connection import Connection

import numpy as np

from .case import Case, anywhere
from .exact_families import EXACT
from .extremes import EXTREMES
from .random_families import RANDOM
from .trial import Trial, tried

FAMILIES: dict[str, Callable[[np.random.Generator], Case]] = {**EXACT, **RANDOM}
#: Wall-clock seconds a case may take, all solves it is held against included.
LATE = 120.0


def names(seeds: Iterable[int], extremes: bool = True) -> list[str]:
    """Names of cases: of each family one a seed, then the extremes."""
    drawn = [f"{family}: {seed}" for seed in seeds for family in FAMILIES]
    return drawn + (list(EXTREMES) if extremes else [])


def case_of(name: str) -> Case:
    """The case of a name; the same name gives the same case everywhere."""
    if name in EXTREMES:
        return EXTREMES[name]()
    family, seed = name.rsplit(": ", 1)
    rng = np.random.default_rng([zlib.crc32(family.encode()), int(seed)])
    case = FAMILIES[family](rng)
    return case.placed(anywhere(rng, case.section))


def kind_of(name: str) -> str:
    """The family of a name."""
    return "extreme" if name in EXTREMES else name.rsplit(": ", 1)[0]


def run(name: str) -> Trial:
    """One case in this process."""
    return tried(name, case_of(name))


def guarded(
    todo: Iterable[str], late: float = LATE, work: Callable[[str], Trial] = run
) -> Iterator[Trial]:
    """Cases in a process of their own, which is ended and made anew when one takes too long.

    `work` is a function of a module that tries the case of a name.
    """
    worker: tuple[multiprocessing.Process, Connection] | None = None
    try:
        for name in todo:
            worker = worker or _started(work)
            process, pipe = worker
            begin = time.monotonic()
            pipe.send(name)
            if pipe.poll(late):
                try:
                    yield Trial(**pipe.recv())
                    continue
                except EOFError:
                    process.join()
                    said = [f"the process died with code {process.exitcode}"]
                    yield Trial(name, "crashed", time.monotonic() - begin, troubles=said)
            else:
                process.kill()
                process.join()
                yield Trial(name, "late", late, troubles=[f"not done after {late:g} s"])
            worker = None
    finally:
        if worker is not None:
            worker[1].send("")
            worker[0].join()


def _started(work: Callable[[str], Trial]) -> tuple[multiprocessing.Process, Connection]:
    ours, theirs = multiprocessing.Pipe()
    context = multiprocessing.get_context("spawn")
    process = context.Process(target=_work, args=(theirs, work), daemon=True)
    process.start()
    theirs.close()
    return process, ours  # type: ignore[return-value]


def _work(pipe: Connection, work: Callable[[str], Trial]) -> None:
    while name := pipe.recv():
        pipe.send(work(name).record())


def line(trial: Trial) -> str:
    """One line of JSON."""
    return json.dumps(trial.record())
