"""`soapfilm influence FILE`: influence lines of a member's results."""

from __future__ import annotations

import argparse

from ..geometry.errors import InputError
from .failure import about
from .loading import keep_sections, output_unit
from .options import csv_path, figure_path, outputs
from .progress import waiting


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument("file", metavar="FILE", help="member file (.toml)")
    output_unit(parser)
    parser.add_argument(
        "--result",
        metavar="WORDS",
        action="append",
        default=[],
        help='"reaction of pier", "bearing 1 of pier", "seat 1 of joint", "M_x at 12 m", '
        '"twist at middle of span 2", '
        '"displacement of outer edge at middle", "stress of [0, -0.9] at 12 m"; may be given '
        "several times (default: bearings and reactions; M_x, T and twist of every span)",
    )
    parser.add_argument(
        "--line",
        metavar="POINT",
        action="append",
        default=[],
        help="point of the section along which the load travels: its name or [x, y]; several make "
        "a surface (default: all points that the file names)",
    )
    parser.add_argument(
        "--load", metavar="FORCE", help="the single load, downward (default: 1 kN, or 1 kip)"
    )
    parser.add_argument(
        "--figure", metavar="PATH", type=figure_path, help="draw the lines (.svg, .png or .pdf)"
    )
    parser.add_argument(
        "--map",
        metavar="PATH",
        type=figure_path,
        help="draw influence surfaces over the deck (.svg, .png or .pdf); without --line the load "
        "travels on lines all over its width",
    )
    parser.add_argument("--csv", metavar="PATH", type=csv_path, help="write all ordinates (.csv)")
    parser.add_argument(
        "--json", action="store_true", help="print one JSON object instead of the table"
    )


def run(options: argparse.Namespace) -> None:
    """Solve, print, write."""
    paths = outputs(options, "--figure", "--map", "--csv")
    keep_sections()
    with about(options.file), waiting("finding the influence lines"):
        from ..report.influence.result import influence_in_words
        from ..solver.member.file import load_member

        request = load_member(options.file, options.output_unit)
        load = options.load or ("1 kN" if request.units.metric else "1 kip")
        surface = options.map is not None
        if surface and len(options.line) == 1:
            raise InputError(
                "a surface needs two lines at least; leave --line out for the whole deck"
            )
        result = influence_in_words(request, options.result, options.line, load, surface=surface)
    if options.figure:
        from ..report.influence.figure import plot_influence
        from ..report.section.figure import save

        save(plot_influence(result), options.figure)
    if options.map:
        from ..report.influence.surface_map import plot_surface
        from ..report.section.figure import save

        save(plot_surface(result), options.map)
    if options.csv:
        from ..report.influence.record import write_influence_csv

        write_influence_csv(result, options.csv)
    if options.json:
        from ..report.influence.record import influence_json

        print(influence_json(result))
        return
    from ..report.influence.table import influence_table

    print(influence_table(result), end="")
    for path in paths:
        print(f"written to {path}")
