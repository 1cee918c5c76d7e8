"""Pieces of the border whose arcs fold the triangle behind them, and halving them: finer arcs draw
other triangles."""

from __future__ import annotations

import numpy as np

from ....geometry.outline.contour import edge_points, sub_bulge
from .breakpoints import BrokenEdges
from .refinement import LEAST_STRETCH, smallest_stretch
from .section_mesh import Ints, SectionMesh


def folded_pieces(mesh: SectionMesh, broken: BrokenEdges) -> Ints:
    """Pieces whose arc folds the triangle behind it."""
    bad = mesh.triangle_edges[smallest_stretch(mesh) < LEAST_STRETCH]
    edges = np.unique(bad[mesh.bulges[bad] != 0])
    n = len(mesh.vertices)
    keys = mesh.edges[edges, 0] * n + mesh.edges[edges, 1]
    own = broken.pieces.min(axis=1) * n + broken.pieces.max(axis=1)
    return np.flatnonzero(np.isin(own, keys))


def halved(broken: BrokenEdges, which: Ints) -> BrokenEdges:
    """The same edges with some of their pieces cut in the middle."""
    a, b = broken.pieces[which].T
    p, q = broken.points[a], broken.points[b]
    middles = edge_points(p, q, broken.bulges[which], np.array([0.5]))[:, 0]
    count = np.ones(len(broken.pieces), dtype=np.int64)
    count[which] = 2
    old = np.repeat(np.arange(len(count)), count)
    pieces, bulges = broken.pieces[old], broken.bulges[old]
    second = np.flatnonzero(old[1:] == old[:-1]) + 1
    order = np.argsort(which)
    pieces[second, 0] = pieces[second - 1, 1] = len(broken.points) + order
    for k in (second, second - 1):
        bulges[k] = sub_bulge(bulges[k], np.full(len(k), 0.5))
    size = np.concatenate([broken.size, np.hypot(*(q - p).T) / 2])
    return BrokenEdges(np.vstack([broken.points, middles]), size, pieces, bulges, broken.edge[old])
