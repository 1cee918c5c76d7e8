"""`soapfilm pays FILE [NUMBER...]`: where material pays in a section."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from ..report.files import check_writable
from .failure import about
from .loading import in_one_piece, material_option, output_unit, section_of
from .options import accuracy, figure_path, section_file

if TYPE_CHECKING:
    from ..solver.study.derivative.section_pay import SectionPay


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    section_file(parser)
    parser.add_argument(
        "numbers",
        nargs="*",
        default=[],
        metavar="NUMBER",
        help='numbers of the file by address, like "shape.1.WebThickness", or "name = address, '
        'address" for one that stands at several (default: every dimension of the file)',
    )
    output_unit(parser)
    material_option(parser)
    accuracy(parser)
    parser.add_argument(
        "--of",
        metavar="NAME",
        default="J",
        help="what the figure shows material to pay for: J, C_w, I_x, I_y or A (default J)",
    )
    parser.add_argument(
        "--figure",
        metavar="PATH",
        type=figure_path,
        help="draw the outline as a band of what material pays there (.svg, .png or .pdf)",
    )
    parser.add_argument("--csv", metavar="PATH", help="write the derivatives as CSV")
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object instead of the table"
    )


def run(options: argparse.Namespace) -> None:
    """Solve, differentiate, write and print."""
    paths = [path for path in (options.figure, options.csv) if path]
    for path in paths:  # before the work, not after it
        check_writable(path)
    with about(options.file):
        from ..report.pay.figure import drawn_quantity

        quantity = drawn_quantity(options.of)
        pay = _solved(options)
    if options.figure:
        from ..report.pay.figure import plot_pay
        from ..report.section.figure import save

        save(plot_pay(pay, quantity.name), options.figure)
    if options.csv:
        from ..report.pay.record import write_pay_csv

        write_pay_csv(pay, options.csv)
    if options.json:
        from ..report.pay.record import pay_json

        print(pay_json(pay))
        return
    from ..report.pay.table import pay_table

    print(pay_table(pay), end="")
    for path in paths:
        print(f"written to {path}")


def _solved(options: argparse.Namespace) -> SectionPay:
    """A section file with its numbers; of a drawing or a rolled shape the outline alone."""
    from ..solver.study.derivative.section_pay import outline_pay, section_pay
    from ..solver.study.file.section_base import SectionBase

    section = in_one_piece(section_of(options))
    if Path(options.file).suffix.lower() != ".toml":
        if options.numbers:
            raise InputError(
                f"{options.numbers[0]!r}: numbers are those of a section file (.toml); write one, "
                "or leave it out for the outline alone"
            )
        return outline_pay(section, options.accuracy)
    if options.material:
        raise InputError("--material: name the material in the file, which is read again here")
    base = SectionBase.from_file(Path(options.file), options.output_unit or "")
    return section_pay(base, options.numbers, options.accuracy)
