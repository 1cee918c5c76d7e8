"""Contours that cross, fold back or touch: themselves, or others of their region.

A valid contour visits every node and every edge of the arrangement once, and so does a valid region
with all its contours.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ..planar.crossings import CROSSING
from ..planar.locate import inside
from ..planar.overlay import Ints, Overlay
from .fault import Fault, Kind, Point

#: Kinds of a contact between two contours of a region: with the outline, and between two holes.
_ALONG = (Kind.HOLE_ALONG_OUTLINE, Kind.HOLES_ALONG)
_TOUCH = (Kind.HOLE_TOUCHES_OUTLINE, Kind.HOLES_TOUCH)
_CROSS = (Kind.HOLE_CROSSES_OUTLINE, Kind.HOLES_CROSS)


def crossings(over: Overlay) -> Iterator[Fault]:
    """Edges that cross another one inside both."""
    met = over.arrangement.meetings
    a, b = over.contour_of[met.first], over.contour_of[met.second]
    for k in np.flatnonzero((met.kind == CROSSING) & (a >= 0) & (b >= 0)):
        one, other = over.part(a[k]), over.part(b[k])
        at = (met.points[k, 0], met.points[k, 1])
        if a[k] == b[k]:
            ends = (*over.ends(met.first[k]), *over.ends(met.second[k]))
            yield Fault(Kind.CROSSES_ITSELF, contours=(one,), places=(at, *ends))
        elif one[0] == other[0]:
            low, high = sorted((one, other))
            yield Fault(_CROSS[low[1] > 0], contours=(high, low), places=(at,))
        else:
            yield Fault(Kind.REGIONS_CROSS, regions=(other[0], one[0]), places=(at,))


def folds(over: Overlay) -> Iterator[Fault]:
    """Edges that a region uses twice: there would be no material, or no hole, between the two."""
    a = over.arrangement
    for one, other in _repeated(over, a.piece):
        (x, y), (u, v) = a.nodes[a.edges[a.piece[one]]]
        c, d = over.contour_of[a.source[[one, other]]]
        ends = ((x, y), (u, v))
        if c != d:
            yield _contact(over, c, d, _ALONG, ends)
        else:
            yield Fault(Kind.FOLDS_BACK, contours=(over.part(c),), places=ends)


def touches(over: Overlay) -> Iterator[Fault]:
    """Nodes that a region visits twice."""
    a = over.arrangement
    for one, other in _repeated(over, a.tail):
        x, y = a.nodes[a.tail[one]]
        c, d = over.contour_of[a.source[[one, other]]]
        if c != d:
            yield _contact(over, c, d, _TOUCH, ((x, y),))
        else:
            ends = (*over.ends(a.source[one]), *over.ends(a.source[other]))
            yield Fault(Kind.TOUCHES_ITSELF, contours=(over.part(c),), places=((x, y), *ends))


def _repeated(over: Overlay, item: Ints) -> list[tuple[int, int]]:
    """The first two pieces of one region that share the same item (an edge or a node), if any."""
    a = over.arrangement
    pieces = np.flatnonzero(over.contour_of[a.source] >= 0)
    region = over.region_of[over.contour_of[a.source[pieces]]]
    key = region * (int(item.max(initial=0)) + 1) + item[pieces]
    order = np.argsort(key, kind="stable")
    twice = np.flatnonzero(np.diff(key[order]) == 0)
    if not twice.size:
        return []
    k = twice[np.argmin(order[twice])]
    return [(int(pieces[order[k]]), int(pieces[order[k + 1]]))]


def _contact(
    over: Overlay, one: int, other: int, only: tuple[Kind, Kind], places: tuple[Point, ...]
) -> Fault:
    """Two contours of one region meet at vertices or along edges: do they cross, overlap or only
    touch?"""
    low, high = sorted((int(one), int(other)), key=lambda c: int(over.rank[c]))
    pair = (over.part(high), over.part(low))
    within, beyond, at = _sides(over, high, low)
    if over.rank[low] == 0:
        if within and beyond:
            return Fault(Kind.HOLE_CROSSES_OUTLINE, contours=pair, places=(at,))
        if not within:
            kind = Kind.HOLE_OUTSIDE if beyond else Kind.HOLE_COVERS_OUTLINE
            return Fault(kind, contours=pair, places=(at,))
        return Fault(only[0], contours=pair, places=places)
    around, _, _ = _sides(over, low, high)
    if within or around or not beyond:
        return Fault(Kind.HOLES_OVERLAP, contours=pair, places=(at,))
    return Fault(only[1], contours=pair, places=places)


def _sides(over: Overlay, contour: int, base: int) -> tuple[bool, bool, Point]:
    """Whether pieces of a contour lie inside, and outside, another one, and a place on one of
    them."""
    a = over.arrangement
    of = over.contour_of[a.source]
    own = np.setdiff1d(a.piece[of == contour], a.piece[of == base])
    if not own.size:
        x, y = over.contours[contour].points[0]
        return False, False, (x, y)
    middles = over.middles(own)
    within = inside(middles, (over.contours[base],))
    # The odd ones out tell where the contour leaves the base.
    x, y = middles[np.argmin(within)] if within.any() else middles[0]
    return bool(within.any()), bool((~within).any()), (x, y)
