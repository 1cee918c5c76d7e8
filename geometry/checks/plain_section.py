"""One outline with its holes, valid beyond doubt: its planar map without an arrangement.

Most sections are one region whose borders are far apart; a few sums over all pairs of edges show
it. What they cannot show is left to all the rules of `validate`.
"""

from __future__ import annotations

import numpy as np

from ..outline.alike import AlikeEdges
from ..planar.planar_map import PlanarMap
from ..section import Section
from .clear_borders import clear_borders
from .holes import holes_out_of_place

#: Edges up to which all pairs are looked at: beyond, the arrangement is quicker.
_FEW = 120
#: Distance from the origin, in sizes of the section, up to which rounding does not count.
_FAR = 1e6


def plain_map(section: Section) -> PlanarMap | None:
    """The planar map of a section of one region whose borders are clear of each other and whose
    holes lie side by side within the outline; None where that is not beyond doubt."""
    if len(section.regions) > 1 or section.slits:
        return None
    contours = section.regions[0].contours
    if sum(len(c) for c in contours) > _FEW:
        return None
    edges = AlikeEdges.of([contours])
    points = edges.start[0]
    if (points == edges.end[0]).all(axis=1).any():
        return None
    if np.abs(points).max() > _FAR * np.ptp(points, axis=0).max():
        return None
    if not clear_borders(edges)[0] or any(holes_out_of_place(section)):
        return None
    return map_of_outline(edges)


def map_of_outline(edges: AlikeEdges) -> PlanarMap:
    """The planar map of a valid outline of one region, in the order of its contours' edges: the
    first of the outlines given."""
    count = len(edges.after)
    own = np.arange(count)
    loops = np.split(own + 1, np.flatnonzero(np.diff(edges.contour)) + 1)
    return PlanarMap(
        edges.start[0],
        np.stack([own, edges.after], axis=1),
        edges.bulges[0],
        np.zeros(count, dtype=bool),
        (tuple(loops),),
        (np.empty(0, dtype=np.int64),),
    )
