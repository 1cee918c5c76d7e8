"""A real Dask scheduler and two workers on the loopback interface solve a study."""

from __future__ import annotations

import asyncio
import json
import os
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import CancelledError
from contextlib import ExitStack
from pathlib import Path

import pytest
from soapfilm.solver.study.run.dask_cluster import ClusterExecutor
from soapfilm.solver.study.run.workforce import LOST

from .files import GRID

pytest.importorskip("distributed")

#: Nothing may leave the machine, and nothing is served on it.
_LOCAL = ["--host", "127.0.0.1", "--no-dashboard"]


@pytest.fixture
def scheduler(tmp_path: Path, own_cache: Path) -> Iterator[tuple[str, Callable[..., None]]]:
    """A scheduler: its address, and what starts a one-threaded worker."""
    note = tmp_path / "scheduler.json"
    environment = os.environ | {"OPENBLAS_NUM_THREADS": "1", "SOAPFILM_CACHE": str(own_cache)}
    log = (tmp_path / "cluster.log").open("w")

    def dask(*words: str) -> subprocess.Popen[bytes]:
        command = [sys.executable, "-m", "dask", *words, *_LOCAL]
        return subprocess.Popen(
            [*command, "--scheduler-file", str(note)],
            cwd=tmp_path,
            env=environment,
            stdout=log,
            stderr=log,
        )

    with ExitStack() as stack:
        stack.callback(log.close)
        started = [dask("scheduler", "--port", "0")]
        stack.callback(_stop, started)
        _wait(note.exists)
        yield (
            json.loads(note.read_text())["address"],
            lambda *words: started.append(dask("worker", "--nthreads", "1", *words)),
        )


def test_a_study_on_a_cluster(
    tube: Path, tmp_path: Path, scheduler: tuple[str, Callable[..., None]]
) -> None:
    address, worker = scheduler
    worker("--no-nanny")
    worker("--no-nanny")
    assert address.startswith("tcp://127.0.0.1:")
    (tmp_path / "walls.toml").write_text(GRID)
    for name, options in (("far", ["--cluster", address]), ("near", ["--workers", "1"])):
        done = _swept(tmp_path, "--output", f"{name}.sqlite", *options)
        assert done.returncode == 0, done.stderr
        assert "6 rows solved, 2 with an error" in done.stdout
    rows = []
    for name in ("far", "near"):
        base = sqlite3.connect(tmp_path / f"{name}.sqlite")
        rows.append(base.execute("SELECT number, t, torsion_constant, error FROM study").fetchall())
        base.close()
    assert len(rows[0]) == 6
    assert rows[0] == rows[1]


def _swept(folder: Path, *options: str) -> subprocess.CompletedProcess[str]:
    """The study of the walls, run as a command."""
    command = [sys.executable, "-m", "soapfilm.cli", "sweep", "walls.toml", "--no-cache"]
    return subprocess.run(
        [*command, *options], cwd=folder, capture_output=True, text=True, timeout=240, check=False
    )


#: Loaded by a worker: a wall of 7 ends its process, as memory that runs out does.
DEADLY = """
import os, signal
from soapfilm.solver.study.file.section_base import SectionBase
if SectionBase.solved.__name__ == "solved":
    own = SectionBase.solved
    def deadly(self, assignments, *others):
        if 7 in assignments.values():
            os.kill(os.getpid(), signal.SIGKILL)
        return own(self, assignments, *others)
    SectionBase.solved = deadly
"""


def test_a_row_that_kills_workers_is_named_and_the_others_go_on(
    tube: Path, tmp_path: Path, scheduler: tuple[str, Callable[..., None]]
) -> None:
    address, worker = scheduler
    (tmp_path / "deadly.py").write_text(DEADLY)
    worker("--preload", "deadly.py")
    (tmp_path / "walls.toml").write_text(GRID.replace("values = [", "values = [7, ", 1))
    done = _swept(tmp_path, "--cluster", address)
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    assert LOST in done.stdout


class _Theirs:
    """A job of a client that is done; to fetch what became of it is another matter."""

    def __init__(self, result: Callable[[], int]) -> None:
        self.result = result

    def add_done_callback(self, fn: Callable[[_Theirs], None]) -> None:
        fn(self)


def test_a_result_that_cannot_be_fetched_ends_its_job() -> None:
    def lost() -> int:
        raise KeyError("the worker that held it died")

    def cancelled() -> int:
        raise asyncio.CancelledError

    class Client:
        def submit(self, fn: Callable[[], int], *, pure: bool) -> _Theirs:
            assert not pure
            return _Theirs(fn)

    executor = ClusterExecutor(Client())
    assert executor.submit(lambda: 3).result(0) == 3
    with pytest.raises(KeyError):
        executor.submit(lost).result(0)
    with pytest.raises(CancelledError):
        executor.submit(cancelled).result(0)


def _wait(ready: object, seconds: float = 60.0) -> None:
    assert callable(ready)
    end = time.monotonic() + seconds
    while not ready():
        assert time.monotonic() < end, "the cluster did not start"
        time.sleep(0.05)


def _stop(processes: list[subprocess.Popen[bytes]]) -> None:
    for process in reversed(processes):
        process.terminate()
    for process in processes:
        try:
            process.wait(15)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
