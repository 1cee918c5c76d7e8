"""A study of ten thousand rows by the real command: rate, failures, memory from start to end, size
of the store; then the same command once more, which must find nothing left to do.

Run by ``python -m benchmarks.studies --long``. Linux only: memory is read from /proc.
"""

from __future__ import annotations

import os
import sqlite3
import subprocess
import time
from pathlib import Path

from .command_cost import command

HERE = Path(__file__).parent
FOLDER = HERE.parent / "out" / "long_study"
#: A rounded hollow rectangle; the study varies side and wall, every row another section.
TUBE = """
unit = "mm"
[[shape]]
name = "s"
profile = "RectangleHollow"
XDim = 200
YDim = 100
WallThickness = 8
OuterFilletRadius = 12
InnerFilletRadius = 4
"""
STUDY = """
section = "tube.toml"
accuracy = 1e-4
[[parameter]]
name = "side"
sets = "s.XDim"
from = 120
to = 320
steps = {side}
[[parameter]]
name = "wall"
sets = "s.WallThickness"
from = 8
to = 12
steps = {side}
"""
WORKERS = 2


def long_study(side: int = 100, folder: Path = FOLDER) -> dict:
    """Solve side^2 rows anew; what they took, told also as they come."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "tube.toml").write_text(TUBE)
    (folder / "study.toml").write_text(STUDY.format(side=side))
    store = folder / "study.sqlite"
    for old in folder.glob("study.sqlite*"):
        old.unlink()
    run = [*command(), "sweep", str(folder / "study.toml"), "--no-cache"]
    run += ["--workers", str(WORKERS), "--output", str(store)]
    begin = time.perf_counter()
    child = subprocess.Popen(run, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    samples: list[dict] = []
    step = side**2 // 10
    while child.poll() is None:
        time.sleep(0.2)
        rows = _rows(store)
        if rows >= (len(samples) * step or 20):  # after the imports of the first rows
            samples.append({"rows": rows, "seconds": time.perf_counter() - begin, **_memory(child)})
            print(samples[-1], flush=True)
    seconds = time.perf_counter() - begin
    if child.returncode:
        raise SystemExit(f"benchmarks: the sweep left with {child.returncode}")
    before = _total(store)
    begin = time.perf_counter()
    again = subprocess.run(run, capture_output=True, text=True, check=True)
    return {
        "rows": before[0],
        "failed": before[1],
        "workers": WORKERS,
        "seconds": seconds,
        "worker_seconds": before[2],
        "samples": samples,
        "store_bytes": store.stat().st_size,
        "again_seconds": time.perf_counter() - begin,
        "again_solved_none": _total(store) == before,
        "again_said": again.stdout.strip().splitlines()[0],
    }


def _rows(store: Path) -> int:
    """Rows finished so far."""
    if not store.exists():
        return 0
    with sqlite3.connect(f"file:{store}?mode=ro", uri=True, timeout=30) as base:
        try:
            return int(base.execute("SELECT COUNT(*) FROM result").fetchone()[0])
        except sqlite3.OperationalError:  # the tables are being made
            return 0


def _total(store: Path) -> tuple[int, int, float]:
    """Rows, those with an error, and the seconds that workers spent on them all."""
    with sqlite3.connect(f"file:{store}?mode=ro", uri=True) as base:
        query = "SELECT COUNT(*), TOTAL(error <> ''), TOTAL(seconds) FROM result"
        rows, failed, seconds = base.execute(query).fetchone()
    return int(rows), int(failed), float(seconds)


def _memory(child: subprocess.Popen) -> dict:
    """Resident memory (MB) of the command and of its workers."""
    children = Path(f"/proc/{child.pid}/task/{child.pid}/children").read_text().split()
    workers = [p for p in children if b"spawn_main" in Path(f"/proc/{p}/cmdline").read_bytes()]
    return {"parent": _resident(str(child.pid)), "workers": [_resident(p) for p in workers]}


def _resident(pid: str) -> float:
    pages = int(Path(f"/proc/{pid}/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20
