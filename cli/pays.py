"""`soapfilm pays FILE [NUMBER...] [ACTION...]`: where material pays in a section or member."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from ..report.files import write_text
from .actions import ACTION, given_cases, is_action, more_of_cases
from .failure import about
from .loading import in_one_piece, material_option, output_unit, section_of
from .options import accuracy, figure_path, outputs, section_file
from .study_progress import count_progress

if TYPE_CHECKING:
    from ..geometry.section import Section
    from ..solver.section.stress.actions import Actions
    from ..solver.study.derivative.section_pay import SectionPay


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    section_file(
        parser,
        "section or member file (.toml); of a drawing or a rolled shape, like W10X49, its outline",
    )
    parser.add_argument(
        "words",
        nargs="*",
        default=[],
        metavar="NUMBER or ACTION",
        help='numbers of the file by address, like "shape.1.WebThickness", or "name = address, '
        'address" for one that stands at several (default: every dimension of its sections); and '
        f"actions on a section, whose largest stresses are differentiated too, {ACTION}",
    )
    more_of_cases(parser)
    output_unit(parser)
    material_option(parser)
    accuracy(parser)
    parser.add_argument(
        "--keep-shape",
        action="store_true",
        help="of a member: the classical theory, whose derivatives are exact",
    )
    parser.add_argument(
        "--result",
        action="append",
        default=[],
        metavar="WORDS",
        help='of a member by the classical theory: a further result, like "twist at middle of span '
        '1", "displacement of POINT at 2 m", "M_x at 3 m", "reaction of SUPPORT", "T of SUPPORT" '
        "(repeatable)",
    )
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
        help="draw a section's outline as a band of what material pays there (.svg, .png, .pdf)",
    )
    parser.add_argument("--csv", metavar="PATH", help="write the derivatives as CSV")
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object instead of the table"
    )


def run(options: argparse.Namespace) -> None:
    """Solve, differentiate, write and print."""
    paths = outputs(options, "--figure", "--csv")
    options.actions = [word for word in options.words if is_action(word)]
    options.numbers = [word for word in options.words if not is_action(word)]
    text = _of_member(options) if _is_member(options.file) else _of_section(options)
    print(text, end="" if text.endswith("\n") else "\n")
    if not options.json:
        for path in paths:
            print(f"written to {path}")


def _is_member(file: str) -> bool:
    from ..geometry.section_file.kinds import MEMBER, kind_of
    from ..geometry.section_file.text import parsed, read_text

    if Path(file).suffix.lower() != ".toml":
        return False
    with about(file):
        return kind_of(parsed(read_text(Path(file)))) == MEMBER


def _of_section(options: argparse.Namespace) -> str:
    with about(options.file):
        from ..report.pay.figure import drawn_quantity

        quantity = drawn_quantity(options.of)
        if options.keep_shape or options.result:
            raise InputError("--keep-shape and --result are for members; leave them out")
        pay = _solved(options)
        if options.figure:
            from ..report.pay.figure import plot_pay
            from ..report.section.figure import save

            save(plot_pay(pay, quantity.name), options.figure)
    from ..report.pay.record import pay_json, write_pay_csv
    from ..report.pay.table import pay_table

    if options.csv:
        write_pay_csv(pay, options.csv)
    return pay_json(pay) if options.json else pay_table(pay)


def _solved(options: argparse.Namespace) -> SectionPay:
    """A section file with its numbers; of a drawing or a rolled shape the outline alone."""
    from ..solver.study.derivative.section_pay import outline_pay, section_pay
    from ..solver.study.file.section_base import SectionBase

    section = in_one_piece(section_of(options))
    if Path(options.file).suffix.lower() != ".toml":
        if options.actions or options.cases or options.through:
            raise InputError(
                "actions are for section files (.toml), to whose numbers the largest stresses have "
                "derivatives; write one, or leave the actions out for the outline alone"
            )
        if options.numbers:
            raise InputError(
                f"{options.numbers[0]!r}: numbers are those of a section file (.toml); write one, "
                "or leave it out for the outline alone"
            )
        return outline_pay(section, options.accuracy)
    if options.material:
        raise InputError("--material is for drawings and rolled shapes; name it in the file")
    base = SectionBase.from_file(Path(options.file), options.output_unit or "")
    return section_pay(base, options.numbers, options.accuracy, _cases(options, section))


def _cases(options: argparse.Namespace, section: Section) -> tuple[Actions, ...]:
    """The load cases that were given, if any."""
    from ..geometry.units import Units

    cases = given_cases(options, Units(section.unit))
    if options.through and not cases:
        raise InputError(
            '--through is of a shear force, and none acts; give one, like "V_y = 120 kN"'
        )
    return cases


def _of_member(options: argparse.Namespace) -> str:
    from ..report.pay.member_rates import member_pay_json, member_pay_rows, member_pay_table
    from ..solver.study.derivative.member_pay import member_pay
    from ..solver.study.file.member_base import MemberBase

    with about(options.file):
        if options.actions or options.cases or options.through:
            raise InputError(
                "a member has its loads in its file, and its stress is differentiated under them; "
                "leave the actions out, or give the section's own file"
            )
        if options.figure:
            raise InputError("--figure is of a section: give the section's own file")
        if options.material:
            raise InputError("--material is for drawings and rolled shapes; name it in the file")
        base = MemberBase.from_file(Path(options.file), options.output_unit or "")
        with count_progress("steps") as told:
            pay = member_pay(
                base, options.numbers, options.accuracy, keep_shape=options.keep_shape,
                results=options.result, progress=told,
            )  # fmt: skip
    if options.csv:
        write_text(options.csv, member_pay_rows(pay).csv())
    return member_pay_json(pay) if options.json else member_pay_table(pay)
