"""Options that say what acts on a section and what it can bear, shared by several commands."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import TYPE_CHECKING

from ..geometry.errors import InputError

if TYPE_CHECKING:
    from ..geometry.section import Section
    from ..geometry.units import Units
    from ..solver.section.stress.actions import Actions


#: What an action is written like.
ACTION = 'like "V_y = 120 kN"; N, M_x, M_y, V_x, V_y, T, T_w (warping torque), B (bimoment)'


def more_of_cases(parser: argparse.ArgumentParser) -> None:
    """--cases and --through."""
    parser.add_argument("--cases", metavar="FILE", help="TOML file of load cases")
    parser.add_argument(
        "--through",
        metavar="X,Y",
        help='point the shear acts through, like "40 mm, 0 mm" (default: the shear centre)',
    )


def is_action(word: str) -> bool:
    """Whether a word is an action, or meant to be one: before its equals sign stands the symbol of
    an action, or behind it a quantity."""
    from ..geometry.quantity import split
    from ..solver.section.stress.actions import SYMBOLS

    symbol, equals, value = (part.strip() for part in word.partition("="))
    quantity = split(value)  # an address that starts with a number has a point further on
    return bool(equals) and (symbol in SYMBOLS or (quantity is not None and "." not in quantity[1]))


def case_options(parser: argparse.ArgumentParser) -> None:
    """ACTION..., --cases, --through, --strength and --factor."""
    parser.add_argument("actions", nargs="*", default=[], metavar="ACTION", help=ACTION)
    more_of_cases(parser)
    parser.add_argument(
        "--strength", metavar="S", help='yield strength of every material, like "355 MPa"'
    )
    parser.add_argument(
        "--factor",
        type=float,
        help="factor on the von Mises stress in the utilisation (default 1)",
    )


def given_cases(
    options: argparse.Namespace, units: Units, without: str = ""
) -> tuple[Actions, ...]:
    """The load cases that were typed or are in --cases; none when neither was given. The action
    `without`, which the command refuses by itself, is not offered."""
    if options.cases and (options.actions or options.through):
        raise InputError("give the actions either on the command line or in --cases, not both")
    if not options.cases and not options.actions:
        return ()
    from ..solver.section.stress.actions import SYMBOLS
    from ..solver.section.stress.case_file import load_cases, typed_case

    if options.cases:
        return load_cases(options.cases, units)
    known = [symbol for symbol in SYMBOLS if symbol != without]
    return (typed_case(options.actions, options.through, units, known),)


def with_strength(
    section: Section, strength: str | None, factor: float | None, units: Units
) -> Section:
    """The section with --strength on every material."""
    regions = section.regions
    if strength is not None:
        value = units.read(strength, "stress", what="--strength")
        regions = tuple(replace(r, material=replace(r.material, strength=value)) for r in regions)
    if factor is not None and any(r.material.strength is None for r in regions):
        raise InputError(
            "--factor needs a strength: name materials with one in the file, or give --strength"
        )
    return replace(section, regions=regions)
