"""What can be put on a member where its marker stands: tables written after those of their kind."""

from __future__ import annotations

import re

from ..geometry.errors import InputError
from ..geometry.section_file.text import parsed
from ..geometry.units import Units

#: A station as the page writes it.
_STATION = re.compile(r"\d+(?:\.\d+)?(?:e-?\d+)? (?:mm|cm|m|in|ft)")
#: Tables in metric and in American units; numbers to begin with, for the hand to change.
_TABLES = {
    "diaphragm": ('thickness = "10 mm"', 'thickness = "0.4 in"'),
    "support": ('name = "post"\nkind = "fork"', 'name = "post"\nkind = "fork"'),
    "load": (
        'name = "added load"\nweight = "10 kN"\nplace = "shear centre"',
        'name = "added load"\nweight = "2 kip"\nplace = "shear centre"',
    ),
}


def added(text: str, what: str, at: str) -> str:
    """The text with a diaphragm, support or load at a station.

    Raises
    ------
    InputError
        For anything else, a station that is none, or a text that is not TOML.
    """
    if what not in _TABLES:
        raise InputError(f"a member takes {', '.join(_TABLES)} by hand, not {what[:40]!r}")
    if not _STATION.fullmatch(at):
        raise InputError(f"a station is a length, not {at[:40]!r}")
    metric = Units(parsed(text).get("unit", "mm")).metric
    keys = _TABLES[what][0 if metric else 1]
    table = f'[[{what}]]\nat = "{at}"\n{keys}'
    lines = text.rstrip().splitlines()
    place = _after(lines, f"[[{what}]]")
    return "\n".join([*lines[:place], "", table, *lines[place:]]).rstrip() + "\n"


def _after(lines: list[str], heading: str) -> int:
    """The line after the last table of a kind and its comments; the end where there is none."""
    own = [k for k, line in enumerate(lines) if line.startswith(heading)]
    if not own:
        return len(lines)
    place = own[-1] + 1
    for k in range(place, len(lines)):
        if lines[k].startswith("["):
            break
        if lines[k].strip() and not lines[k].startswith("#"):
            place = k + 1
    return place
