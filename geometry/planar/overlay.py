"""From a section to its planar map: edges cut where they meet, every shared border once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

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
    left, right : (m,) int arrays
        Region on each side of each edge, -1 where there is none. Contours run with their material
        on the left. Says nothing of edges inside a region.
    parted : (m,) bool array
        Whether a slit parts the material along the edge; one along a free border parts nothing.
    home : (m,) int array
        Region that an edge of a slit lies inside, -1 for edges of contours.
    stray : int array
        Edges of slits that lie in no material.
    """

    section: Section
    arrangement: Arrangement
    contours: tuple[Contour, ...]
    region_of: Ints
    rank: Ints
    contour_of: Ints
    first_edge: Ints
    left: Ints
    right: Ints
    parted: NDArray[np.bool_]
    home: Ints
    stray: Ints

    def middles(self, edges: Ints) -> Array:
        """(k, 2) middles of the given edges of the arrangement."""
        return _middles(self.arrangement, edges)

    def part(self, contour: int) -> tuple[int, int]:
        """Region and rank of a contour."""
        return int(self.region_of[contour]), int(self.rank[contour])

    def ends(self, source: int) -> tuple[tuple[float, float], tuple[float, float]]:
        """Both ends of a source edge of a contour, along it."""
        contour = self.contours[self.contour_of[source]]
        k = source - self.first_edge[self.contour_of[source]]
        (x, y), (u, v) = contour.points[k], contour.ends[k]
        return (x, y), (u, v)


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
    arranged = arrange(start, np.vstack(ends), np.concatenate(bulges), length_tolerance(start))
    region_of = np.array([k for k, r in enumerate(section.regions) for _ in r.contours])
    contour_of = np.repeat(names, counts)
    left, right = _sides(arranged, contour_of, region_of)
    return Overlay(
        section,
        arranged,
        contours,
        region_of,
        np.array([k for r in section.regions for k in range(1 + len(r.holes))]),
        contour_of,
        np.cumsum([0, *counts[: len(contours) - 1]]),
        left,
        right,
        *_slit_edges(section, arranged, contour_of, left, right),
    )


def _sides(a: Arrangement, contour_of: Ints, region_of: Ints) -> tuple[Ints, Ints]:
    contour = contour_of[a.source]
    left = np.full(len(a.edges), -1)
    right = left.copy()
    for forward, side in ((True, left), (False, right)):
        use = (contour >= 0) & (a.forward == forward)
        side[a.piece[use]] = region_of[contour[use]]
    return left, right


def _slit_edges(
    section: Section, a: Arrangement, contour_of: Ints, left: Ints, right: Ints
) -> tuple[NDArray[np.bool_], Ints, Ints]:
    """Which edges part the material, the region each of them lies inside, and those outside."""
    parted = np.zeros(len(a.edges), dtype=bool)
    home = np.full(len(a.edges), -1)
    if not section.slits:
        return parted, home, np.empty(0, dtype=np.int64)
    edges = np.unique(a.piece[contour_of[a.source] < 0])
    parted[edges] = (left[edges] >= 0) == (right[edges] >= 0)
    free = edges[(left[edges] < 0) & (right[edges] < 0)]
    middles = _middles(a, free)
    for k, region in enumerate(section.regions):
        home[free[inside(middles, region.contours)]] = k
    return parted, home, free[home[free] < 0]


def _middles(a: Arrangement, edges: Ints) -> Array:
    p = a.nodes[a.edges[edges]]
    return edge_points(p[:, 0], p[:, 1], a.bulges[edges], np.array([0.5]))[:, 0]


def planar_map(section: Section) -> PlanarMap:
    """The planar map of a valid section (see `validate.check`).

    Every edge is cut where an end or an edge of another meets it; nodes within the tolerance of
    `crossings` are merged; a piece of an arc is an arc of the same circle.
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
    embedded = tuple(np.flatnonzero(over.home == r) for r in range(len(over.section.regions)))
    return PlanarMap(a.nodes, a.edges, a.bulges, over.parted, faces, embedded)
