"""`soapfilm size FILE`: the lightest section that keeps a member's limits, and why lighter ones do
not, or what holds it back."""

from __future__ import annotations

import argparse
from contextlib import ExitStack
from typing import TYPE_CHECKING

from ..geometry.errors import SolveError
from .failure import about
from .loading import output_unit
from .options import figure_path, outputs
from .sweep import executor_of, workers_options

if TYPE_CHECKING:
    from ..geometry.units import Units
    from ..solver.study.choice.sizing import SizeResult, Sizing
    from ..solver.study.choice.tradeoff import Tradeoff


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument("file", metavar="FILE", help="size file (.toml)")
    output_unit(parser)
    workers_options(parser)
    parser.add_argument(
        "--no-screening",
        action="store_true",
        help="solve rolled shapes too that a bound of their twist rules out",
    )
    parser.add_argument(
        "--figure",
        metavar="PATH",
        type=figure_path,
        help="draw weight against twist (.svg, .png or .pdf); solves what it still needs",
    )
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object instead of the table"
    )


def run(options: argparse.Namespace) -> None:
    """Search, say what was found, draw the curve."""
    outputs(options, "--figure")
    with about(options.file):
        from ..solver.study.choice.setting import request_of
        from ..solver.study.file.size_file import load_sizing

        sizing = load_sizing(
            options.file, cached=not options.no_cache, output_unit=options.output_unit
        )
        units = request_of(sizing.setting.member, sizing.setting.accuracy).units
    with about(options.file):
        result, curve = _searched(options, sizing)
    if curve is not None:
        from ..report.section.figure import save
        from ..report.study.tradeoff_figure import plot_tradeoff

        save(plot_tradeoff(result, curve, units), options.figure)
    _print(options, result, units)
    if not result.found:
        raise SolveError(f"{options.file}: no section keeps every limit; see the closest above")


def _searched(options: argparse.Namespace, sizing: Sizing) -> tuple[SizeResult, Tradeoff | None]:
    from ..solver.study.choice.assortment import ShapedChoice
    from ..solver.study.choice.sizing import size_member
    from ..solver.study.choice.tradeoff import tradeoff
    from .study_progress import count_progress

    alone = isinstance(sizing.choice, ShapedChoice) and bool(sizing.choice.ranges)
    with ExitStack() as stack:
        executor, workers = None, 1
        if not alone and (options.workers != 1 or options.cluster):
            executor, count = executor_of(options, stack, 10_000)
            workers = count if isinstance(count, int) else count()
        with count_progress("candidates") as told:
            result = size_member(
                sizing,
                executor=executor,
                workers=workers,
                screen=not options.no_screening,
                progress=told,
            )
        if not options.figure:
            return result, None
        with count_progress("curve") as told:
            return result, tradeoff(result, executor=executor, workers=workers, progress=told)


def _print(options: argparse.Namespace, result: SizeResult, units: Units) -> None:
    if options.json:
        from ..report.study.size_record import size_json

        print(size_json(result, units))
        return
    from ..report.study.size_table import size_table

    print(size_table(result, units), end="")
    if options.figure:
        print(f"figure written to {options.figure}")
