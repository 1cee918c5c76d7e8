"""`soapfilm vibrate FILE`: natural frequencies and modes of a member."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from .failure import about
from .loading import keep_sections, output_unit
from .options import csv_path, figure_path, outputs, page_path
from .progress import waiting

if TYPE_CHECKING:
    from ..report.vibration.result import ModesResult

_MODES = 8


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument("file", metavar="FILE", help="member file (.toml)")
    output_unit(parser)
    parser.add_argument(
        "--modes", metavar="N", type=int, default=_MODES, help="so many modes (default: 8)"
    )
    parser.add_argument(
        "--slip",
        choices=("taken-up", "open"),
        default="taken-up",
        help="state of connections with slip: taken up they hold both ways, open not at all",
    )
    parser.add_argument(
        "--figure", metavar="PATH", type=figure_path, help="draw the modes (.svg, .png or .pdf)"
    )
    parser.add_argument(
        "--page",
        metavar="PATH",
        type=page_path,
        help="write a page with the modes in motion (.html)",
    )
    parser.add_argument(
        "--csv", metavar="PATH", type=csv_path, help="write the modes along the member (.csv)"
    )
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object instead of the table"
    )


def run(options: argparse.Namespace) -> None:
    """Solve, print, write."""
    paths = outputs(options, "--figure", "--page", "--csv")
    keep_sections()
    with about(options.file):
        result = result_of_file(
            options.file, options.modes, options.output_unit, slip_open=options.slip == "open"
        )
    if options.figure:
        from ..report.section.figure import save
        from ..report.vibration.figure import plot_modes

        save(plot_modes(result).axes[0], options.figure)
    if options.page:
        from datetime import date

        from ..report.page.modes_report import write_modes_page
        from ..report.page.origin import Origin

        command = f"soapfilm vibrate {options.file} --page {options.page}"
        origin = Origin.of(command, [options.file], date.today().isoformat())
        write_modes_page(result, options.page, origin)
    if options.csv:
        from ..report.vibration.record import write_modes_csv

        write_modes_csv(result, options.csv)
    if options.json:
        from ..report.vibration.record import modes_json

        print(modes_json(result))
        return
    from ..report.vibration.table import modes_table

    print(modes_table(result), end="")
    for path in paths:
        print(f"written to {path}")


def result_of_file(
    file: str, modes: int, unit: str | None = None, *, slip_open: bool
) -> ModesResult:
    """Read a member file and find its modes, told in a length unit."""
    from ..report.vibration.result import modes_of
    from ..solver.member.file import load_member

    with waiting("finding the natural frequencies"):
        return modes_of(load_member(file, unit), modes, slip_open=slip_open)
