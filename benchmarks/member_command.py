"""What `soapfilm member` costs as a whole process, and where its time goes.

Run: ``python -m benchmarks.member_command``; the table goes to member_command.md.
"""

from __future__ import annotations

import os
import platform
import tempfile
import time
from collections.abc import Callable
from importlib.metadata import version
from pathlib import Path

from soapfilm.report.member.figure import plot_member
from soapfilm.report.member.table import member_table
from soapfilm.report.section.figure import save
from soapfilm.solver.member.file import load_member
from soapfilm.solver.member.review.assessment import assess

from .command_cost import Cost, cost

#: Three curved spans, five load cases, 200 stations with the stress envelope of a deck section.
FILE = Path(__file__).with_name("landing_member.toml")
TABLE = Path(__file__).with_name("member_command.md")
GOAL, GOAL_DRAWN = 2.0, 4.0
ENVIRONMENT = os.environ | {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}


def commands(folder: str) -> list[tuple[str, Cost, float | None]]:
    """Whole processes with their goals."""
    figure = str(Path(folder) / "figure.png")
    return [
        ("table", cost(["member", str(FILE)], ENVIRONMENT, 5), GOAL),
        (
            "table without cures and restraints",
            cost(["member", str(FILE), "--no-cures"], ENVIRONMENT, 5),
            None,
        ),
        ("table and figure", cost(["member", str(FILE), "--figure", figure], ENVIRONMENT, 5),
         GOAL_DRAWN),
    ]  # fmt: skip


def seconds(work: Callable[[], object], repeats: int = 5) -> float:
    """Processor time of the fastest repeat, after one to warm up."""
    work()
    times = []
    for _ in range(repeats):
        begin = time.process_time()
        work()
        times.append(time.process_time() - begin)
    return min(times)


def parts(folder: str) -> list[tuple[str, float]]:
    """Processor seconds of each stage inside one process, imports done."""
    request = load_member(FILE)
    bare = assess(request, cures=False)
    figure = Path(folder) / "parts.png"
    return [
        ("read the file, solve its section", seconds(lambda: load_member(FILE))),
        ("member, critical loads, stress envelope", seconds(lambda: assess(request, cures=False))),
        ("the same with restraints and cures", seconds(lambda: assess(request))),
        ("table", seconds(lambda: member_table(bare))),
        ("figure", seconds(lambda: save(plot_member(bare), figure), 3)),
    ]


def table() -> str:
    """The report."""
    with tempfile.TemporaryDirectory() as folder:
        whole, inside = commands(folder), parts(folder)
    lines = [
        "# The member command",
        "",
        "Three spans curved in plan, five load cases, 200 stations with the stress envelope of the "
        "landing deck; whole processes, warm, best of five, one thread. "
        "`python -m benchmarks.member_command`",
        "",
        "| process | processor time | wall clock | goal | peak memory |",
        "| --- | ---: | ---: | ---: | ---: |",
    ]
    for words, found, goal in whole:
        met = (
            ""
            if goal is None
            else f"{goal:g} s {'met' if found.processor < goal else '**missed**'}"
        )
        lines.append(
            f"| {words} | {found.processor:.2f} s | {found.seconds:.2f} s | {met} | "
            f"{found.peak:.0f} MB |"
        )
    lines += ["", "| inside | processor time |", "| --- | ---: |"]
    lines += [f"| {words} | {1e3 * t:.0f} ms |" for words, t in inside]
    lines += [
        "",
        "Wall clock is that of a machine others may use at the same time; the goals are held "
        "against processor time.",
        "",
        f"Python {platform.python_version()}, soapfilm {version('soapfilm')}, "
        f"numpy {version('numpy')}, scipy {version('scipy')}, matplotlib {version('matplotlib')}, "
        f"{platform.machine()}.",
        "",
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    text = table()
    TABLE.write_text(text)
    print(text)
