"""Solve sections at random and at the edge, and hold each against something independent.

Run: ``python -m benchmarks.robustness`` (or ``make robust``): the long form, which rewrites
ROBUSTNESS.md. ``--seeds 5 --dry-run`` for a short one; ``--case "curved strip: 17"`` for one case.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from pathlib import Path

from .campaign import LATE, guarded, names, run
from .table import MEMBERS, document
from .trial import Trial

PAGE = Path(__file__).parents[1] / "ROBUSTNESS.md"


def told(trials: Iterable[Trial]) -> list[Trial]:
    """The trials, each that is not as it should be printed as it comes."""
    out: list[Trial] = []
    for trial in trials:
        out.append(trial)
        if not trial.good:
            print(f"{trial.name}: {trial.outcome}; {'; '.join(trial.troubles)}", flush=True)
        elif len(out) % 100 == 0:
            print(f"{len(out)} sections", flush=True)
    return out


def main() -> int:
    """Run and report; 1 when anything is not as it should be."""
    parser = argparse.ArgumentParser(
        description=__doc__.splitlines()[0], prog="python -m benchmarks.robustness"
    )
    parser.add_argument("--seeds", type=int, default=120, help="random sections of each family")
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    parser.add_argument("--no-extremes", action="store_true", help="random sections only")
    parser.add_argument("--late", type=float, default=LATE, help="seconds a case may take")
    parser.add_argument("--case", help="one case by name, in this process")
    parser.add_argument("--dry-run", action="store_true", help="print the page, write nothing")
    options = parser.parse_args()
    if options.case:
        trial = run(options.case)
        print(trial)
        return int(not trial.good)
    seeds = range(options.first, options.first + options.seeds)
    todo = names(seeds, extremes=not options.no_extremes)
    trials = told(guarded(todo, options.late))
    page = document(trials)
    if options.dry_run:
        print(page)
    else:
        _, mark, members = PAGE.read_text("utf-8").partition(MEMBERS)
        PAGE.write_text(page + mark + members, "utf-8")
    return int(not all(t.good for t in trials))


if __name__ == "__main__":
    raise SystemExit(main())
