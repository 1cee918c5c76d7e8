"""Do the regions of a section form one body? Overlaps, joints and slits.

Read from the arrangement of a section whose regions are each valid by themselves, so that every
region visits a node at most once. Then the sectors around a node need no angles: there are as many
as edges, one of them belongs to each region at the node, and the rest are empty.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..errors import GeometryError
from ..planar.arrangement import connected, runs
from ..planar.locate import inside
from ..planar.overlay import Overlay, slit_edges
from .naming import place, region_name, slit_name

Ints = NDArray[np.int64]

#: Chords that stand for arcs when the width of a gap is told, as a share of the section's size.
_GAP_DEVIATION = 1e-5


def check_overlaps(over: Overlay) -> None:
    """No two regions claim the same side of an edge, and no region's border runs inside another
    region.

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
        middle = over.middles(a.piece[use[[one]]])[0]
        raise _overlap(over, int(region[one]), int(region[other]), middle)
    left, right = over.sides()
    sample, _ = runs(a.nodes, a.edges)
    sample = sample[(left[sample] < 0) != (right[sample] < 0)]
    owner = np.maximum(left[sample], right[sample])
    middles = over.middles(sample)
    for r, other_region in enumerate(section.regions):
        x0, y0, x1, y1 = other_region.outline.bounds()
        x, y = middles.T
        near = np.flatnonzero((owner != r) & (x > x0) & (x < x1) & (y > y0) & (y < y1))
        for k in near[inside(middles[near], other_region.contours)]:
            raise _overlap(over, r, int(owner[k]), middles[k])


def _overlap(over: Overlay, one: int, other: int, where: NDArray[np.float64]) -> GeometryError:
    low, high = sorted((one, other))
    section = over.section
    return GeometryError(
        f"{region_name(section, high)} overlaps {region_name(section, low)} "
        f"near {place(where, section.unit)}; move one of them or cut it out of the other"
    )


def check_joints(over: Overlay) -> None:
    """The regions hang together by borders of positive length, and never by a point alone."""
    section, a = over.section, over.arrangement
    if len(section.regions) == 1:
        return
    left, right = over.sides()
    shared = (left >= 0) & (right >= 0)
    contour = over.contour_of[a.source]
    degree = np.bincount(a.edges[(left >= 0) | (right >= 0)].ravel(), minlength=len(a.nodes))
    visits = np.bincount(a.tail[contour >= 0], minlength=len(a.nodes))
    for node in np.flatnonzero(degree - visits > 1):
        here = np.unique(over.region_of[contour[(contour >= 0) & (a.tail == node)]])
        names = " and ".join(region_name(section, int(r)) for r in here)
        raise GeometryError(
            f"{names} touch only in a point at {place(a.nodes[node], section.unit)}; "
            f"let them share a border of some length there or move them apart"
        )
    body = connected(len(section.regions), np.stack([left[shared], right[shared]], axis=1))
    loose = np.flatnonzero(body != body[0])
    if loose.size:
        raise _gap(over, np.flatnonzero(body == body[0]), loose)


def _gap(over: Overlay, rest: Ints, loose: Ints) -> GeometryError:
    """The narrowest place between the two groups of regions, in words."""
    from shapely import LinearRing, MultiLineString, Point, get_coordinates, shortest_line

    section = over.section
    deviation = _GAP_DEVIATION * section.size()

    def borders(regions: Ints) -> list[LinearRing]:
        contours = [c for r in regions for c in section.regions[r].contours]
        return [LinearRing(c.polyline(deviation)) for c in contours]

    link = shortest_line(MultiLineString(borders(rest)), MultiLineString(borders(loose)))
    from_rest, to_loose = get_coordinates(link)
    others = borders(loose)
    owners = [r for r in loose for _ in section.regions[r].contours]
    nearest = int(np.argmin([ring.distance(Point(to_loose)) for ring in others]))
    width = f"{link.length:.3g} {section.unit}".rstrip()
    return GeometryError(
        f"{region_name(section, int(owners[nearest]))} is not joined to the rest of the section: "
        f"a gap of about {width} at {place(from_rest, section.unit)}; "
        f"let them share a border or solve them as sections of their own"
    )


def check_slits(over: Overlay) -> None:
    """Every slit parts something, and none parts the body in two.

    The body less its slits stays in one piece exactly when the slits, drawn as a graph in which
    every connected free border counts as one vertex, form no cycle (the plane is cut by closed
    curves only).
    """
    section, a = over.section, over.arrangement
    if not section.slits:
        return
    parted, _ = slit_edges(over)
    contour = over.contour_of[a.source]
    for k in range(len(section.slits)):
        if not parted[a.piece[contour == -1 - k]].any():
            raise GeometryError(
                f"{slit_name(section, k)} runs along a free border from "
                f"{place(section.slits[k].points[0], section.unit)} and parts nothing; remove it"
            )
    left, right = over.sides()
    free = (left < 0) != (right < 0)
    vertex = connected(len(a.nodes), a.edges[free])
    for edge in np.flatnonzero(parted):
        one, other = vertex[a.edges[edge]]
        if one == other:
            slit = -1 - int(contour[(contour < 0) & (a.piece == edge)][0])
            where = place(over.middles(np.array([edge]))[0], section.unit)
            raise GeometryError(
                f"{slit_name(section, slit)} cuts the section apart, near {where}: the two sides "
                "are joined nowhere else; weld them, shorten the slit or solve the parts as "
                "sections of their own"
            )
        vertex[vertex == max(one, other)] = min(one, other)
