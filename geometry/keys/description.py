"""How a key is described: what it holds, in words, with its default and an example.

The names of what a key may hold (`Key.holds`):

- "length": a number in the file's unit, or a text with its own, "12 mm";
- a name of `Units`, like "force" or "moment": a text with its unit, "12 kN*m";
- "number", "whole number", "text", "true or false", "angle", "list", "table";
- "position": a length from the start, or words, "end of span 1"; "positions": one or a list;
- "point": [x, y], a name of [points], or a face of the section in words, "top, 40 mm from left";
- "freedom": "held", "free" or a stiffness; "choice": one of `Key.choices`; "anything".
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib import import_module

#: Kinds of files, and the module of this room that describes each.
FILES: Mapping[str, str] = {
    "section": "section_keys",
    "member": "member_keys",
    "joint": "joint_keys",
    "study": "study_keys",
    "size": "size_keys",
}


@dataclass(frozen=True, slots=True)
class Key:
    """One key.

    Attributes
    ----------
    name : str
    holds : str
        As listed above.
    words : str
        What it means, from a small letter on and without a full stop.
    default : str
        What holds when it is left out; "" where nothing does, or that depends.
    example : str
        As it stands after the equals sign.
    choices : tuple of str
    needed : bool
        Whether the table is nothing without it.
    """

    name: str
    holds: str
    words: str
    default: str = ""
    example: str = ""
    choices: tuple[str, ...] = ()
    needed: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """One table.

    Attributes
    ----------
    name : str
        "" for the keys at the top of the file.
    form : str
        "top", "single" ([name]), "list" ([[name]]), "named" ([name.YOURS]) or "inner" (written
        inside another table's key).
    words : str
        What it describes.
    keys : tuple of Key
    free : str
        What further keys it may have, in words; "" where it has none.
    """

    name: str
    form: str
    words: str
    keys: tuple[Key, ...] = field(default_factory=tuple)
    free: str = ""

    @property
    def heading(self) -> str:
        """How it is written in a file.

        >>> Table("load", "list", "what acts").heading
        '[[load]]'
        """
        return {
            "top": "at the top of the file",
            "single": f"[{self.name}]",
            "list": f"[[{self.name}]]",
            "named": f"[{self.name}.NAME]",
            "inner": "{ ... }",
        }[self.form]


@dataclass(frozen=True, slots=True)
class FileKind:
    """One kind of file: its name, the command that reads it, and its tables."""

    name: str
    command: str
    words: str
    tables: tuple[Table, ...]

    def named(self, name: str) -> Table:
        """The table of a name; "" has the keys at the top.

        Raises
        ------
        LookupError
            When there is none.
        """
        for table in self.tables:
            if table.name == name:
                return table
        raise LookupError(f"a {self.name} file has no table {name!r}")


def file_kind(name: str) -> FileKind:
    """The description of a kind of file, loaded when it is asked for.

    Parameters
    ----------
    name : str
        A key of `FILES`.
    """
    kind: FileKind = import_module(f".{FILES[name]}", __package__).FILE
    return kind
