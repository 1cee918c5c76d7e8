"""The planar map of a section: its edges cut where they meet, each stretch of border once.

This is what the mesh generator reads: two regions that share a border share its nodes and edges
here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, eq=False)
class PlanarMap:
    """Nodes, edges and faces of a section.

    Attributes
    ----------
    nodes : (n, 2) float array
        Points where edges start and end.
    edges : (m, 2) int array
        Start and end node of each edge.
    bulges : (m,) float array
        Bulge of each edge, from its start to its end (see `contour`).
    slit : (m,) bool array
        True for edges along which the two sides are not joined.
    faces : tuple of tuple of int arrays
        One entry a region, in the section's order: its loops, outline first and anticlockwise, then
        holes clockwise; a loop lists edges as +(k + 1), or -(k + 1) when run against the edge's
        direction.
    embedded : tuple of int arrays
        One entry a region: edges (k) of slits that lie inside it and belong to no loop.
    """

    nodes: NDArray[np.float64]
    edges: NDArray[np.int64]
    bulges: NDArray[np.float64]
    slit: NDArray[np.bool_]
    faces: tuple[tuple[NDArray[np.int64], ...], ...]
    embedded: tuple[NDArray[np.int64], ...]
