"""`soapfilm member FILE`: a member with its loads and supports, along its length."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from .failure import about, check_accuracy
from .loading import keep_sections, output_unit
from .options import csv_path, figure_path, outputs
from .progress import waiting

if TYPE_CHECKING:
    from ..solver.member.file.request import MemberRequest
    from ..solver.member.review.assessment import Assessment
    from ..solver.member.staged.assessment import StagedAssessment
    from ..solver.section.result import SectionResult


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument("file", metavar="FILE", help="member file (.toml)")
    output_unit(parser)
    parser.add_argument(
        "--figure",
        metavar="PATH",
        type=figure_path,
        help="draw the member and its diagrams on one page (.svg, .png or .pdf)",
    )
    parser.add_argument(
        "--combination",
        metavar="NAME",
        help="combination that the figure shows (default: that of the most used twist limit)",
    )
    parser.add_argument(
        "--csv", metavar="PATH", type=csv_path, help="write the results at all stations (.csv)"
    )
    parser.add_argument(
        "--reactions",
        metavar="PATH",
        type=csv_path,
        help="write all reactions of all combinations: supports, bearings, decks, sums (.csv)",
    )
    parser.add_argument(
        "--mode",
        metavar="PATH",
        type=csv_path,
        help="write the buckling modes along the member (.csv)",
    )
    parser.add_argument(
        "--joints",
        metavar="PATH",
        type=csv_path,
        help="write every bolt and weld of the joints under all combinations (.csv)",
    )
    parser.add_argument(
        "--bearings",
        metavar="PATH",
        type=_bearing_path,
        help="write the bearing schedule (.csv), or draw the plan with what bearings carry and how "
        "they move (.svg, .png or .pdf)",
    )
    parser.add_argument(
        "--places",
        metavar="PATH",
        type=figure_path,
        help="draw the worst places of moving loads that are solved (.svg, .png or .pdf)",
    )
    parser.add_argument(
        "--no-remedies",
        action="store_true",
        help="leave out the effect of each restraint and the remedies",
    )
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object instead of the table"
    )


def run(options: argparse.Namespace) -> None:
    """Solve the member, print its answers, write its figure and stations."""
    paths = outputs(
        options, "--figure", "--csv", "--reactions", "--mode", "--joints", "--bearings", "--places"
    )
    keep_sections()
    with about(options.file):
        from ..solver.member.file import load_member

        request = load_member(options.file, options.output_unit)
    if request.stages:
        _run_stages(options, request, paths)
        return
    from ..report.member.joint_passage import found_joints

    with about(options.file):
        assessment = assessed(
            request, cures=not options.no_remedies, envelope=bool(options.bearings)
        )
        shown = _shown(assessment, options.combination)
        found_joints(assessment)
    if options.figure:
        from ..report.member.figure import plot_member
        from ..report.section.figure import save

        save(plot_member(assessment, shown), options.figure)
    if options.csv:
        from ..report.member.csv import write_member_csv

        write_member_csv(assessment, options.csv)
    if options.reactions:
        from ..report.member.reaction_record import write_reaction_csv

        write_reaction_csv(assessment, options.reactions)
    _write_envelope(options, assessment)
    if options.mode:
        from ..report.member.stability import write_mode_csv

        write_mode_csv(assessment, options.mode)
    if options.joints:
        from ..report.member.joint_passage import write_held_joints

        write_held_joints(found_joints(assessment), options.joints)
    if options.json:
        from ..report.member.record import member_json

        print(member_json(assessment))
        check_accuracy(solved_sections(assessment))
        return
    from ..report.member.table import member_table

    print(member_table(assessment), end="")
    for path in paths:
        print(f"written to {path}")
    check_accuracy(solved_sections(assessment))


def _write_envelope(options: argparse.Namespace, assessment: Assessment) -> None:
    """The bearing schedule and the worst places, where they are asked for."""
    from ..report.member.units import MemberUnits

    envelope, request = assessment.envelope, assessment.request
    units = MemberUnits(request.units)
    if options.bearings:
        assert envelope is not None  # it was asked for
        if options.bearings.lower().endswith(".csv"):
            from ..report.influence.bearing_schedule import write_schedule_csv

            write_schedule_csv(envelope, units, options.bearings)
        else:
            from ..report.influence.bearing_plan import plot_bearings
            from ..report.section.figure import save

            save(plot_bearings(envelope, units), options.bearings)
    if options.places:
        if envelope is None or not assessment.arrangements:
            raise InputError(
                "--places draws moving loads that a combination names, or patterns of several "
                "cases; this file has none"
            )
        from ..report.influence.place_strips import plot_places
        from ..report.section.figure import save

        loads = (request.vehicles, request.crowds)
        save(plot_places(envelope, assessment.arrangements, loads, units), options.places)


def solved_sections(assessment: Assessment) -> list[tuple[str, SectionResult]]:
    """The solved sections of a member by name; those given by their figures alone are not."""
    sections = assessment.request.sections
    return [(name, s.result) for name, s in sections.items() if s.result is not None]


def _run_stages(options: argparse.Namespace, request: MemberRequest, paths: list[str]) -> None:
    """The same of a member built in stages."""
    from ..report.stages.every_bolt import found_stage_joints
    from ..report.stages.passages import staged_table
    from ..report.stages.record import staged_json

    for word in ("csv", "reactions", "mode", "bearings", "places"):
        if getattr(options, word):
            raise InputError(
                f"--{word} holds a member that is loaded at once; of stages, --json holds all "
                "that is known"
            )
    with about(options.file):
        staged = staged_of(request)
        found_stage_joints(staged)
        shown = None
        if options.combination is not None:
            names = staged.names
            if options.combination not in names:
                raise InputError(
                    f"combination {options.combination!r} was not solved; solved are "
                    f"{', '.join(names)}"
                )
            shown = names.index(options.combination)
    if options.figure:
        from ..report.section.figure import save
        from ..report.stages.figure import plot_stages

        save(plot_stages(staged, shown), options.figure)
    if options.joints:
        from ..report.member.joint_passage import write_held_joints

        write_held_joints(found_stage_joints(staged), options.joints)
    if options.json:
        print(staged_json(staged))
    else:
        print(staged_table(staged), end="")
        for path in paths:
            print(f"written to {path}")
    check_accuracy([(n, s.result) for n, s in request.sections.items() if s.result is not None])


def staged_of(request: MemberRequest) -> StagedAssessment:
    """Solve a member stage by stage."""
    from ..solver.member.staged.assessment import assess_stages

    with waiting("solving the stages"):
        return assess_stages(request)


def assessed(request: MemberRequest, *, cures: bool = True, envelope: bool = False) -> Assessment:
    """Solve a member that is loaded at once."""
    from ..solver.member.review.assessment import assess

    with waiting("solving the member"):
        return assess(request, cures=cures, envelope=envelope)


def _shown(assessment: Assessment, name: str | None) -> int | None:
    """Number of the combination that the figure shows, None to let the figure choose."""
    return None if name is None else assessment.solution.column(name)


def _bearing_path(text: str) -> str:
    return text if Path(text).suffix.lower() == ".csv" else figure_path(text)
