"""`soapfilm joint FILE [ACTION...]`: a joint alone, or the joints of a file under its cases."""

from __future__ import annotations

import argparse
import math
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from .failure import about
from .options import csv_path, figure_path, outputs

if TYPE_CHECKING:
    from ..solver.joint.detail import JointDetail
    from ..solver.joint.joint_file import JointCase, JointFile
    from ..solver.joint.sharing import JointShare

#: Turns beyond this are none of a linear spring.
_MOST_TURN = math.radians(30)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument("file", metavar="FILE", help="joint file or member file (.toml)")
    parser.add_argument(
        "actions",
        nargs="*",
        default=[],
        metavar="ACTION",
        help='like "V = 60 kN" (downward); F_x, F_y, F_z, M_x, M_y, M_z at the bolts; '
        "left out: the file's cases",
    )
    parser.add_argument("--joint", metavar="NAME", help="this joint of the file only")
    parser.add_argument("--case", metavar="NAME", help="this case of the file only")
    parser.add_argument(
        "--at",
        choices=("bolts", "face"),
        default="bolts",
        help="where typed actions act: at the bolts (default) or at the face of the support",
    )
    parser.add_argument(
        "--turn",
        metavar="ANGLE",
        help='what each detail makes of a turn between the members, like "0.5 deg"',
    )
    parser.add_argument(
        "--figure",
        metavar="PATH",
        type=figure_path,
        help="draw the first joint and case that are shown (.svg, .png or .pdf)",
    )
    parser.add_argument(
        "--csv", metavar="PATH", type=csv_path, help="write every bolt and weld (.csv)"
    )
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object instead of the table"
    )


def run(options: argparse.Namespace) -> None:
    """Lay the joints out, share what acts on them, print and write what was asked for."""
    paths = outputs(options, "--figure", "--csv")
    with about(options.file):
        from ..solver.joint.given_turn import turn_effects
        from ..solver.joint.joint_file import load_joints
        from ..solver.joint.library import joint_detail

        file = load_joints(options.file)
        specs = [file.spec(options.joint)] if options.joint else list(file.specs)
        details = [joint_detail(spec) for spec in specs]
    turn = None
    if options.turn is not None:
        turn = file.units.read(options.turn, "angle", what="--turn", bare="deg")
        if not 0 < turn <= _MOST_TURN:
            raise InputError(
                f"--turn must be an angle above zero and at most {math.degrees(_MOST_TURN):.0f} "
                f"deg, as springs and slip are those of small turns; got {options.turn}"
            )
    shares = _shares(options, file, details)
    effects = [] if turn is None else [(turn, turn_effects(spec, turn)) for spec in specs]
    _write(options, shares, file)
    if options.json:
        from ..report.joint.record import joints_json

        print(joints_json(details, shares, effects))
        return
    from ..report.joint.table import joint_table

    print(joint_table(details, shares, effects, file.units), end="")
    for path in paths:
        print(f"written to {path}")


def _shares(
    options: argparse.Namespace, file: JointFile, details: list[JointDetail]
) -> list[JointShare]:
    from ..solver.joint.sharing import share

    cases = _cases(options, file)
    with about(options.file):
        return [
            share(detail, case.on(detail))
            for detail in details
            for case in cases
            if case.joint in ("", detail.name)
        ]


def _cases(options: argparse.Namespace, file: JointFile) -> tuple[JointCase, ...]:
    if options.actions:
        if options.case:
            raise InputError("--case chooses among the file's cases; leave out the typed actions")
        return (_typed(options, file),)
    if options.case is None:
        return file.cases
    found = tuple(case for case in file.cases if case.name == options.case)
    if not found:
        names = ", ".join(dict.fromkeys(case.name for case in file.cases)) or "none"
        raise InputError(f"there is no case {options.case!r}; the file has {names}")
    return found


def _typed(options: argparse.Namespace, file: JointFile) -> JointCase:
    from ..geometry.section_file.entry import Entry
    from ..solver.joint.joint_file import case_of

    table: dict[str, str] = {"at": options.at}
    for text in options.actions:
        name, equals, value = text.partition("=")
        if not equals or not name.strip() or not value.strip():
            raise InputError(f'{text!r} is no action; write it like "V = 60 kN"')
        if name.strip() in table:
            raise InputError(f"{name.strip()} is given twice")
        table[name.strip()] = value.strip()
    return case_of(Entry("action", 0, table, file.units), "typed actions")


def _write(options: argparse.Namespace, shares: list[JointShare], file: JointFile) -> None:
    if not (options.figure or options.csv):
        return
    if not shares:
        raise InputError('nothing acts; give an action like "V = 60 kN", or [[case]] in the file')
    if options.figure:
        from ..report.joint.figure import plot_joint
        from ..report.section.figure import save

        save(plot_joint(shares[0], file.units), options.figure)
    if options.csv:
        from ..report.joint.record import write_joint_csv

        write_joint_csv([("", found) for found in shares], options.csv)
