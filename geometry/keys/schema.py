"""JSON Schema of files, by which editors complete and check TOML."""

from __future__ import annotations

from typing import Any

from .description import FileKind, Key, Table

DRAFT = "https://json-schema.org/draft/2020-12/schema"
#: A value that follows from others, "= wall/2 + 10 mm".
_LINKED: dict[str, Any] = {"type": "string", "pattern": "^\\s*="}
_NUMBER = {"anyOf": [{"type": "number"}, _LINKED]}
_LENGTH = {"type": ["number", "string"]}
_PAIR = {"type": "array", "items": _LENGTH, "minItems": 2, "maxItems": 2}
_HOLDS: dict[str, dict[str, Any]] = {
    "number": _NUMBER,
    "whole number": {"anyOf": [{"type": "integer"}, _LINKED]},
    "text": {"type": "string"},
    "true or false": {"type": "boolean"},
    "length": {"anyOf": [_LENGTH, _PAIR]},
    "angle": _LENGTH,
    "list": {"type": "array"},
    "table": {"type": "object"},
    "position": _LENGTH,
    "positions": {"anyOf": [_LENGTH, {"type": "array", "items": _LENGTH}]},
    "point": {"anyOf": [{"type": "string"}, _PAIR]},
    "freedom": {"type": "string"},
    "anything": {},
}


def schema_of(kind: FileKind) -> dict[str, Any]:
    """The schema of a kind of file.

    What a table needs as a whole (a force or a moment, one of two keys) is left to the reader,
    whose messages say more.
    """
    properties: dict[str, Any] = {}
    needed: list[str] = []
    for table in kind.tables:
        if table.form == "top":
            properties |= {key.name: _key(key) for key in table.keys}
            needed += [key.name for key in table.keys if key.needed]
        elif table.form == "list":
            properties[table.name] = {"type": "array", "items": _table(table)}
        elif table.form == "single":
            properties[table.name] = _table(table)
        elif table.form == "named":
            properties[table.name] = {
                "type": "object",
                "description": table.words,
                "additionalProperties": _table(table),
            }
    return {
        "$schema": DRAFT,
        "title": f"soapfilm {kind.name} file",
        "description": kind.words,
        "type": "object",
        "properties": properties,
        "required": needed,
        "additionalProperties": False,
    }


def _table(table: Table) -> dict[str, Any]:
    return {
        "type": "object",
        "description": table.words,
        "properties": {key.name: _key(key) for key in table.keys},
        "required": [key.name for key in table.keys if key.needed],
        "additionalProperties": bool(table.free),
    }


def _key(key: Key) -> dict[str, Any]:
    words = key.words + (f" (default: {key.default})" if key.default else "")
    if key.example:
        words += f", like {key.example}"
    if key.holds == "choice":
        return {"description": words, "enum": list(key.choices)}
    # what is not listed is a quantity with its unit
    return {"description": words, **_HOLDS.get(key.holds, {"type": "string"})}
