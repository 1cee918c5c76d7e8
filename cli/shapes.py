"""`soapfilm shapes`: the catalogue of rolled shapes, searched, listed, and set beside solutions."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from .failure import check_accuracy
from .loading import output_unit
from .options import accuracy
from .progress import shown

if TYPE_CHECKING:
    from ..geometry.catalogue import Listing
    from ..report.section.shapes_table import SolvedShape


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's options."""
    parser.add_argument(
        "shape",
        nargs="*",
        metavar="SHAPE",
        help="designations to solve, like W10X49 or HEB200; none: list the families, or search",
    )
    parser.add_argument("--family", metavar="F", help="only this family, like W, HSS or IPE")
    parser.add_argument(
        "--depth", metavar="RANGE", help='like "10 to 12 in", "from 300 mm" or "up to 1 ft"'
    )
    parser.add_argument("--torsion", metavar="RANGE", help='tabulated J, like "2 to 5 in^4"')
    parser.add_argument(
        "--weight", metavar="RANGE", help='like "up to 60 kg/m" or "20 to 30 lb/ft"'
    )
    parser.add_argument(
        "--solve", action="store_true", help="solve the shapes found: J beside the tabulated one"
    )
    output_unit(parser)
    accuracy(parser)
    parser.add_argument("--json", action="store_true", help="print JSON instead of the table")


def run(options: argparse.Namespace) -> None:
    """List families, search, or solve the named shapes."""
    filters = (options.family, options.depth, options.torsion, options.weight)
    if options.shape and any(f is not None for f in filters):
        raise InputError("give either designations or filters (--family, --depth, ...), not both")
    if options.shape:
        _named(options)
    elif any(f is not None for f in filters):
        _found(options)
    elif options.solve:
        raise InputError("--solve needs shapes: give designations, or filters like --family W")
    elif options.json:
        from ..report.section.shapes_record import families_json

        print(families_json())
    else:
        from ..report.section.shapes_table import families_table

        print(families_table())
        print("List a family: soapfilm shapes --family W --depth '10 to 12 in'")
        print("Solve a shape beside its table: soapfilm shapes W10X49")


def _named(options: argparse.Namespace) -> None:
    from ..geometry.catalogue import listing

    solved = _solved([listing(word) for word in options.shape], options)
    if options.json:
        from ..report.section.shapes_record import solved_json

        print(solved_json(solved))
    else:
        from ..report.section.shapes_table import shape_detail

        print("\n".join(shape_detail(shape) for shape in solved), end="")
    _check(solved)


def _found(options: argparse.Namespace) -> None:
    shapes = _search(options)
    if not shapes:
        raise InputError("no shape lies in these ranges; widen one of them")
    solved = _solved(shapes, options) if options.solve else None
    if options.json:
        from ..report.section import shapes_record

        print(shapes_record.solved_json(solved) if solved else shapes_record.shapes_json(shapes))
    else:
        from ..report.section.shapes_table import shapes_list

        print(shapes_list(shapes, options.output_unit, solved), end="")
    _check(solved or ())


def _check(solved: Sequence[SolvedShape]) -> None:
    """Fail, after all is printed, where an accuracy asked for was missed."""
    check_accuracy((shape.listing.designation, shape.result) for shape in solved)


def _search(options: argparse.Namespace) -> list[Listing]:
    from ..geometry.catalogue import search
    from ..geometry.units import Units
    from .ranges import read_range

    units = Units("mm")
    low, high = read_range(options.weight, "mass per length", units, "--weight")
    # kilograms per millimetre, as Units("mm") has them, to kilograms per metre
    weight = tuple(None if v is None else 1000 * v for v in (low, high))
    return search(
        options.family,
        depth=read_range(options.depth, "length", units, "--depth"),
        torsion_constant=read_range(options.torsion, "second moment", units, "--torsion"),
        weight=(weight[0], weight[1]),
        unit="mm",
    )


def _solved(shapes: Sequence[Listing], options: argparse.Namespace) -> list[SolvedShape]:
    from ..geometry.conversion import in_unit
    from ..geometry.units import Units
    from ..report.section.shape_comparison import compare
    from ..report.section.shapes_table import SolvedShape
    from ..solver.section import solve_section

    out = []
    for shape in shown(list(shapes), "shapes"):
        unit = options.output_unit or shape.unit
        result = solve_section(in_unit(shape.section(), unit), options.accuracy)
        factor = Units(shape.unit).factor("length", unit)
        out.append(SolvedShape(shape, result, compare(shape, result, factor)))
    return out
