"""Solve members at random, and hold each against something independent.

Run: ``python -m benchmarks.robustness.members --seeds 10`` (part of ``make robust``). What is done
is kept in out/robust_members.jsonl and not done again; the chapter of ROBUSTNESS.md is written from
all of it. ``--case "curved: 3"`` for one, ``--dry-run`` to print the chapter.
"""

from __future__ import annotations

import argparse
import json
import time
from collections.abc import Iterator
from pathlib import Path

from .campaign import guarded, line
from .member_table import chapter
from .member_trial import every_family, family_of, run
from .table import with_chapter
from .trial import Trial

PAGE = Path(__file__).parents[1] / "ROBUSTNESS.md"
#: Of these families, which take minutes a member, one in so many seeds.
RARE = {"tapered": 8}
#: Seconds by the clock a member may take, all solves it is held against included, where others use
#: the machine.
LATE = 2400.0


def names(first: int, seeds: int) -> Iterator[str]:
    """Names of cases: of each family one a seed, or one in some seeds."""
    for seed in range(first, first + seeds):
        for family in every_family():
            if seed % RARE.get(family, 1) == 0:
                yield f"{family}: {seed}"


def read(results: Path) -> list[Trial]:
    """All that is done."""
    if not results.exists():
        return []
    return [Trial(**json.loads(row)) for row in results.read_text("utf-8").splitlines()]


def main() -> int:
    """Run what is not done yet, and report; 1 when anything is not as it should be."""
    parser = argparse.ArgumentParser(
        description=__doc__.splitlines()[0], prog="python -m benchmarks.robustness.members"
    )
    parser.add_argument("--seeds", type=int, default=10, help="random members of each family")
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    parser.add_argument("--seconds", type=float, default=3600.0, help="stop after about this long")
    parser.add_argument("--results", default="out/robust_members.jsonl", help="file of results")
    parser.add_argument("--families", nargs="+", default=every_family(), help="these alone")
    parser.add_argument("--case", help="one case by name, in this process")
    parser.add_argument("--dry-run", action="store_true", help="print the chapter, write nothing")
    options = parser.parse_args()
    if options.case:
        trial = run(options.case)
        print(trial)
        return int(not trial.good)
    results = Path(options.results)
    results.parent.mkdir(parents=True, exist_ok=True)
    done = {trial.name for trial in read(results)}
    drawn = names(options.first, options.seeds)
    todo = [n for n in drawn if n not in done and family_of(n) in options.families]
    begin = time.monotonic()
    with results.open("a", encoding="utf-8") as file:
        for trial in guarded(todo, LATE, run):
            file.write(line(trial) + "\n")
            file.flush()
            if not trial.good:
                print(f"{trial.name}: {trial.outcome}; {'; '.join(trial.troubles)}", flush=True)
            if time.monotonic() - begin > options.seconds:
                break
    trials = read(results)
    text = chapter(trials)
    if options.dry_run:
        print(text)
    else:
        PAGE.write_text(with_chapter(PAGE.read_text("utf-8"), text), "utf-8")
    return int(not all(t.good for t in trials))


if __name__ == "__main__":
    raise SystemExit(main())
