"""Parts put together: added, cut out, or let into what is there.

`boolean` does the exact work; here is decided which regions meet which.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from ..errors import GeometryError
from ..planar.boolean import difference, union
from ..section import Region

#: Part of an area below which a cut has removed nothing.
_NOTHING = 1e-12


def add(regions: Sequence[Region], part: Sequence[Region]) -> list[Region]:
    """The regions with a part added.

    The part's regions merge with earlier ones of the same material where they overlap or share a
    border; beside another material they are bonded to it. Regions of one part stay apart (their
    reader has said how they meet), unless both merge with the same earlier one.
    """
    earlier, fresh = list(regions), []
    for new in part:
        merged = new
        kept = []
        for old in earlier:
            both = _merged(old, merged)
            if both is None:
                kept.append(old)
            else:
                merged = both
        if merged is new:
            fresh.append(new)
            earlier = kept
        else:
            earlier = [*kept, merged]
    return [*earlier, *fresh]


def _merged(old: Region, new: Region) -> Region | None:
    """Both as one region, None when they are of two materials or do not meet."""
    if old.material != new.material or not _boxes_meet(old, new):
        return None
    both = union([replace(old, name="")], [replace(new, name="")])
    return replace(both[0], name=_joined(old.name, new.name)) if len(both) == 1 else None


def cut(regions: Sequence[Region], part: Sequence[Region]) -> list[Region]:
    """The regions without what the part covers.

    Raises
    ------
    GeometryError
        If the part covers none of them, or all.
    """
    left = _without(regions, part)
    before, after = (sum(r.area() for r in group) for group in (regions, left))
    if not before - after > _NOTHING * before:
        raise GeometryError("cuts nothing: it overlaps no part before it; move it or leave it out")
    if not left:
        raise GeometryError("cuts everything away; make it smaller")
    return left


def embed(regions: Sequence[Region], part: Sequence[Region]) -> list[Region]:
    """The regions with a part let into them: it takes the place of what it covers."""
    return add(_without(regions, part), part)


def _without(regions: Sequence[Region], part: Iterable[Region]) -> list[Region]:
    left = list(regions)
    for tool in part:
        pieces: list[Region] = []
        for region in left:
            meet = _boxes_meet(region, tool)
            pieces += difference([region], [tool]) if meet else [region]
        left = pieces
    return left


def _boxes_meet(one: Region, other: Region) -> bool:
    a, b = one.outline.bounds(), other.outline.bounds()
    slack = 1e-6 * max(a[2] - a[0], a[3] - a[1], b[2] - b[0], b[3] - b[1])
    apart = a[2] + slack < b[0] or b[2] + slack < a[0] or a[3] + slack < b[1] or b[3] + slack < a[1]
    return not apart


def _joined(one: str, other: str) -> str:
    names = [name for name in (one, other) if name]
    return " + ".join(dict.fromkeys(names))
