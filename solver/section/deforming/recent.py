"""Reduced sections asked for lately, under their content: what a study or a page that asks once
and again for the same section need not wait for.

They stay in memory. On disk they would take megabytes each, and reading them about as long as
solving them anew.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Sequence

from ....geometry.section import Section
from .reduced import ReducedSection

#: How many answers are kept; a large section takes some ten megabytes.
KEPT = 8

_LOCK = threading.Lock()
_KNOWN: OrderedDict[Hashable, tuple[ReducedSection, ...]] = OrderedDict()


def recent(
    what: str,
    sections: Sequence[Section],
    options: Hashable,
    solve: Callable[[], tuple[ReducedSection, ...]],
) -> tuple[ReducedSection, ...]:
    """The answer to the same question before, or a new one.

    Parameters
    ----------
    what : str
        Which question it is.
    sections : sequence of Section
    options : hashable
        Everything else that the answer depends on.
    solve : function
        Finds the answer.
    """
    key = (what, tuple(content_of(section) for section in sections), options)
    with _LOCK:
        if key in _KNOWN:
            _KNOWN.move_to_end(key)
            return _KNOWN[key]
    found = solve()
    with _LOCK:
        _KNOWN[key] = found
        while len(_KNOWN) > KEPT:
            _KNOWN.popitem(last=False)
    return found


def content_of(section: Section) -> Hashable:
    """What of a section its solution depends on, exact for every float; names count, for they
    appear in messages."""
    regions = tuple(
        (
            tuple((c.points.tobytes(), c.bulges.tobytes()) for c in region.contours),
            region.material,
        )
        for region in section.regions
    )
    return section.name, section.unit, regions, section.slits
