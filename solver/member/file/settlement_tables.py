"""Supports that move, in a member file.

::

    [[settlement]]
    support = "pier 1"             # by its name
    case = "settlement"
    down = "10 mm"                 # or x, y (up), z: the support's point
    twist = "0.1 deg"              # or bend_x, bend_y: rotations about the point

What moves must be held there, rigidly or by a spring, or stand on bearings.
"""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry
from ..model.imposed import Settlement
from ..model.support import Support

_MOVES = ("x", "y", "z")
_TURNS = ("bend_x", "bend_y", "twist")


def settlements_of(entry: Entry, supports: Sequence[Support]) -> list[Settlement]:
    """The settlement of one table."""
    case = entry.text("case", "settlement") or "settlement"
    name = entry.text("name")
    entry.need("support", '"pier" (the name of a support)')
    support = _named(entry.text("support"), supports)
    moves = {key: entry.length(key) or 0.0 for key in _MOVES}
    if entry.has("down"):
        if entry.has("y"):
            raise InputError("give either down or y (upward), not both")
        moves["y"] = -(entry.length("down") or 0.0)
    turns = {key: entry.angle(key) or 0.0 for key in _TURNS}
    entry.close()
    motion = moves | turns
    if not any(motion.values()):
        raise InputError('nothing moves; write down = "10 mm" (or x, y, z, bend_x, bend_y, twist)')
    for freedom, amount in motion.items():
        if amount and not _holds(support, freedom):
            raise InputError(
                f"{support.title} does not hold {freedom}, so its moving does nothing to the "
                f'member; hold it there ({freedom} = "held"), or leave it out'
            )
    x, y, z, a, b, c = motion.values()
    return [Settlement(support.title, (x, y, z, a, b, c), case, name)]


def _named(word: str, supports: Sequence[Support]) -> Support:
    for support in supports:
        if support.title == word:
            return support
    titles = [s.title for s in supports]
    near = difflib.get_close_matches(word, titles, n=1)
    hint = f"did you mean {near[0]!r}?" if near else f"there are {', '.join(titles) or 'none'}"
    raise InputError(f"support: there is no support {word[:60]!r}; {hint}")


def _holds(support: Support, freedom: str) -> bool:
    if freedom == "y" and support.bearings:
        return True
    if freedom == "twist" and len(support.bearings) > 1:
        return True
    return getattr(support, freedom) not in (None, "free", 0)
