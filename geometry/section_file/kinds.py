"""What a file is, by the tables that only files of its kind have."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..errors import InputError

SECTION, MEMBER, STUDY, SIZES, JOINTS, CASES = (
    "section", "member", "study", "size", "joints", "cases",
)  # fmt: skip
#: What each kind is called, and the command that reads it.
_CALLED = {
    SECTION: ("a section file", "soapfilm section"),
    MEMBER: ("a member file", "soapfilm member"),
    STUDY: ("a study file", "soapfilm sweep"),
    SIZES: ("a size file", "soapfilm size"),
    JOINTS: ("a joint file", "soapfilm joint"),
    CASES: ("a file of load cases", "soapfilm stress SECTION --cases"),
}
#: Tables of which each makes a file one of its kind, the first that is met.
_TABLES = (
    (MEMBER, ("span", "segment", "support")),
    (SIZES, ("catalogue", "candidates")),
    (STUDY, ("parameter",)),
    (SECTION, ("shape", "outline", "plate", "weld", "drawing")),
    (JOINTS, ("joint",)),
    (CASES, ("case",)),
)


def kind_of(table: Mapping[str, Any]) -> str:
    """One of "member", "size", "study", "joints", "cases" or "section".

    >>> kind_of({"unit": "mm", "span": []}), kind_of({"shape": []})
    ('member', 'section')
    """
    return _told(table) or SECTION


def refuse_other_kinds(table: Mapping[str, Any], *own: str) -> None:
    """Name the right command for a file that is of another kind than wanted.

    Raises
    ------
    InputError
        When the tables are those of a study, a member, load cases, ...
    """
    kind = _told(table)
    if kind is not None and kind not in own:
        called, command = _CALLED[kind]
        raise InputError(f"this is {called}, not {_CALLED[own[0]][0]}; use: {command}")


def _told(table: Mapping[str, Any]) -> str | None:
    """The kind as far as the tables tell."""
    for kind, keys in _TABLES:
        if any(key in table for key in keys):
            return SIZES if kind != MEMBER and {"member", "section"} <= set(table) else kind
    return None
