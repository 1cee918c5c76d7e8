"""`soapfilm stress FILE ACTION...`: stresses of a section under any combination of actions."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from .actions import case_options, given_cases, with_strength
from .failure import about, check_accuracy
from .loading import in_one_piece, material_option, output_unit, section_of
from .options import accuracy, figure_path, outputs, section_file
from .progress import shown, waiting

if TYPE_CHECKING:
    from ..solver.section.stress.actions import Actions
    from ..solver.section.stress.load_cases import StressResult

#: Components a figure can show (kept here too, so that help needs no numerics; a test compares).
COMPONENTS = (
    "normal",
    "shear",
    "shear-x",
    "shear-y",
    "principal-max",
    "principal-min",
    "von Mises",
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    section_file(parser)
    output_unit(parser)
    material_option(parser)
    case_options(parser)
    accuracy(parser)
    parser.add_argument(
        "--figure", metavar="PATH", type=figure_path, help="draw a stress (.svg, .png or .pdf)"
    )
    parser.add_argument(
        "--component", choices=COMPONENTS, default="von Mises", help="what the figure shows"
    )
    parser.add_argument("--case", metavar="NAME", help="load case of the figure (default: first)")
    parser.add_argument(
        "--export",
        metavar="PATH",
        action="append",
        default=[],
        help=".vtu: fields on a fine mesh; .csv: points along every contour (may be repeated)",
    )
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object instead of the table"
    )


def run(options: argparse.Namespace) -> None:
    """Solve the section, combine its unit stresses, print and write what was asked for."""
    paths = outputs(options, "--figure", "--export")
    for path in options.export:
        if not path.lower().endswith((".vtu", ".csv")):
            raise InputError(f"cannot export {path}: the ending must be .vtu or .csv")
    from ..geometry.units import Units

    with about(options.file):
        section = in_one_piece(section_of(options))
        units = Units(section.unit)
        section = with_strength(section, options.strength, options.factor, units)
    cases = given_cases(options, units)
    if not cases:
        raise InputError('no action; give at least one, like "V_y = 120 kN", or --cases FILE')
    chosen = _chosen(cases, options.case)
    with about(options.file):
        from ..solver.section import solve_section
        from ..solver.section.stress.load_cases import solve_stress

        with waiting("solving the section"):
            solved = solve_section(section, options.accuracy)
        stress = solve_stress(
            solved,
            cases,
            factor=options.factor or 1.0,
            progress=lambda items: shown(list(items), "load cases"),
        )
    _write(options, stress, chosen)
    if options.json:
        from ..report.stress.record import stress_json

        print(stress_json(stress))
        check_accuracy([(options.file, stress.result)])
        return
    from ..report.stress.table import stress_table

    print(stress_table(stress), end="")
    for path in paths:
        print(f"written to {path}")
    check_accuracy([(options.file, stress.result)])


def _chosen(cases: tuple[Actions, ...], name: str | None) -> int:
    """Number of the case that the figure and the exports show."""
    if name is None:
        return 0
    names = [case.name for case in cases]
    if name not in names:
        raise InputError(f"there is no load case {name!r}; choose from {', '.join(names)}")
    return names.index(name)


def _write(options: argparse.Namespace, stress: StressResult, chosen: int) -> None:
    if options.figure:
        from ..report.section.figure import save
        from ..report.stress.figure import plot_stress

        save(plot_stress(stress, options.component, chosen), options.figure)
    for path in options.export:
        from ..report.stress.field_files import write_csv, write_vtu

        write = write_vtu if path.lower().endswith(".vtu") else write_csv
        write(stress, path)
