"""`soapfilm buckle FILE ACTION...`: elastic buckling of a section by half-wavelength."""

from __future__ import annotations

import argparse
import shlex
from pathlib import Path
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from .actions import given_cases, with_strength
from .failure import about
from .loading import in_one_piece, material_option, output_unit, section_of
from .options import figure_path, outputs, page_path, section_file
from .progress import waiting

if TYPE_CHECKING:
    from ..geometry.section import Section
    from ..geometry.units import Units
    from ..solver.section.buckling.effective import EffectiveSection
    from ..solver.section.buckling.result import SectionBuckling


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    section_file(parser)
    output_unit(parser)
    material_option(parser)
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
        help="shortest half-wavelength (default: four times the walls' mean thickness; ten "
        "with V or T)",
    )
    parser.add_argument(
        "--longest",
        metavar="LENGTH",
        help="longest half-wavelength, such as the member's length (default: thirty times the "
        "section's diagonal; three times with V)",
    )
    parser.add_argument(
        "--effective",
        action="store_true",
        help="effective section of N alone or of moments alone, by a code's rule (EN 1993-1-5 4.4 "
        "form, from memory); needs a yield strength",
    )
    parser.add_argument(
        "--strength", metavar="S", help='yield strength of every material, like "355 MPa"'
    )
    parser.add_argument(
        "--figure",
        metavar="PATH",
        type=figure_path,
        help="draw curve and shapes (.svg, .png, .pdf)",
    )
    parser.add_argument("--csv", metavar="PATH", help="write the curve as CSV")
    parser.add_argument(
        "--page", metavar="PATH", type=page_path, help="write a self-contained report page (.html)"
    )
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object instead of the table"
    )


def run(options: argparse.Namespace) -> None:
    """Solve the section's buckling, print and write what was asked for."""
    paths = outputs(options, "--figure", "--csv", "--page")
    from ..geometry.units import Units

    with about(options.file):
        section = in_one_piece(section_of(options))
        units = Units(section.unit)
        section = with_strength(section, options.strength, None, units)
        if options.effective:
            _check_strength(section)
    options.cases = None
    cases = given_cases(options, units, without="T_w")
    if not cases:
        raise InputError('no action; give at least one, like "N = -1 kN"')
    shortest = _length(options.shortest, "--shortest", units)
    longest = _length(options.longest, "--longest", units)
    with about(options.file):
        from ..solver.section.buckling.effective import checked_walls, effective_section
        from ..solver.section.buckling.solution import solve_buckling

        if options.effective:
            checked_walls(section, cases[0])  # before the work
        with waiting("solving the section's buckling"):
            buckling = solve_buckling(section, cases[0], shortest=shortest, longest=longest)
        effective = None
        if options.effective:
            effective = effective_section(buckling, section.regions[0].material.strength or 0.0)
    _write(options, buckling, effective)
    if options.json:
        from ..report.buckling.record import buckling_json

        print(buckling_json(buckling, effective))
        return
    from ..report.buckling.table import buckling_table

    print(buckling_table(buckling, effective), end="")
    for path in paths:
        print(f"written to {path}")


def _length(text: str | None, name: str, units: Units) -> float | None:
    return None if text is None else units.read(text, "length", what=name)


def _check_strength(section: Section) -> None:
    if any(region.material.strength is None for region in section.regions):
        raise InputError(
            "--effective needs a yield strength: name a material with one in the file, or give "
            '--strength "355 MPa"'
        )


def _write(
    options: argparse.Namespace, buckling: SectionBuckling, effective: EffectiveSection | None
) -> None:
    if options.figure:
        from ..report.buckling.figure import buckling_figure
        from ..report.section.figure import save

        save(buckling_figure(buckling, effective), options.figure)
    if options.csv:
        from ..report.buckling.record import write_buckling_csv

        write_buckling_csv(buckling, options.csv)
    if options.page:
        from datetime import date

        from ..report.files import write_text
        from ..report.page.buckling_report import buckling_report
        from ..report.page.layout import page
        from ..report.page.origin import Origin

        files = [options.file] if Path(options.file).exists() else []  # a rolled shape has none
        origin = Origin.of(_command(options), files, date.today().isoformat())
        write_text(options.page, page(buckling_report(buckling, effective, origin)))


def _command(options: argparse.Namespace) -> str:
    """The command that gives this page again, apart from where it is written."""
    words = ["soapfilm", "buckle", options.file, *options.actions]
    for name in (
        *("unit", "arcs_within", "gap", "layer", "profile", "output_unit", "material"),
        *("through", "shortest", "longest", "strength"),
    ):
        value = getattr(options, name, None)
        for one in value if isinstance(value, list) else [] if value is None else [value]:
            words += [f"--{name.replace('_', '-')}", str(one)]
    return shlex.join([*words, *(["--effective"] if options.effective else [])])
