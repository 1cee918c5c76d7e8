"""`soapfilm section FILE`: torsion and section properties of one outline."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from ..report.files import check_writable
from .failure import about
from .options import accuracy, figure_path, section_file

if TYPE_CHECKING:
    from ..solver.section.result import SectionResult


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    section_file(parser)
    accuracy(parser)
    parser.add_argument(
        "--figure",
        metavar="PATH",
        type=figure_path,
        help="draw the shear stress with its flow lines (.svg, .png or .pdf)",
    )
    parser.add_argument(
        "--warping-figure",
        metavar="PATH",
        type=figure_path,
        help="draw the warping of the section (.svg, .png or .pdf)",
    )
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object instead of the table"
    )


def run(options: argparse.Namespace) -> None:
    """Solve the section, print its properties, draw its figures."""
    figures = [path for path in (options.figure, options.warping_figure) if path]
    for path in figures:  # before the work, not after it
        check_writable(path)
    if len(figures) == 2 and Path(figures[0]).resolve() == Path(figures[1]).resolve():
        raise InputError("--figure and --warping-figure name the same file; give each its own")
    with about(options.file):
        result = solved(options.file, options.unit, options.accuracy)
    draw(result, options.figure, options.warping_figure)
    if options.json:
        from ..report.section_record import section_json

        print(section_json(result))
        return
    from ..report.section_table import section_table

    print(section_table(result), end="")
    for path in figures:
        print(f"figure written to {path}")


def solved(file: str, unit: str | None, accuracy: float) -> SectionResult:
    """Read and solve a section file."""
    from ..geometry.section_file import load_section
    from ..solver.section import solve_section

    return solve_section(load_section(file, unit), accuracy)


def draw(result: SectionResult, shear: str | None, warping: str | None) -> None:
    """Write the figures asked for."""
    if shear is None and warping is None:
        return
    from ..report import figure

    if shear is not None:
        figure.save(figure.plot_shear(result), shear)
    if warping is not None:
        figure.save(figure.plot_warping(result), warping)
