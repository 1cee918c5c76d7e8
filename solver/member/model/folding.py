"""Whether the material of a member fits into its curves and between its kinks.

Both pieces of a kink end in the plane that bisects it: a fibre at d from the axis, on the side
toward which it turns by alpha, loses d tan(alpha / 2) on either side of it, and d times the angle
of an arc on the way to the next kink. Where nothing is left, planes cross within the section and
the same material would be there twice. The member's ends are square.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol

from ....geometry.errors import InputError
from .axis import Axis
from .constants import SectionConstants


class Sectioned(Protocol):
    """What a segment tells here: where it runs, its section and that to which it tapers."""

    @property
    def start(self) -> float:
        """Along the axis."""

    @property
    def end(self) -> float:
        """Along the axis."""

    @property
    def section(self) -> SectionConstants:
        """At the start."""

    @property
    def section_end(self) -> SectionConstants | None:
        """At the end of a taper."""


def check_kinks(
    axis: Axis,
    segments: Sequence[Sectioned],
    x: float,
    shown: Callable[[float], str] = "{:g}".format,
) -> None:
    """Refuse kinks between which a fibre of the section has no length.

    Parameters
    ----------
    x : float
        Of the axis in the section.
    shown : function
        A length in words.

    Raises
    ------
    InputError
        Which kinks, how long the fibre is and what would do.
    """
    leans = [(k.at, math.tan(k.angle / 2), k.title) for k in axis.kinks]
    if not leans:
        return
    if axis.closed:
        (first, *_), (last, *_) = leans[0], leans[-1]
        before, after = (last - axis.length, *leans[-1][1:]), (first + axis.length, *leans[0][1:])
    else:
        before, after = (0.0, 0.0, "the start"), (axis.length, 0.0, "the end")
    for (a, lean, here), (b, other, there) in pairwise([before, *leans, after]):
        runs = [
            (max(a + turn, 0.0), min(b + turn, axis.length))
            for turn in (0.0, axis.length, -axis.length)
        ]
        runs = [(start, end) for start, end in runs if start < end]
        turned = lean + other + sum(_turn(axis, *run) for run in runs)
        for segment in segments:
            if not any(segment.start < end and segment.end > start for start, end in runs):
                continue
            for section in (segment.section, segment.section_end or segment.section):
                reach = section.inner_reach(turned, x) if turned else None
                if reach is not None and reach * abs(turned) >= b - a:
                    raise InputError(
                        f"{there}: it lies {shown(b - a)} from {here}, which leaves no material "
                        f"on the inner side of section {section.name!r}, {shown(reach)} from the "
                        f"axis, and the pieces would fold; put more than "
                        f"{shown(reach * abs(turned))} between them, or turn by less"
                    )


@dataclass(frozen=True, slots=True)
class TooTight:
    """A curve whose centre lies within a section: where its piece of the axis runs, the radius, and
    how far the section reaches toward the centre."""

    start: float
    end: float
    radius: float
    reach: float
    section: str


def tight_curves(axis: Axis, segments: Sequence[Sectioned], x: float) -> Iterator[TooTight]:
    """Curves that sections of some segments, with the axis at x of them, would fold on."""
    for piece, a, b in zip(axis.pieces, axis.breaks[:-1], axis.breaks[1:], strict=True):
        for segment in segments:
            if b <= segment.start or a >= segment.end:
                continue
            for section in (segment.section, segment.section_end or segment.section):
                for curvature in filter(None, piece.ends):
                    reach, radius = section.inner_reach(curvature, x), abs(1 / curvature)
                    if reach is not None and radius <= reach:
                        yield TooTight(a, b, radius, reach, section.name)


def check_radius(axis: Axis, n: int, segment: Sectioned, x: float) -> None:
    """Refuse a curve whose centre lies within the section of segment n.

    Raises
    ------
    InputError
        Which segment and radius, and what would do.
    """
    for one in tight_curves(axis, [segment], x):
        raise InputError(
            f"segment {n}: the plan radius {one.radius:g} is not larger than the {one.reach:g} "
            f"from the axis to the inner side of section {one.section!r}, which would fold; give "
            "a larger radius"
        )


def _turn(axis: Axis, start: float, end: float) -> float:
    """Angle by which the axis curves from start to end, kinks apart."""
    total = 0.0
    for piece, a, b in zip(axis.pieces, axis.breaks[:-1], axis.breaks[1:], strict=True):
        low, high = max(start, a), min(end, b)
        if low < high and piece.tightest:
            first, last = piece.ends
            middle = ((low + high) / 2 - a) / (b - a)
            total += float((first + (last - first) * middle) * (high - low))
    return total
