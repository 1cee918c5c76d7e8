"""The section a command was given, in the unit its results are asked in."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from .options import LENGTH_UNITS, drawing_words

if TYPE_CHECKING:
    from ..geometry.section import Section


def output_unit(parser: argparse.ArgumentParser) -> None:
    """--output-unit: results in another unit than the file's."""
    parser.add_argument(
        "--output-unit",
        choices=LENGTH_UNITS,
        help="length unit of the results; forces follow it, kN and MPa or kip and ksi "
        "(default: the file's)",
    )


def material_option(parser: argparse.ArgumentParser) -> None:
    """--material GRADE."""
    parser.add_argument(
        "--material",
        metavar="GRADE",
        help="generic grade, like S355, for sections that name no material",
    )


def section_of(options: argparse.Namespace) -> Section:
    """Read options.file, give it --material and bring it to --output-unit.

    Raises
    ------
    InputError
        For a mistake in the file, told in the file's own unit.
    """
    from ..geometry.grades import with_material
    from ..geometry.section_file.named_section import named_section

    section = named_section(options.file, **drawing_words(options))
    given, section = section, with_material(section, options.material)
    if options.material and section is given:
        note = f"--material {options.material} is not used: every part names a material of its own"
        section = replace(section, notes=(*section.notes, note))
    return shown_in(section, options.output_unit)


def keep_sections() -> None:
    """Sections that deform are kept on disk between runs."""
    from ..solver.section.deforming.recent import keep_on_disk
    from ..solver.study.run.cache import default_folder

    folder = default_folder()
    keep_on_disk(None if folder is None else folder / "deforming")


def shown_in(section: Section, unit: str | None) -> Section:
    """The section in the unit that is asked for, which a note tells.

    Raises
    ------
    InputError
        For a section that is not valid, told in its own unit.
    """
    if unit is None or unit == section.unit:
        return section
    from ..geometry.checks.contact_only import contact_only_parts
    from ..geometry.checks.validate import check
    from ..geometry.conversion import in_unit

    for body in contact_only_parts(section):
        check(body)  # before places in messages would be in another unit than the file's
    note = f"read in {section.unit}, shown in {unit}; notes keep the file's unit"
    converted = in_unit(section, unit)
    return replace(converted, notes=(*section.notes, note))


def in_one_piece(section: Section) -> Section:
    """The section, unless its parts are in contact only.

    Raises
    ------
    InputError
        Then, with the command that tells what such parts have in common.
    """
    from ..geometry.checks.contact_only import contact_only_parts

    if len(contact_only_parts(section)) > 1:
        raise InputError(
            "the parts are in contact only and not connected, so they have no common stress, shear "
            "centre or warping; weld them, or see what they have in common with: soapfilm section"
        )
    return section
