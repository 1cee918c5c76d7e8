"""`soapfilm compare A B...`: sections side by side, at equal area or weight, in a member or not."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from ..geometry.errors import InputError, SoapfilmError
from .failure import about, check_accuracy
from .loading import material_option, output_unit, shown_in
from .options import accuracy, drawings, figure_path, outputs
from .progress import waiting
from .section_words import section_by_word

if TYPE_CHECKING:
    from ..geometry.section import Section
    from ..geometry.units import Units
    from ..solver.member.file.request import MemberRequest
    from ..solver.study.choice.comparison import Comparison
    from ..solver.study.choice.member_outcome import MemberOutcome


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument(
        "sections",
        nargs="+",
        metavar="SECTION",
        help="section file, drawing, or designation of a rolled shape (W10X49); two or more",
    )
    parser.add_argument(
        "--equal",
        choices=("area", "weight"),
        help="scale every section to the area or weight of the first",
    )
    parser.add_argument(
        "--member", metavar="FILE", help="member file: put each section into it and compare there"
    )
    parser.add_argument(
        "--replaces",
        metavar="NAME",
        default="",
        help="section of the member that they stand in for (default: every one)",
    )
    material_option(parser)
    output_unit(parser)
    drawings(parser)
    accuracy(parser)
    parser.add_argument(
        "--figure",
        metavar="PATH",
        type=figure_path,
        help="draw outlines with shear-flow lines and the ratios (.svg, .png or .pdf)",
    )
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object instead of the table"
    )


def run(options: argparse.Namespace) -> None:
    """Solve, compare, print, draw."""
    outputs(options, "--figure")
    if options.replaces and not options.member:
        raise InputError("--replaces names a section of a member; give the --member too")
    if len(options.sections) < 2:
        raise InputError("a comparison needs two sections at least; name another one")
    from ..solver.study.choice.comparison import compare_sections, distinct_names

    given = [section_by_word(word, options, options.material) for word in options.sections]
    sections = distinct_names([shown_in(section, options.output_unit) for section in given])
    with waiting(f"solving {len(sections)} sections"):
        comparison = compare_sections(
            sections, equal=options.equal or "", accuracy=options.accuracy
        )
    solved = [(result.section.name, result) for result in comparison.results]
    members: list[MemberOutcome | str] = []
    units: Units | None = None
    if options.member:
        members, units = _in_member(options, comparison)
    if options.figure:
        from ..report.study.compare_figure import plot_comparison, save_comparison

        save_comparison(plot_comparison(comparison, members), options.figure)
    if options.json:
        from ..report.study.compare_record import compare_json

        print(compare_json(comparison, options.sections, members, units))
        check_accuracy(solved)
        return
    from ..report.study.compare_table import compare_table

    print(compare_table(comparison, options.sections, members, units), end="")
    if options.figure:
        print(f"figure written to {options.figure}")
    check_accuracy(solved)


def _in_member(
    options: argparse.Namespace, comparison: Comparison
) -> tuple[list[MemberOutcome | str], Units]:
    """What the member does with each section; a failure is a text, unless the input is wrong."""
    with about(options.member):
        from ..solver.member.file import load_member

        request = load_member(options.member, options.output_unit)
        if options.replaces and options.replaces not in request.sections:
            raise InputError(
                f"the member has no section {options.replaces!r} to replace; it has "
                f"{', '.join(request.sections)}"
            )
    found: list[MemberOutcome | str] = []
    for result in comparison.results:
        with waiting(f"solving the member with {result.section.name}"):
            found.append(_one(result.section, request, options))
    return found, request.units


def _one(
    section: Section, request: MemberRequest, options: argparse.Namespace
) -> MemberOutcome | str:
    from ..solver.study.choice.staged_outcome import outcome
    from ..solver.study.choice.substitution import solved_for, with_section

    try:
        solved = solved_for(section, request, options.accuracy)
        return outcome(with_section(request, solved, options.replaces))
    except SoapfilmError as error:
        return str(error)
