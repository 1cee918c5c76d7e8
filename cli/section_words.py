"""Sections as words on the command line: a file, or the designation of a rolled shape."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from ..geometry.errors import InputError
from .failure import about
from .loading import in_one_piece
from .options import drawing_words

if TYPE_CHECKING:
    from ..geometry.section import Section

#: Endings of files, so that a misspelt path is not sought among the rolled shapes.
_FILES = (".toml", ".dxf", ".svg", ".geojson", ".json", ".wkt", ".ifc", ".step", ".stp")


def named_section(word: str, options: argparse.Namespace, material: str | None) -> Section:
    """The section that a word names.

    Parameters
    ----------
    word : str
        Path of a section file or drawing, or a designation like "W10X49".
    options : Namespace
        With those of `options.drawings`, which drawings follow; a section file says them itself.
    material : str, optional
        Grade for parts that name no material.
    """
    with about(word):
        section = in_one_piece(_read(word, options))
        from ..geometry.checks.validate import check

        check(section)  # here, where the file's name is known
        return _filled(section, material)


def _read(word: str, options: argparse.Namespace) -> Section:
    if not _is_file(word):
        return _rolled(word)
    from ..geometry.section_file.section_file import load_section

    if word.lower().endswith(".toml"):
        return load_section(word)
    return load_section(word, **drawing_words(options))


def material_option(parser: argparse.ArgumentParser) -> None:
    """--material GRADE."""
    parser.add_argument(
        "--material",
        metavar="GRADE",
        help="generic grade, like S355, for sections that name no material",
    )


def _is_file(word: str) -> bool:
    return Path(word).exists() or Path(word).suffix.lower() in _FILES


def _rolled(word: str) -> Section:
    from ..geometry.catalogue import shape

    try:
        return shape(word)
    except InputError as error:
        raise InputError(f"there is no such file, and {error}") from error


def _filled(section: Section, grade: str | None) -> Section:
    """The section with a grade on the parts that name none."""
    if grade is None or all(r.material.specified for r in section.regions):
        return section
    from ..geometry.grades import generic_material
    from ..geometry.units import Units

    if not section.unit:
        raise InputError("a material needs the section's length unit; give --unit")
    material = generic_material(grade, Units(section.unit))
    regions = tuple(
        r if r.material.specified else replace(r, material=material) for r in section.regions
    )
    return replace(section, regions=regions)
