"""Sections as words on the command line: a file, or the designation of a rolled shape."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from .failure import about
from .loading import in_one_piece
from .options import drawing_words

if TYPE_CHECKING:
    from ..geometry.section import Section


def section_by_word(word: str, options: argparse.Namespace, material: str | None) -> Section:
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
        from ..geometry.grades import with_material

        check(section)  # here, where the file's name is known
        return with_material(section, material)


def _read(word: str, options: argparse.Namespace) -> Section:
    from ..geometry.section_file.named_section import named_section, names_file

    if word.lower().endswith(".toml") or not names_file(word):  # no drawing among the others
        return named_section(word)
    return named_section(word, **drawing_words(options))
