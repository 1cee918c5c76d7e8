"""From a section to its planar map: edges cut where they meet, every shared border once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..checks.naming import place, slit_name
from ..errors import GeometryError
from ..outline.contour import Contour, edge_points
from ..section import Section
from .arrangement import Arrangement, arrange
from .crossings import length_tolerance
from .locate import inside
from .planar_map import PlanarMap

Array = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Overlay:
    """The arrangement of all edges of a section, and what each of them belongs to.

    Attributes
    ----------
    section : Section
    arrangement : Arrangement
        Its sources: the edges of all contours in the order of `Section.contours`, then of all
        slits.
    contours : tuple of Contour
    region_of : (c,) int array
        Region of each contour.
    rank : (c,) int array
        0 for an outline, k for the hole k of its region.
    contour_of : (s,) int array
        Contour of each source edge; -1 - k for an edge of slit k.
    first_edge : (c,) int array
        Source number of each contour's first edge.
    """

    section: Section
    arrangement: Arrangement
    contours: tuple[Contour, ...]
    region_of: Ints
    rank: Ints
    contour_of: Ints
    first_edge: Ints

    def sides(self) -> tuple[Ints, Ints]:
        """Region on the left and right of each edge of the arrangement, -1 where there is none.

        Contours run with their material on the left. Says nothing of edges inside a region.
        """
        a = self.arrangement
        contour = self.contour_of[a.source]
        left = np.full(len(a.edges), -1)
        right = left.copy()
        for forward, side in ((True, left), (False, right)):
            use = (contour >= 0) & (a.forward == forward)
            side[a.piece[use]] = self.region_of[contour[use]]
        return left, right

    def middles(self, edges: Ints) -> Array:
        """(k, 2) middles of the given edges of the arrangement."""
        a = self.arrangement
        p = a.nodes[a.edges[edges]]
        return edge_points(p[:, 0], p[:, 1], a.bulges[edges], np.array([0.5]))[:, 0]


def overlay(section: Section) -> Overlay:
    """Arrange the edges of a section's contours and slits."""
    contours = tuple(section.contours())
    starts, ends = [c.points for c in contours], [c.ends for c in contours]
    bulges = [c.bulges for c in contours]
    for s in section.slits:
        run = np.asarray(s.points, dtype=float)
        starts.append(run[:-1])
        ends.append(run[1:])
        bulges.append(np.asarray(s.bulges, dtype=float))
    counts = [len(b) for b in bulges]
    names = [*range(len(contours)), *(-1 - k for k in range(len(section.slits)))]
    start = np.vstack(starts)
    return Overlay(
        section,
        arrange(start, np.vstack(ends), np.concatenate(bulges), length_tolerance(start)),
        contours,
        np.array([k for k, r in enumerate(section.regions) for _ in r.contours]),
        np.array([k for r in section.regions for k in range(1 + len(r.holes))]),
        np.repeat(names, counts),
        np.cumsum([0, *counts[: len(contours) - 1]]),
    )


def planar_map(section: Section) -> PlanarMap:
    """The planar map of a valid section (see `validate.check`).

    Every edge is cut where an end or an edge of another meets it; nodes within the tolerance of
    `crossings` are merged; a piece of an arc is an arc of the same circle.

    Raises
    ------
    GeometryError
        If a slit leaves the material.
    """
    return map_of(overlay(section))


def map_of(over: Overlay) -> PlanarMap:
    """The planar map of an overlay."""
    a = over.arrangement
    contour = over.contour_of[a.source]
    signed = np.where(a.forward, a.piece + 1, -a.piece - 1)
    on_contour = contour >= 0
    count = np.bincount(contour[on_contour], minlength=len(over.contours))
    loops = np.split(signed[on_contour], np.cumsum(count)[:-1])
    faces = tuple(
        tuple(loops[k] for k in np.flatnonzero(over.region_of == r))
        for r in range(len(over.section.regions))
    )
    slit, embedded = slit_edges(over)
    return PlanarMap(a.nodes, a.edges, a.bulges, slit, faces, embedded)


def slit_edges(over: Overlay) -> tuple[NDArray[np.bool_], tuple[Ints, ...]]:
    """Which edges part the material, and for each region those that lie inside it.

    A stretch of a slit along a free border parts nothing and is passed over.
    """
    a, section = over.arrangement, over.section
    parted = np.zeros(len(a.edges), dtype=bool)
    home = np.full(len(a.edges), -1)
    if section.slits:
        left, right = over.sides()
        contour = over.contour_of[a.source]
        edges, first = np.unique(a.piece[contour < 0], return_index=True)
        slits = -1 - contour[contour < 0][first]
        parted[edges] = (left[edges] >= 0) == (right[edges] >= 0)
        free = (left[edges] < 0) & (right[edges] < 0)
        middles = over.middles(edges[free])
        for k, region in enumerate(section.regions):
            home[edges[free][inside(middles, region.contours)]] = k
        for edge, slit, middle in zip(edges[free], slits[free], middles, strict=True):
            if home[edge] < 0:
                where = place(middle, section.unit)
                raise GeometryError(
                    f"{slit_name(section, slit)} leaves the material near {where}; "
                    f"let it run inside a region or along a border"
                )
    return parted, tuple(np.flatnonzero(home == k) for k in range(len(section.regions)))
