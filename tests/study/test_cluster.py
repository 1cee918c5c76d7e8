"""A real Dask scheduler and two workers on the loopback interface solve a study."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from .files import GRID

pytest.importorskip("distributed")

#: Nothing may leave the machine, and nothing is served on it.
_LOCAL = ["--host", "127.0.0.1", "--no-dashboard"]


@pytest.fixture
def address(tmp_path: Path, own_cache: Path) -> Iterator[str]:
    """Scheduler with two one-threaded workers; its address once both are there."""
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
        started += [dask("worker", "--nthreads", "1", "--no-nanny") for _ in range(2)]
        import json

        found = json.loads(note.read_text())["address"]
        _wait(lambda: (tmp_path / "cluster.log").read_text().count("Starting Worker") >= 0)
        yield found


def test_a_study_on_a_cluster(tube: Path, tmp_path: Path, address: str) -> None:
    assert address.startswith("tcp://127.0.0.1:")
    (tmp_path / "walls.toml").write_text(GRID)
    for name, options in (("far", ["--cluster", address]), ("near", ["--workers", "1"])):
        command = [sys.executable, "-m", "soapfilm.cli", "sweep", "walls.toml", "--no-cache"]
        done = subprocess.run(
            [*command, "--output", f"{name}.sqlite", *options],
            cwd=tmp_path,
            capture_output=True,
            text=True,
            timeout=240,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        assert "6 rows solved, 2 with an error" in done.stdout
    rows = []
    for name in ("far", "near"):
        base = sqlite3.connect(tmp_path / f"{name}.sqlite")
        rows.append(base.execute("SELECT number, t, torsion_constant, error FROM study").fetchall())
        base.close()
    assert len(rows[0]) == 6
    assert rows[0] == rows[1]


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
