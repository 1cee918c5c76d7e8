"""Where nodes stand along a member, and which is at a station."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..model.imposed import Settlement
from ..model.load import LineLoad, SelfWeight
from ..model.member import Member
from ..model.restraint import Deck
from .course import Course
from .grading import graded

Array = NDArray[np.float64]


def nodes_of(member: Member, course: Course) -> Array:
    """Nodes graded toward all that acts for good; what travels gets its nodes and no more, as what
    dies out beside it within a plate's thickness is not told."""
    nodes = graded(course.pieces, breaks_of(member))
    least = 1e-6 * member.length
    more: list[float] = []
    for ends in _travelling(member):
        more += [z for z in ends if np.abs(np.append(nodes, more) - z).min() > least]
    return np.unique(np.append(nodes, more))


def _travelling(member: Member) -> list[tuple[float, ...]]:
    """Where what travels stands: the ends of each load, or its station."""
    return [
        (item.start, item.end) if isinstance(item, LineLoad) else (item.at,)
        for item in member.loads
        if not isinstance(item, SelfWeight) and item.placed
    ]


def breaks_of(member: Member) -> list[float]:
    """Stations where something acts or changes for good."""
    found: list[float] = member.axis.breaks.tolist()
    for item in (
        *member.supports,
        *member.restraints,
        *member.loads,
        *member.diaphragms,
        *member.hinges,
    ):
        if isinstance(item, SelfWeight) or getattr(item, "placed", False):
            continue
        found += [item.start, item.end] if isinstance(item, LineLoad | Deck) else [item.at]
    for strained in member.imposed:
        if not isinstance(strained, Settlement):
            found += [strained.start, strained.end]
    found += [point.at for tendon in member.tendons for point in tendon.points]
    return found


def looked_at(member: Member, count: int, start: float = 0.0, end: float | None = None) -> Array:
    """Stations at which motions are looked at: `count` of them evenly spaced from start to end (the
    member's by default), and wherever something acts or changes, where motions have their peaks.

    Those of a ring may lie beyond its length, once around.
    """
    end = member.length if end is None else end
    own = [z for ends in _travelling(member) for z in ends]
    places = np.array([*breaks_of(member), *own])
    if member.axis.closed:
        places = np.concatenate([places, places + member.length])
    inside = places[(places > start) & (places < end)]
    return np.unique(np.concatenate([np.linspace(start, end, count), inside]))


def node_at(nodes: Array, z: float, member: Member) -> int:
    """The node nearest to a station; the first for the last of a ring."""
    node = int(np.argmin(abs(nodes - z)))
    return 0 if member.axis.closed and node == len(nodes) - 1 else node
