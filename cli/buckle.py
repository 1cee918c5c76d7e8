"""`soapfilm buckle FILE ACTION...`: elastic buckling of a section by half-wavelength."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from ..report.files import check_writable
from .actions import given_cases
from .failure import about
from .loading import in_one_piece, output_unit, section_of
from .options import figure_path, section_file
from .progress import waiting

if TYPE_CHECKING:
    from ..geometry.units import Units
    from ..solver.section.buckling.result import SectionBuckling


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    section_file(parser)
    output_unit(parser)
    parser.add_argument(
        "actions",
        nargs="*",
        default=[],
        metavar="ACTION",
        help='like "N = -1 kN" (compression is negative); N, M_x, M_y, V_x, V_y, T, B (bimoment), '
        "which grow together",
    )
    parser.add_argument(
        "--through",
        metavar="X,Y",
        help='point the shear acts through, like "40 mm, 0 mm" (default: the shear centre)',
    )
    parser.add_argument(
        "--shortest",
        metavar="LENGTH",
        help="shortest half-wavelength (default: four times the walls' mean thickness)",
    )
    parser.add_argument(
        "--longest",
        metavar="LENGTH",
        help="longest half-wavelength, such as the member's length (default: thirty times the "
        "section's diagonal; three times with V)",
    )
    parser.add_argument(
        "--figure",
        metavar="PATH",
        type=figure_path,
        help="draw curve and shapes (.svg, .png, .pdf)",
    )
    parser.add_argument("--csv", metavar="PATH", help="write the curve as CSV")
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object instead of the table"
    )


def run(options: argparse.Namespace) -> None:
    """Solve the section's buckling, print and write what was asked for."""
    paths = [path for path in (options.figure, options.csv) if path]
    for path in paths:  # before the work, not after it
        check_writable(path)
    from ..geometry.units import Units

    with about(options.file):
        section = in_one_piece(section_of(options))
    units = Units(section.unit)
    options.cases = None
    cases = given_cases(options, units)
    if not cases:
        raise InputError('no action; give at least one, like "N = -1 kN"')
    shortest = _length(options.shortest, "--shortest", units)
    longest = _length(options.longest, "--longest", units)
    with about(options.file):
        from ..solver.section.buckling.solution import solve_buckling

        with waiting("solving the section's buckling"):
            buckling = solve_buckling(section, cases[0], shortest=shortest, longest=longest)
    _write(options, buckling)
    if options.json:
        from ..report.buckling.record import buckling_json

        print(buckling_json(buckling))
        return
    from ..report.buckling.table import buckling_table

    print(buckling_table(buckling), end="")
    for path in paths:
        print(f"written to {path}")


def _length(text: str | None, name: str, units: Units) -> float | None:
    return None if text is None else units.read(text, "length", what=name)


def _write(options: argparse.Namespace, buckling: SectionBuckling) -> None:
    if options.figure:
        from ..report.buckling.figure import buckling_figure
        from ..report.section.figure import save

        save(buckling_figure(buckling), options.figure)
    if options.csv:
        from ..report.buckling.record import write_buckling_csv

        write_buckling_csv(buckling, options.csv)
