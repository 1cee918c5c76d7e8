"""What a study costs beside solving, by its number of rows: solving is left out, everything else is
the real thing.

``python -m benchmarks.large_study`` writes down a plan, keeps rows, is stopped half-way, goes on,
exports and draws, each step in a process of its own, at 1e3 to 1e6 rows (four minutes); figures go
to large_study.json and to a block of README.md. Times are of the processor, since other processes
may share the machine. `cluster_study` sends such rows through a local Dask cluster.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from concurrent.futures import Executor, Future
from pathlib import Path
from typing import Any

from .marked import rewrite
from .speed import occasion

RAW = Path(__file__).with_name("large_study.json")
FOLDER = Path(__file__).parent.parent / "out" / "large_study"
#: A bar that is solved in 2 ms, so that many rows take minutes.
BAR = """
unit = "mm"
[[shape]]
name = "s"
profile = "Rectangle"
XDim = 200
YDim = 100
"""
STUDY = """
section = "bar.toml"
accuracy = 1e-4
[[parameter]]
name = "across"
sets = "s.XDim"
from = 120
to = 320
steps = {first}
[[parameter]]
name = "up"
sets = "s.YDim"
from = 80
to = 110
steps = {second}
"""


class Stub(Executor):
    """Gives every row the numbers of one solved section, a little changed, at once."""

    def __init__(self) -> None:
        from soapfilm.solver.study.file.section_base import SectionBase

        self.record = SectionBase(BAR, "bar").solved({}, 1e-4, None)

    def submit(self, fn: Callable[..., Any], /, *args: Any, **_: Any) -> Future[Any]:
        future: Future[Any] = Future()
        future.set_result(stubbed(args[0], self.record))
        return future


def stubbed(jobs: Any, record: dict[str, Any]) -> Any:
    """Outcomes of a batch without solving it."""
    from soapfilm.solver.study.run.work import Outcome

    out = []
    for job in jobs:
        shift = 1 + 1e-3 * sum(job.assignments.values())  # smooth, for the sake of contours
        out.append(
            Outcome(
                job.key,
                {k: v * shift if isinstance(v, float) else v for k, v in record.items()},
                "",
                0.005,
            )
        )
    return tuple(out)


def study_of(rows: int, folder: Path) -> Any:
    """A study of so many rows, or nearly."""
    from soapfilm.solver.study.file.study_file import load_study

    first = round(rows**0.5)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "bar.toml").write_text(BAR)
    (folder / "study.toml").write_text(STUDY.format(first=first, second=rows // first))
    return load_study(folder / "study.toml")


class Enough(Exception):
    """Stops a run where it is."""


def step(name: str, rows: int, folder: Path) -> dict[str, Any]:
    """Do one step and tell what it took."""
    study = study_of(rows, folder)
    path = folder / "study.sqlite"
    stub = Stub() if name in ("half", "rest", "again") else None
    begin, wall = time.process_time(), time.perf_counter()
    if name == "plan":
        study.open_store(str(path)).close()
    elif stub is not None:
        _run(study, path, stub, rows // 2 if name == "half" else 0)
    else:
        _read(name, study, path, folder)
    return {
        "seconds": time.process_time() - begin,
        "clock": time.perf_counter() - wall,
        "peak": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
        "store": sum(p.stat().st_size for p in folder.glob("study.sqlite*")) / 2**20,
    }


def _run(study: Any, path: Path, executor: Executor, most: int) -> None:
    from soapfilm.solver.study.run.sweep import run_study

    def told(state: Any) -> None:
        if most and state.solved >= most:
            raise Enough

    try:
        with study.open_store(str(path)) as store:
            run_study(study, store, executor, workers=2, progress=told)
    except Enough:
        pass


def _read(name: str, study: Any, path: Path, folder: Path) -> None:
    from soapfilm.report.section.figure import save
    from soapfilm.report.study.columns import study_table
    from soapfilm.report.study.export import write_study_csv, write_study_parquet
    from soapfilm.report.study.figure import plot_study
    from soapfilm.report.study.summary import study_summary
    from soapfilm.solver.study.run.sweep import Progress

    with study.open_store(str(path)) as store:
        if name == "summary":
            study_summary(study, store, Progress(*store.counts()[:2], 0, 0))
        elif name == "csv":
            write_study_csv(store, folder / "study.csv")
        elif name == "parquet":
            write_study_parquet(store, folder / "study.parquet")
        elif name == "table":
            study_table(study, store)
        else:
            kind, _, ending = name.partition(".")
            against = study.plan.names[:1] if kind == "points" else ()
            save(plot_study(study, store, study.base.main, against, kind), folder / f"a.{ending}")


#: Steps in order, and what each is in words.
STEPS = {
    "plan": "the plan is written down",
    "half": "half of the rows are kept",
    "rest": "stopped there, it finds and keeps the rest",
    "again": "nothing left to do",
    "summary": "summary",
    "csv": "CSV",
    "parquet": "Parquet",
    "table": "table in Python (`sweep`)",
    "contour.png": "contours, PNG",
    "contour.svg": "contours, SVG",
    "points.png": "points, PNG",
    "points.svg": "points, SVG",
}
#: Numbers of rows.
SIZES = (1_000, 10_000, 100_000, 1_000_000)


def measured(rows: int, names: Sequence[str]) -> dict[str, Any]:
    """What each step took, from a new file on where the plan is among them."""
    folder = FOLDER / str(rows)
    if "plan" in names:
        for old in folder.glob("study.sqlite*"):
            old.unlink()
    found = {}
    for name in names:
        command = [sys.executable, "-m", "benchmarks.large_study", "--rows", str(rows)]
        done = subprocess.run(
            [*command, "--one", name], capture_output=True, text=True, check=False
        )
        if done.returncode:
            raise SystemExit(f"benchmarks: {rows} rows, {name}: {done.stderr[-600:]}")
        found[name] = json.loads(done.stdout)
        print(rows, name, found[name], flush=True)
    return found


def table(data: dict[str, Any]) -> str:
    """The block of README.md: seconds of the processor and highest memory, by number of rows."""
    sizes = [n for n in map(str, SIZES) if n in data["after"]]
    shown = [pair for n in sizes for pair in (("before", n), ("after", n)) if n in data[pair[0]]]
    heads = [f"{int(n):,} rows{', before' if when == 'before' else ''}" for when, n in shown]
    lines = [f"| step | {' | '.join(heads)} |", "| --- |" + " ---: |" * len(heads)]
    for name, words in STEPS.items():
        cells = []
        for when, n in shown:
            found = data[when][n].get(name)
            cells.append(
                "" if found is None else f"{found['seconds']:.2f} s, {found['peak']:.0f} MB"
            )
        lines.append(f"| {words} | {' | '.join(cells)} |")
    stores = [
        f"{data[when][n]['rest']['store']:.1f} MB" if "rest" in data[when][n] else ""
        for when, n in shown
    ]
    lines.append(f"| file of rows | {' | '.join(stores)} |")
    return "\n".join([*lines, "", data["on"]])


def main() -> None:
    """Measure, store, rewrite the block."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--rows", type=int, nargs="+", default=list(SIZES))
    parser.add_argument("--steps", nargs="+", default=list(STEPS), choices=STEPS)
    parser.add_argument("--one", help=argparse.SUPPRESS)
    parser.add_argument("--dry-run", action="store_true", help="print, write nothing")
    options = parser.parse_args()
    if options.one:
        print(json.dumps(step(options.one, options.rows[0], FOLDER / str(options.rows[0]))))
        return
    data = json.loads(RAW.read_text())
    when = occasion()
    for rows in options.rows:
        data["after"].setdefault(str(rows), {}).update(measured(rows, options.steps))
    data["on"] = f"Processor time; measured on {when}. Before: as of 28 November."
    print(table(data))
    if not options.dry_run:
        RAW.write_text(json.dumps(data, indent=1) + "\n")
        rewrite("large study", table(data))


if __name__ == "__main__":
    main()
