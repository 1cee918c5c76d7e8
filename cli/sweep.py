"""`soapfilm sweep FILE`: a study over parameters of a section or member, resumable any time."""

from __future__ import annotations

import argparse
import shlex
from collections.abc import Callable
from concurrent.futures import Executor
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from ..geometry.errors import SolveError
from ..report.files import check_writable
from .failure import STOPPED, Failure, about
from .loading import output_unit
from .options import figure_path, outputs
from .study_progress import study_progress

if TYPE_CHECKING:
    from ..solver.study.run.store import Store
    from ..solver.study.run.sweep import Progress, Study

#: Kinds of figures (kept here too, so that help needs no numerics; a test compares).
FIGURES = ("lines", "contour", "points")
_MOST_WORKERS = 1024


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument("file", metavar="FILE", help="study file (.toml)")
    parser.add_argument(
        "--output",
        metavar="PATH",
        help="SQLite file of the rows (default: FILE with the ending .sqlite); run the same "
        "command again to go on where it stopped",
    )
    output_unit(parser)
    workers_options(parser)
    parser.add_argument(
        "--retry", action="store_true", help="solve rows again that ended with an error"
    )
    parser.add_argument("--csv", metavar="PATH", help="write the rows as CSV as well")
    parser.add_argument(
        "--parquet", metavar="PATH", help="write the rows as Parquet as well (needs pyarrow)"
    )
    parser.add_argument(
        "--figure",
        metavar="PATH",
        type=figure_path,
        help="draw a result over the parameters (.svg, .png or .pdf)",
    )
    parser.add_argument("--show", metavar="RESULT", help="column that the figure shows")
    parser.add_argument(
        "--against",
        metavar="PARAMETER",
        nargs="+",
        default=[],
        help="one or two parameters to show it over (default: the first two)",
    )
    parser.add_argument("--kind", choices=FIGURES, default="", help="of the figure")


def workers_options(parser: argparse.ArgumentParser) -> None:
    """Who works, and whether solved sections are remembered."""
    parser.add_argument(
        "--workers",
        metavar="N",
        type=_workers,
        help="processes on this machine (default: one a core)",
    )
    parser.add_argument(
        "--cluster",
        metavar="ADDRESS",
        help="work on a Dask cluster: its scheduler's address, like tcp://127.0.0.1:8786",
    )
    parser.add_argument(
        "--no-cache",
        action="store_true",
        help="neither use nor fill the cache of solved sections",
    )


def run(options: argparse.Namespace) -> None:
    """Read the study, solve what is missing, write and print."""
    options.output = options.output or str(Path(options.file).with_suffix(".sqlite"))
    *paths, _ = outputs(options, "--csv", "--parquet", "--figure", "--output")
    with about(options.file):
        from ..solver.study.file.study_file import load_study

        study = load_study(options.file, options.output_unit)
    for path in paths:  # by now all that the study reads is known
        check_writable(path)
    output = check_writable(options.output)
    from ..solver.study.run.store_trouble import troubles_told

    with troubles_told(output), study.open_store(str(output)) as store:
        if options.retry:
            store.forget_errors()
        try:
            state = _solve(options, study, store)
        except KeyboardInterrupt as stop:
            _, done, _ = store.counts()
            raise Failure(
                f"stopped; {done} rows are safe in {output}; go on with: {_again(options)}", STOPPED
            ) from stop
        _write(options, study, store)
        from ..report.study.summary import study_summary

        print(study_summary(study, store, state), end="")
        print(f"\nrows in {output} (table study)")
        for path in paths:
            print(f"written to {path}")
        if state.failed == state.total:
            raise SolveError(f"{options.file}: every row ended with an error; see above")


def _again(options: argparse.Namespace) -> str:
    """The command that goes on where this one stopped."""
    words = ["soapfilm", "sweep", options.file]
    for name in ("output", "output_unit", "workers", "cluster", "csv", "parquet", "figure", "show"):
        value = getattr(options, name)
        if value is not None:
            words += [f"--{name.replace('_', '-')}", str(value)]
    if options.against:
        words += ["--against", *options.against]
    if options.kind:
        words += ["--kind", options.kind]
    if options.no_cache:
        words += ["--no-cache"]
    return shlex.join(words)


def _solve(options: argparse.Namespace, study: Study, store: Store) -> Progress:
    from ..solver.study.run.sweep import run_study

    with ExitStack() as stack:
        show = stack.enter_context(study_progress())
        total, found, _ = store.counts()
        executor, workers = executor_of(options, stack, total - found)
        renew = None if options.cluster else lambda: executor_of(options, stack, total - found)[0]
        return run_study(
            study,
            store,
            executor,
            workers=workers,
            cached=not options.no_cache,
            renew=renew,
            progress=show,
        )


def executor_of(
    options: argparse.Namespace, stack: ExitStack, jobs: int
) -> tuple[Executor, int | Callable[[], int]]:
    """The executor that the options ask for, closed with the stack, and how many jobs it takes; a
    cluster's workers come and go."""
    if options.cluster:
        from ..solver.study.run.dask_cluster import cluster

        return stack.enter_context(cluster(options.cluster))
    from ..solver.study.run.workforce import core_count, ending_pool

    workers = min(options.workers or core_count(), max(jobs, 1))
    return stack.enter_context(ending_pool(workers)), workers


def _write(options: argparse.Namespace, study: Study, store: Store) -> None:
    if options.csv:
        from ..report.study.export import write_study_csv

        write_study_csv(store, options.csv)
    if options.parquet:
        from ..report.study.export import write_study_parquet

        write_study_parquet(store, options.parquet)
    if options.figure:
        from ..report.section.figure import save
        from ..report.study.figure import plot_study

        show = options.show or study.base.main
        save(plot_study(study, store, show, options.against, options.kind), options.figure)


def _workers(text: str) -> int:
    if not text.isdigit() or not 1 <= int(text) <= _MOST_WORKERS:
        raise argparse.ArgumentTypeError(
            f"{text!r} is not a number of processes from 1 to {_MOST_WORKERS}"
        )
    return int(text)
