"""Joints whose throats other parts cover or cut: they carry no flow of their own any more."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ..checks.validate import checked_slits
from ..joint import JointLine
from ..outline.contour import edge_points
from ..outline.edges import Edges
from ..planar.locate import inside
from ..planar.overlay import Overlay
from ..section import Section

#: Ends this share of the section's size away from a free border lie on it.
_TOLERANCE = 1e-7


def with_free_joints(section: Section) -> Section:
    """The section without joints that do not run through material from free border to free border.

    Parts added after the plates may cover a throat's end, so that the flow goes past it; cuts may
    take the weld away. Each joint left out is told in a note.
    """
    if not section.joints:
        return section
    over = checked_slits(section)
    start, end, bulge = _free_edges(over)
    edges = Edges.of(start, end, bulge)
    tolerance = _TOLERANCE * section.size()
    kept, notes = [], []
    for joint in section.joints:
        ends = np.asarray(joint.points)[[0, -1]]
        free = all(_reached(edges, point, tolerance) for point in ends)
        if free and _in_material(over, joint, tolerance):
            kept.append(joint)
            continue
        notes.append(
            f"joint {joint.name!r} is left out: other parts cover or cut its throat, so what it "
            "carries alone cannot be told"
        )
    return replace(section, joints=tuple(kept), notes=(*section.notes, *notes))


def _free_edges(over: Overlay) -> tuple[NDArray[np.float64], ...]:
    """Start, end and bulge of the edges with material on one side, or parted by a slit."""
    a = over.arrangement
    free = np.flatnonzero(((over.left < 0) != (over.right < 0)) | over.parted)
    p = a.nodes[a.edges[free]]
    return p[:, 0], p[:, 1], a.bulges[free]


def _reached(edges: Edges, point: NDArray[np.float64], tolerance: float) -> bool:
    z = np.full(len(edges.p), complex(*point))
    return bool(edges.reach(z, tolerance)[0].any())


def _in_material(over: Overlay, joint: JointLine, tolerance: float) -> bool:
    """Whether the middle of every edge of the line lies in a region, or on a border of two."""
    points = np.asarray(joint.points, dtype=float)
    middles = edge_points(points[:-1], points[1:], np.asarray(joint.bulges), np.array([0.5]))[:, 0]
    within = np.zeros(len(middles), dtype=bool)
    for region in over.section.regions:
        within |= inside(middles, region.contours)
    if within.all():
        return True
    a = over.arrangement
    shared = np.flatnonzero((over.left >= 0) & (over.right >= 0))
    p = a.nodes[a.edges[shared]]
    borders = Edges.of(p[:, 0], p[:, 1], a.bulges[shared])
    return all(_reached(borders, point, tolerance) for point in middles[~within])
