"""What a file is, by the tables that only files of its kind have."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..errors import InputError

#: Tables and keys of other files than a section's, and the command that reads each kind.
_OTHERS = (
    ("parameter", "a study file", "soapfilm sweep"),
    ("candidates", "a size file", "soapfilm size"),
    ("span", "a member file", "soapfilm member"),
    ("case", "a file of load cases", "soapfilm stress SECTION --cases"),
)


def refuse_other_kinds(table: Mapping[str, Any]) -> None:
    """Name the right command for a file that is no section.

    Raises
    ------
    InputError
        When the tables are those of a study, a member or load cases.
    """
    for key, kind, command in _OTHERS:
        if key in table:
            if kind == "a study file" and "member" in table and "section" in table:
                kind, command = "a size file", "soapfilm size"
            raise InputError(f"this is {kind}, not a section; use: {command}")


def kind_of(table: Mapping[str, Any]) -> str:
    """One of "member", "size", "study", "joints", "cases" or "section".

    >>> kind_of({"unit": "mm", "span": []}), kind_of({"shape": []})
    ('member', 'section')
    """
    if "span" in table or "segment" in table:
        return "member"
    if "candidates" in table or ("member" in table and "section" in table):
        return "size"
    for key, kind in (("parameter", "study"), ("joint", "joints"), ("case", "cases")):
        if key in table:
            return kind
    return "section"
