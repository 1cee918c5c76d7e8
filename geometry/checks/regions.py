"""Regions that overlap, touch in a point only, or do not hang together.

Read from the arrangement of a section whose regions are each valid by themselves, so that every
region visits a node at most once. Then the sectors around a node need no angles: there are as many
as edges, one of them belongs to each region at the node, and the rest are empty.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ..outline.edges import Array
from ..planar.arrangement import connected, runs
from ..planar.locate import inside
from ..planar.overlay import Ints, Overlay
from ..section import Section
from .fault import Fault, Kind

#: Chords that stand for arcs when the width of a gap is told, as a share of the section's size.
_GAP_DEVIATION = 1e-5


def overlaps(over: Overlay) -> Iterator[Fault]:
    """Edges with one side claimed by two regions, and borders inside another region.

    Borders that run along together between two branchings are sampled once.
    """
    section, a = over.section, over.arrangement
    if len(section.regions) == 1:
        return
    contour = over.contour_of[a.source]
    use = np.flatnonzero(contour >= 0)
    region = over.region_of[contour[use]]
    key = 2 * a.piece[use] + a.forward[use]
    order = np.argsort(key, kind="stable")
    for k in np.flatnonzero(np.diff(key[order]) == 0):
        one, other = order[k], order[k + 1]
        yield _overlap(region[one], region[other], over.middles(a.piece[use[[one]]])[0])
    sample, _ = runs(a.nodes, a.edges)
    sample = sample[(over.left[sample] < 0) != (over.right[sample] < 0)]
    owner = np.maximum(over.left[sample], over.right[sample])
    middles = over.middles(sample)
    for r, other_region in enumerate(section.regions):
        x0, y0, x1, y1 = other_region.outline.bounds()
        x, y = middles.T
        near = np.flatnonzero((owner != r) & (x > x0) & (x < x1) & (y > y0) & (y < y1))
        for k in near[inside(middles[near], other_region.contours)]:
            yield _overlap(r, owner[k], middles[k])


def _overlap(one: int, other: int, where: Array) -> Fault:
    low, high = sorted((int(one), int(other)))
    return Fault(Kind.REGIONS_OVERLAP, regions=(high, low), places=((where[0], where[1]),))


def point_contacts(over: Overlay) -> Iterator[Fault]:
    """Nodes where regions meet that share no edge there."""
    a = over.arrangement
    if len(over.section.regions) == 1:
        return
    contour = over.contour_of[a.source]
    bordered = (over.left >= 0) | (over.right >= 0)
    degree = np.bincount(a.edges[bordered].ravel(), minlength=len(a.nodes))
    visits = np.bincount(a.tail[contour >= 0], minlength=len(a.nodes))
    for node in np.flatnonzero(degree - visits > 1):
        here = np.unique(over.region_of[contour[(contour >= 0) & (a.tail == node)]])
        x, y = a.nodes[node]
        yield Fault(Kind.REGIONS_TOUCH, regions=tuple(here.tolist()), places=((x, y),))


def gaps(over: Overlay) -> Iterator[Fault]:
    """Regions that share no border of positive length with the rest."""
    count = len(over.section.regions)
    if count == 1:
        return
    shared = (over.left >= 0) & (over.right >= 0)
    body = connected(count, np.stack([over.left[shared], over.right[shared]], axis=1))
    loose = np.flatnonzero(body != body[0])
    if loose.size:
        yield _gap(over.section, np.flatnonzero(body == body[0]), loose)


def _gap(section: Section, rest: Ints, loose: Ints) -> Fault:
    """The narrowest place between the two groups of regions."""
    from shapely import LinearRing, MultiLineString, Point, get_coordinates, shortest_line

    deviation = _GAP_DEVIATION * section.size()

    def borders(regions: Ints) -> list[LinearRing]:
        contours = [c for r in regions for c in section.regions[r].contours]
        return [LinearRing(c.polyline(deviation)) for c in contours]

    link = shortest_line(MultiLineString(borders(rest)), MultiLineString(borders(loose)))
    from_rest, to_loose = get_coordinates(link)
    others = borders(loose)
    owners = [int(r) for r in loose for _ in section.regions[r].contours]
    nearest = int(np.argmin([ring.distance(Point(to_loose)) for ring in others]))
    at = (from_rest[0], from_rest[1])
    return Fault(Kind.GAP, regions=(owners[nearest],), places=(at,), length=float(link.length))
