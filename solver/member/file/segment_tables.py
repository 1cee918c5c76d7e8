"""Which section a member has where: [[segment]] tables in order, or its only section all along."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from itertools import pairwise

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry, naming
from ..model.axis import Axis
from ..model.folding import tight_curves
from ..model.member import Segment
from ..model.solved_section import SolvedSection
from .positions import Along
from .section_tables import Sections

#: Pieces of a taper unless the file says otherwise: their larger end is at most a quarter of the
#: whole change away from the section that is really there.
_PARTS, _MOST = 4, 32


def segments_of(entries: Sequence[Entry], along: Along, sections: Sections) -> tuple[Segment, ...]:
    """Segments from the start of the member to its end."""
    if not entries:
        if len(sections.names) > 1:
            raise InputError(
                f"segment is missing; the file defines {', '.join(sections.names)}: write "
                f'[[segment]] and below it section = "{sections.names[0]}"'
            )
        return (Segment(0.0, along.length, sections.solved(sections.names[0]).constants),)
    found: list[Segment] = []
    reach = 0.0
    for entry in entries:
        with naming(entry.label):
            start = along.position(entry, "from", reach)
            end = along.position(entry, "to", along.length)
            entry.need("section", f'"{sections.names[0]}"')
            chain = [_named(entry, "section", sections)]
            if entry.has("taper_to"):
                last = _named(entry, "taper_to", sections)
                chain = sections.tapered(chain[0].name, last.name, _parts(entry))
            entry.text("name")
            entry.close()
            if abs(start - reach) > 1e-9 * along.length:
                raise InputError(
                    f"from {along.shown(start)} leaves a gap or overlaps: the segment before ends "
                    f"at {along.shown(reach)}"
                )
            if not end > reach:
                raise InputError(f"to must lie beyond {along.shown(reach)}, where it starts")
            found += _chained(reach, end, chain)
            reach = end
    if reach < along.length * (1 - 1e-9):
        raise InputError(
            f"the segments end at {along.shown(reach)}, the member at "
            f"{along.shown(along.length)}; add one or leave the last `to` out"
        )
    return tuple(found)


def _parts(entry: Entry) -> int:
    """Key `taper_parts`: how many pieces of a taper have solved sections at both ends."""
    parts = entry.plain("taper_parts", _PARTS)
    if parts is None or parts not in range(1, _MOST + 1):
        raise InputError(f"taper_parts is a whole number from 1 to {_MOST}, got {parts:g}")
    return int(parts)


def _chained(start: float, end: float, chain: Sequence[SolvedSection]) -> list[Segment]:
    """One segment of a section, or tapers from each section of the chain to the next."""
    if len(chain) == 1:
        return [Segment(start, end, chain[0].constants)]
    n = len(chain) - 1
    ends = [start + (end - start) * k / n for k in range(n)] + [end]
    return [
        Segment(a, b, p.constants, q.constants)
        for (a, b), (p, q) in zip(pairwise(ends), pairwise(chain), strict=True)
    ]


def check_radii(axis: Axis, along: Along, segments: Sequence[Segment], x: float) -> None:
    """A curve's centre lies beyond the section's inner side, seen from the axis at x of it."""
    for one in tight_curves(axis, segments, x):
        middle = (one.start + one.end) / 2
        span = next(n for n, (_, b) in enumerate(along.spans, 1) if middle < b)
        raise InputError(
            f"span {span}: radius {along.shown(one.radius)} is not larger than the "
            f"{along.shown(one.reach)} from the axis to the inner side of section "
            f"{one.section!r}, which would fold; give a larger radius"
        )


def _named(entry: Entry, key: str, sections: Sections) -> SolvedSection:
    name = entry.text(key)
    if name not in sections.names:
        near = difflib.get_close_matches(name, sections.names, n=1)
        hint = f"did you mean {near[0]!r}?" if near else f"there are {', '.join(sections.names)}"
        raise InputError(f"{key}: there is no section {name[:60]!r}; {hint}")
    return sections.solved(name)
