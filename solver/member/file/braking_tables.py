"""Horizontal forces along the member of what travels.

::

    [[braking]]
    of = "crowd"                   # a crowd or a vehicle of the file
    share = 0.1                    # of its whole weight; default 0.1 of a crowd, 0.6 of a vehicle
    place = [0, 0]                 # a point of the section at the level of the deck
    case = "crowd along"           # default: its name and "along"

The shares are those of EN 1991-2, 5.4, for footbridges, from memory. The force of a whole crowd, or
of a vehicle without its dynamic factor, is spread over the member's length, toward its end for a
factor above zero. Sets of combinations let it act with what it comes from, by the same factor, one
way or the other; own combinations name its case.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ..model.load import LineLoad
from ..model.moving import Crowd, Vehicle
from .positions import Points

#: Of the whole weight, from memory of EN 1991-2, 5.4.
CROWD_SHARE, VEHICLE_SHARE = 0.1, 0.6


@dataclass(frozen=True, slots=True)
class Braking:
    """A horizontal force and the name of what it comes from."""

    of: str
    load: LineLoad


def brakings_of(
    entry: Entry,
    points: Points,
    length: float,
    vehicles: Sequence[Vehicle],
    crowds: Sequence[Crowd],
) -> list[Braking]:
    """The force of one table on a member of some length."""
    entry.need("of", '"crowd"')
    of = entry.text("of")
    named: dict[str, Vehicle | Crowd] = {}
    named.update({one.name: one for one in vehicles})
    named.update({one.name: one for one in crowds})
    if of not in named:
        raise InputError(
            f"of: there is no vehicle or crowd {of[:60]!r}; the file has "
            f"{', '.join(named) or 'none'}"
        )
    source = named[of]
    own = CROWD_SHARE if isinstance(source, Crowd) else VEHICLE_SHARE
    share = entry.plain("share", own) or 0.0
    case = entry.text("case", f"{of} along")
    entry.need("place", "[0, 0]")
    place = points.where(entry, "place")
    entry.close()
    if not 0 < share < math.inf:
        raise InputError(f"share is positive, got {share:g}")
    if isinstance(source, Crowd):
        along = source.pressure * sum(width for _, width in source.strips)
    else:
        count = source.at_once or len(source.lanes) or 1
        along = count * sum(axle.force for axle in source.axles) / length
    load = LineLoad(0.0, length, (0.0, 0.0, share * along), place=place, case=case, name=case)
    return [Braking(of, load)]
