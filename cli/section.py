"""`soapfilm section FILE`: torsion and section properties of one outline."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from ..report.files import write_bytes
from .failure import about, check_accuracy
from .loading import material_option, output_unit, section_of
from .options import accuracy, figure_path, outputs, section_file
from .progress import waiting

if TYPE_CHECKING:
    from ..geometry.section import Section
    from ..solver.section.result import SectionResult


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    section_file(parser)
    output_unit(parser)
    material_option(parser)
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
        "--drawing",
        metavar="PATH",
        type=_dxf_path,
        help="write the outline with its principal axes and shear centre as a drawing (.dxf)",
    )
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object instead of the table"
    )


def run(options: argparse.Namespace) -> None:
    """Solve the section, print its properties, draw its figures."""
    figures = outputs(options, "--figure", "--warping-figure", "--drawing")
    with about(options.file):
        section = section_of(options)
        if _has_contact_only(section):
            _run_contact_only(options, section)
            return
        from ..solver.section import solve_section

        with waiting("solving the section"):
            result = solve_section(section, options.accuracy)
    draw(result, options.figure, options.warping_figure)
    if options.drawing:
        from ..report.section.axes_drawing import section_dxf

        write_bytes(options.drawing, section_dxf(result))
    if options.json:
        from ..report.section.record import section_json

        print(section_json(result))
        check_accuracy([(options.file, result)])
        return
    from ..report.section.table import section_table

    print(section_table(result), end="")
    for path in figures:
        print(f"{'drawing' if path == options.drawing else 'figure'} written to {path}")
    check_accuracy([(options.file, result)])


def _has_contact_only(section: Section) -> bool:
    """Whether parts touch that nothing joins."""
    from ..geometry.checks.contact_only import contact_only_parts

    return len(contact_only_parts(section)) > 1


def _run_contact_only(options: argparse.Namespace, section: Section) -> None:
    """Print what parts in contact only have in common."""
    if options.figure or options.warping_figure or options.drawing:
        raise InputError(
            "the parts are in contact only and not connected, so they have no common stress or "
            "warping to draw; weld them, or see them with: soapfilm draw"
        )
    from ..solver.section.contact_only import solve_contact_only

    result = solve_contact_only(section, options.accuracy)
    if options.json:
        from ..report.section.contact_only_record import contact_only_json

        print(contact_only_json(result))
        check_accuracy((options.file, body) for body in result.bodies)
        return
    from ..report.section.contact_only_table import contact_only_table

    print(contact_only_table(result), end="")
    check_accuracy((options.file, body) for body in result.bodies)


def _dxf_path(text: str) -> str:
    if Path(text).suffix.lower() != ".dxf":
        raise argparse.ArgumentTypeError(f"{text!r} is a drawing with layers; end it in .dxf")
    return text


def draw(result: SectionResult, shear: str | None, warping: str | None) -> None:
    """Write the figures asked for."""
    if shear is None and warping is None:
        return
    from ..report.section import figure

    if shear is not None:
        figure.save(figure.plot_shear(result), shear)
    if warping is not None:
        figure.save(figure.plot_warping(result), warping)
