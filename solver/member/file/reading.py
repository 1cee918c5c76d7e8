"""A member from a file or a text, its sections solved."""

from __future__ import annotations

from os import PathLike
from pathlib import Path

from ....geometry.errors import FileFormatError
from ....geometry.input_file import name_of
from ....geometry.section_file.entry import naming
from ....geometry.section_file.text import parsed, read_text
from .member_file import member_from_table
from .request import MemberRequest


def load_member(path: str | PathLike[str], output_unit: str | None = None) -> MemberRequest:
    """The member in a file, its sections solved.

    Parameters
    ----------
    path : path
    output_unit : str, optional
        Length unit of the results; left out, the file's own.

    Raises
    ------
    FileFormatError, UnitError, InputError
        Every message starts with the path and names the table and the key.
    SolveError
        A section that could not be solved.
    """
    file = Path(path)
    with naming(str(path)):
        if file.suffix.lower() != ".toml":
            raise FileFormatError(
                f"a member file is TOML and ends in .toml, not {file.suffix[:20]!r}; "
                "soapfilm section reads drawings"
            )
        return member_from_toml(
            read_text(file), name=name_of(file), folder=file.parent, output_unit=output_unit
        )


def member_from_toml(
    text: str,
    *,
    name: str = "member",
    folder: str | PathLike[str] = ".",
    output_unit: str | None = None,
) -> MemberRequest:
    """The member that the text of a member file describes; section files are sought in `folder`."""
    return member_from_table(parsed(text), text, name=name, folder=folder, output_unit=output_unit)
