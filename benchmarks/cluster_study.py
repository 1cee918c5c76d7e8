"""A study on a local Dask cluster of two workers: rate, processor time and memory of each of them.

``python -m benchmarks.cluster_study ROWS`` solves the rows of `large_study`; with ``--stub``
workers answer at once, which shows what command, scheduler and store can take. Linux only.
"""

from __future__ import annotations

import argparse
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Any

from .large_study import FOLDER, Stub, stubbed, study_of

ROOT = Path(__file__).parent.parent
#: Nothing may leave the machine, and nothing is served on it.
_LOCAL = ["--host", "127.0.0.1", "--no-dashboard"]


@contextmanager
def local_cluster(folder: Path) -> Iterator[dict[str, Any]]:
    """A scheduler and two workers, each a process; its address and their processes by name."""
    note = folder / "scheduler.json"
    note.unlink(missing_ok=True)
    environment = os.environ | {
        "OPENBLAS_NUM_THREADS": "1",
        "OMP_NUM_THREADS": "1",
        "SOAPFILM_CACHE": "off",
        "PYTHONPATH": str(ROOT),
    }
    log = (folder / "cluster.log").open("w")

    def dask(*words: str) -> subprocess.Popen[bytes]:
        command = [sys.executable, "-m", "dask", *words, *_LOCAL, "--scheduler-file", str(note)]
        return subprocess.Popen(command, cwd=folder, env=environment, stdout=log, stderr=log)

    processes = {"scheduler": dask("scheduler", "--port", "0")}
    try:
        while not note.exists():
            time.sleep(0.1)
        for k in (1, 2):
            processes[f"worker {k}"] = dask("worker", "--nthreads", "1", "--no-nanny")
        yield {"address": json.loads(note.read_text())["address"], "processes": processes}
    finally:
        for process in reversed(processes.values()):
            process.terminate()
        for process in processes.values():
            try:
                process.wait(15)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()
        log.close()


def used(pid: int) -> dict[str, float]:
    """Processor seconds, resident and peak memory (MB) of a process."""
    stat = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    ticks = os.sysconf("SC_CLK_TCK")
    lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    memory = {line.split(":")[0]: line.split()[1] for line in lines if line.startswith("Vm")}
    return {
        "seconds": (int(stat[11]) + int(stat[12])) / ticks,
        "resident": int(memory["VmRSS"]) / 1024,
        "peak": int(memory["VmHWM"]) / 1024,
    }


class StubCluster(Executor):
    """A Dask client whose workers answer at once."""

    def __init__(self, executor: Executor) -> None:
        self.executor = executor
        self.answer = partial(stubbed, record=Stub().record)

    def submit(self, fn: object, /, *args: Any, **_: Any) -> Future[Any]:  # type: ignore[override]
        return self.executor.submit(self.answer, *args)


def stub_run(address: str, rows: int, folder: Path) -> None:
    """The command's work, with rows that are not solved."""
    from soapfilm.solver.study.run.dask_cluster import cluster
    from soapfilm.solver.study.run.sweep import run_study

    study = study_of(rows, folder)
    with study.open_store(str(folder / "study.sqlite")) as store, cluster(address) as (ex, n):
        run_study(study, store, StubCluster(ex), workers=n)


def trial(rows: int, stub: bool, folder: Path) -> dict[str, Any]:
    """Run the study anew; samples ten times on the way."""
    study_of(rows, folder)
    store = folder / "study.sqlite"
    for old in folder.glob("study.sqlite*"):
        old.unlink()
    with local_cluster(folder) as found:
        command = [sys.executable, "-m", "soapfilm.cli", "sweep", str(folder / "study.toml")]
        command += ["--no-cache", "--output", str(store), "--cluster", found["address"]]
        if stub:
            command = [sys.executable, "-m", "benchmarks.cluster_study", str(rows)]
            command += ["--at", found["address"]]
        begin = time.perf_counter()
        child = subprocess.Popen(
            command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        pids = {"command": child.pid} | {n: p.pid for n, p in found["processes"].items()}
        samples: list[dict[str, Any]] = []
        sample: dict[str, Any] = {}
        while True:
            time.sleep(0.5)
            if child.poll() is not None:
                break
            try:
                now = {name: used(pid) for name, pid in pids.items()}
            except (OSError, KeyError):
                continue  # it ended meanwhile
            sample = {
                "clock": time.perf_counter() - begin,
                "rows": _rows(store),
                "store": _size(store),
                "log": _size(Path(f"{store}-wal")),
            } | now
            if sample["rows"] >= len(samples) * rows // 10:
                samples.append(sample)
                brief = {n: (round(v["seconds"], 1), round(v["resident"])) for n, v in now.items()}
                print(f"{sample['clock']:.0f} s", sample["rows"], sample["log"], brief, flush=True)
        samples.append(sample)
        clock = time.perf_counter() - begin
        if child.returncode:
            raise SystemExit(f"benchmarks: the study left with {child.returncode}")
        return {"clock": clock, "samples": samples}


def _size(path: Path) -> float:
    try:
        return round(path.stat().st_size / 2**20, 1)
    except OSError:
        return 0.0


def _rows(store: Path) -> int:
    """Rows finished so far, cheaply: rows are never taken away."""
    import sqlite3

    if not store.exists():
        return 0
    base = sqlite3.connect(f"file:{store}?mode=ro", uri=True, timeout=30)
    try:
        return int(base.execute("SELECT MAX(rowid) FROM result").fetchone()[0] or 0)
    except sqlite3.OperationalError:
        return 0
    finally:
        base.close()


def main() -> None:
    """Run, print."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("rows", type=int)
    parser.add_argument("--stub", action="store_true")
    parser.add_argument("--at", help=argparse.SUPPRESS)
    options = parser.parse_args()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))
    folder = FOLDER / f"cluster-{options.rows}"
    if options.at:
        stub_run(options.at, options.rows, folder)
        return
    found = trial(options.rows, options.stub, folder)
    print(json.dumps(found["samples"][-1]), f"{found['clock']:.1f}")


if __name__ == "__main__":
    main()
