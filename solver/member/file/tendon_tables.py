"""Prestressing tendons of a member file.

::

    [[tendon]]
    case = "prestress"
    name = "tendon left"
    force = "2400 kN"              # where it is jacked
    points = [                     # at, x (default 0) and y of the section; y may be words
        { at = "start", y = "0.6 m below top" },
        { at = "end of span 1", y = "0.2 m below top", sag = "0.7 m" },
        { at = "end", y = "0.6 m below top", sag = "0.7 m", bow = "0.1 m" },
    ]                              # sag, bow: the run that ends here is a parabola, below its
                                   # chord and off it toward +x in the middle; else straight
    friction = 0.19                # mu, and per length the unintended angle k: losses of
    wobble = "0.01 rad/m"          # EN 1992-1-1 5.10.5.2 (from memory); none where left out
    jacked = "start"               # or "end", "both"

The tendon acts by its anchors, its curvature (that of the member's axis too) and its friction, all
in equilibrium with itself; its stiffness is not counted, nor losses other than friction.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, cast

from ....geometry.errors import InputError
from ....geometry.section_file.entry import Entry, naming
from ..model.member import Member
from ..model.tendon import Tendon, TendonPoint
from ..model.tendon_path import tendon_runs
from .positions import Along, level_of

_MOST = 200


def tendons_of(entry: Entry, along: Along) -> list[Tendon]:
    """The tendon of one table."""
    case = entry.text("case", "prestress") or "prestress"
    name = entry.text("name")
    entry.need("force", '"2400 kN"')
    force = entry.quantity("force", "force") or 0.0
    friction = entry.plain("friction", 0.0) or 0.0
    wobble = entry.quantity("wobble", "twist rate") or 0.0
    jacked = entry.choice("jacked", ("start", "end", "both"), "start")
    rows = entry.need("points", '[{ at = "start", y = -0.4 }, { at = "end", y = -0.4, sag = 0.5 }]')
    if not isinstance(rows, list) or not all(isinstance(row, Mapping) for row in rows):
        raise InputError(
            'points is a list like [{ at = "start", y = -0.4 }, { at = "end", y = 0 }]'
        )
    if len(rows) > _MOST:
        raise InputError(f"points has {len(rows)} rows; {_MOST} are the most")
    points = []
    for n, row in enumerate(rows, 1):
        inner = Entry("point", n, row, entry.units)
        with naming(inner.label):
            at = along.position(inner, "at")
            inner.need("y", '"0.6 m below top" (or a length)')
            y = level_of(inner, "y")
            assert y is not None
            x = inner.length("x") or 0.0
            points.append(
                TendonPoint(at, x, y, inner.length("sag") or 0.0, inner.length("bow") or 0.0)
            )
            inner.close()
    entry.close()
    end = cast(Literal["start", "end", "both"], jacked)
    return [Tendon(tuple(points), force, friction, wobble, end, case, name)]


def tried(member: Member, staged: bool) -> Member:
    """The member, when its tendons can be followed.

    Raises
    ------
    InputError
        In words.
    """
    if member.tendons and staged:
        raise InputError(
            "tendons are not followed in members built in stages; take the [[tendon]] or the "
            "[[stage]] tables out"
        )
    for tendon in member.tendons:
        tendon_runs(tendon, member)
    return member
