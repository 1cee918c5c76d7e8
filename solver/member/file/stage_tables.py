"""Stages of a member file, in the order of building.

::

    [[stage]]
    name = "erection"
    cases = ["self-weight", "wet concrete"]   # applied now, and they stay
    without = ["slab", "prop"]     # supports, springs, decks, diaphragms that are not there yet
    sections = { composite = "girder alone" } # what stands in place of a segment's section

    [[stage]]
    name = "in use"                # cases that no stage names come in the last one
    without = ["prop"]             # taken away: what it held is given back to the member

A section that stands in one stage only is a [section.NAME] like any other; concrete under a load
that stays may take its effective modulus there, `creep = { "C30/37" = 2.0 }`, and its cracked
torsional stiffness, `torsion_factor = 0.3`. Limits may name `stages = ["erection"]`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ..staged.stage import Stage


def stages_of(entry: Entry) -> list[Stage]:
    """One table."""
    entry.need("name", '"erection"')
    stage = Stage(
        entry.text("name"), _names(entry, "cases"), _names(entry, "without"), _sections(entry)
    )
    entry.close()
    return [stage]


def chosen_stages(entry: Entry, known: Sequence[str]) -> tuple[str, ...]:
    """Key `stages` of a limit: names of stages after which it is judged; none stands for all."""
    names = _names(entry, "stages")
    for name in names:
        if name not in known:
            raise InputError(
                f"stages: there is no {name[:60]!r}; "
                + (f"there are {', '.join(known)}" if known else "the file has no [[stage]]")
            )
    return names


def _names(entry: Entry, key: str) -> tuple[str, ...]:
    if not entry.has(key):
        return ()
    names = entry.table[key]
    if not isinstance(names, list) or not all(isinstance(n, str) for n in names):
        raise InputError(f'{key} is a list of names, like ["slab"]')
    return tuple(names)


def _sections(entry: Entry) -> Mapping[str, str]:
    if not entry.has("sections"):
        return {}
    table = entry.table["sections"]
    if not isinstance(table, Mapping) or not all(isinstance(v, str) for v in table.values()):
        raise InputError(
            'sections says what stands for what, like sections = { composite = "girder alone" }'
        )
    return dict(table)
