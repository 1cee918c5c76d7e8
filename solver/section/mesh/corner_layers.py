"""Geometric layers toward corners: triangles cut again and again at one ratio of their edges."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ....geometry.outline.contour import edge_points, sub_bulge
from .refinement import split_edges
from .section_mesh import Array, Ints, SectionMesh, connect

#: Ratio of the geometric cuts toward a corner: near the optimum (sqrt(2) - 1)^2 = 0.17 for r^lambda
#: singularities (Gui & Babuska, Numer. Math. 49 (1986) 577).
RATIO = 0.15


def cut_toward(mesh: SectionMesh, corners: Ints, layers: Ints | int = 1) -> SectionMesh:
    """Cut every triangle at the given vertices parallel to its far edge, at `RATIO`, `RATIO`^2, ...
    of its edges: as many geometric `layers` as asked for at each vertex.

    Edges that join two of the vertices are halved first, so that no triangle has two of them.
    """
    wanted = np.zeros(len(mesh.vertices), dtype=np.int64)
    wanted[corners] = layers
    if not wanted.any():
        return mesh
    mesh = split_edges(mesh, np.flatnonzero((wanted[mesh.edges] > 0).all(axis=1)))
    wanted = np.append(wanted, np.zeros(len(mesh.vertices) - len(wanted), dtype=np.int64))
    ladder = _Ladder.toward(mesh, wanted)
    most = wanted[mesh.triangles]
    rest, t = np.flatnonzero(~most.any(axis=1)), np.flatnonzero(most.any(axis=1))
    at_v = np.argmax(most[t] > 0, axis=1)
    v = mesh.triangles[t, at_v]
    # local edges (0,1), (0,2), (1,2) are numbered by the sum of their vertices less one
    one, other = (mesh.triangle_edges[t, at_v + (at_v + k) % 3 - 1] for k in (1, 2))
    one, other = ladder.number[one], ladder.number[other]
    # the quadrilaterals are cut so that a side which bends inward does not come near the cut
    side_i, side_j = ladder.rungs[one], ladder.rungs[other]
    bend = ladder.bulges[one] + ladder.bulges[other]
    if bend.any():
        a, b = (mesh.vertices[side[:, 0]] - mesh.vertices[v] for side in (side_i, side_j))
        swap = (bend * (a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]) > 0)[:, None]
        side_i, side_j = np.where(swap, side_j, side_i), np.where(swap, side_i, side_j)
    n, own = wanted[v], np.arange(len(t))
    one, k = _counted(n)
    mi, mj, oi, oj = side_i[one, k], side_j[one, k], side_i[one, k - 1], side_j[one, k - 1]
    children = [mesh.triangles[rest], np.stack([v, side_i[own, n], side_j[own, n]], axis=1)]
    children += [np.stack([mi, oi, oj], axis=1), np.stack([mi, oj, mj], axis=1)]
    parent = np.concatenate([rest, t, t[one], t[one]])
    deeper = np.concatenate([np.zeros(len(rest), dtype=np.int64), n, k - 1, k - 1])
    whole = np.flatnonzero((mesh.bulges != 0) & (ladder.number < 0))
    pairs, bulges = ladder.arcs()
    return connect(
        np.vstack([mesh.vertices, ladder.points]),
        np.vstack(children),
        mesh.region[parent],
        np.vstack([mesh.edges[whole], pairs]),
        np.concatenate([mesh.bulges[whole], bulges]),
        mesh.depth[parent] + deeper,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Ladder:
    """The edges that run into corners, each cut as often as its corner wants layers.

    Attributes
    ----------
    number : (e,) int
        Row of each mesh edge below, -1 for those that stay whole.
    near : (m,) int
        The corner.
    count : (m,) int
        How often the edge is cut.
    bulges : (m,)
        From the corner outward.
    rungs : (m, most + 1) int
        Vertices from the far end to the last one before the corner.
    points : (k, 2)
        The new vertices.
    """

    number: Ints
    near: Ints
    count: Ints
    bulges: Array
    rungs: Ints
    points: Array

    @classmethod
    def toward(cls, mesh: SectionMesh, wanted: Ints) -> _Ladder:
        """Cut the edges at vertices that want layers."""
        at = wanted[mesh.edges] > 0
        cut = np.flatnonzero(at.any(axis=1))
        near, far = np.where(at[cut, 1], mesh.edges[cut, ::-1].T, mesh.edges[cut].T)
        bulges = np.where(at[cut, 1], -1.0, 1.0) * mesh.bulges[cut]
        count = wanted[near]
        edge, rung = _counted(count)
        rungs = np.full((len(cut), int(count.max()) + 1), -1, dtype=np.int64)
        rungs[:, 0] = far
        rungs[edge, rung] = len(mesh.vertices) + np.arange(len(edge))
        corner, end = mesh.vertices[near[edge]], mesh.vertices[far[edge]]
        points = edge_points(corner, end, bulges[edge], RATIO ** rung[:, None].astype(float))
        number = np.full(len(mesh.edges), -1, dtype=np.int64)
        number[cut] = np.arange(len(cut))
        return cls(number, near, count, bulges, rungs, points[:, 0])

    def arcs(self) -> tuple[Ints, Array]:
        """The pieces of those edges that are arcs: vertices (p, 2) and bulges (p,)."""
        arcs = np.flatnonzero(self.bulges)
        piece, step = _counted(self.count[arcs])
        own, last = arcs[piece], self.count[arcs]
        pairs = [
            np.stack([self.rungs[own, step], self.rungs[own, step - 1]], axis=1),
            np.stack([self.near[arcs], self.rungs[arcs, last]], axis=1),
        ]
        between = RATIO ** (step - 1.0) - RATIO ** step.astype(float)
        bulges = [
            sub_bulge(self.bulges[own], between),
            sub_bulge(self.bulges[arcs], RATIO ** last.astype(float)),
        ]
        return np.vstack(pairs), np.concatenate(bulges)


def _counted(count: Ints) -> tuple[Ints, Ints]:
    """Each index repeated `count` times, and beside it 1, 2, ... count."""
    index = np.repeat(np.arange(len(count)), count)
    return index, np.arange(1, len(index) + 1) - np.repeat(np.cumsum(count) - count, count)
