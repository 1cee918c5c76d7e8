"""Sections by a word: the path of a file, or the designation of a rolled shape."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ..errors import InputError
from ..section import Section
from .section_file import load_section

#: Endings of files, so that a misspelt path is not sought among the rolled shapes.
_FILES = (".toml", ".dxf", ".svg", ".geojson", ".json", ".wkt", ".ifc", ".step", ".stp")


def named_section(
    word: str, unit: str | None = None, arcs_within: str | None = None, *,
    gap: str | None = None, layers: Sequence[str] | None = None, profile: str | None = None,
) -> Section:  # fmt: skip
    """The section that a word names.

    Parameters
    ----------
    word : str
        Path of a section file or drawing, or a designation like "W10X49" or "HEB300".
    unit, arcs_within, gap, layers, profile
        How a drawing is read, as in `load_section`; a rolled shape takes none of them.

    Raises
    ------
    InputError
        As `load_section`; for a word that is neither, with the nearest designations.

    Examples
    --------
    >>> named_section("W10X49").unit, named_section("heb 300").name
    ('in', 'HEB300')
    """
    if names_file(word):
        return load_section(word, unit, arcs_within, gap=gap, layers=layers, profile=profile)
    from ..catalogue import shape

    try:
        found = shape(word)
    except InputError as error:
        raise InputError(f"there is no such file, and {error}") from error
    if unit or arcs_within or gap or layers or profile:
        raise InputError(
            f"{found.name} is a rolled shape of the catalogue, exact and in {found.unit}; --unit, "
            "--arcs-within, --gap, --layer and --profile are for drawings (--output-unit changes "
            "the unit of results)"
        )
    return found


def names_file(word: str) -> bool:
    """Whether a word is meant as a path: there is such a file, or it ends like one.

    >>> names_file("W10X49"), names_file("L4X4X1/2"), names_file("deck.dxf")
    (False, False, True)
    """
    return Path(word).suffix.lower() in _FILES or Path(word).exists()
