"""What a general finite-element library has to be told of a section: edges, sides, holes, ratios.

Taken from the section's planar map, so that sections of several regions and materials work too.
Made before the clock starts: the libraries are timed from here on.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from soapfilm.geometry.outline.contour import segment_area
from soapfilm.geometry.planar.overlay import planar_map
from soapfilm.geometry.section import Section

Array = NDArray[np.float64]
Ints = NDArray[np.int64]

#: A corner counts as sharp when it turns by more than this (radians); tangent arcs do not.
_SHARP = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class RegionPlan:
    """Edges with what lies on either side.

    Attributes
    ----------
    nodes : (n, 2)
    edges : (m, 2)
        Start and end node; borders run with the material on their left.
    bulges : (m,)
    left, right : (m,)
        Region on either side, -1 for none.
    loop : (m,)
        0 on the outline, k on the k-th hole, -1 between regions.
    loops : list of (e,) int arrays
        Edges of each region's loops, signed and from 1 as in the planar map.
    hole_areas : (h,)
    shear, modulus : (r,)
        G and E of each region by those of the first.
    size : float
        Diagonal of the bounding box.
    """

    nodes: Array
    edges: Ints
    bulges: Array
    left: Ints
    right: Ints
    loop: Ints
    faces: tuple[tuple[Ints, ...], ...]
    hole_areas: Array
    shear: Array
    modulus: Array
    size: float

    @property
    def holes(self) -> range:
        """Numbers of the holes: 1, 2, ..."""
        return range(1, len(self.hole_areas) + 1)

    @property
    def is_polygon(self) -> bool:
        """True when every edge is straight."""
        return not self.bulges.any()

    def corners(self, kind: str) -> NDArray[np.bool_]:
        """(n,) nodes of a kind.

        "re-entrant": material over more than half a turn, or two regions at a kink; "sharp": every
        kink; "all": every node.
        """
        if kind == "all":
            return np.ones(len(self.nodes), dtype=bool)
        angles = self._ray_angles()
        node = np.concatenate([self.edges[:, 0], self.edges[:, 1]])
        between = np.concatenate([self.loop < 0, self.loop < 0])
        border_start = np.concatenate([self.loop >= 0, np.zeros(len(self.loop), dtype=bool)])
        found = np.zeros(len(self.nodes), dtype=bool)
        for n in range(len(self.nodes)):
            here = node == n
            # The material at a border's corner spans from its outgoing to its incoming edge.
            out = angles[here & border_start]
            inward = angles[here & ~border_start & ~between]
            kink = not _straight(angles[here])
            if between[here].any() or len(out) != 1:
                found[n] = kink
            else:
                span = (inward[0] - out[0]) % (2 * np.pi)
                found[n] = kink and (kind == "sharp" or span > np.pi)
        return found

    def _ray_angles(self) -> Array:
        """(2 m,) direction in which each edge leaves its start, then its end."""
        d = self.nodes[self.edges[:, 1]] - self.nodes[self.edges[:, 0]]
        chord, half = np.arctan2(d[:, 1], d[:, 0]), 2 * np.arctan(self.bulges)
        return np.concatenate([chord - half, chord + half + np.pi])


def _straight(rays: Array) -> bool:
    """Whether the rays are just two that face each other."""
    if len(rays) != 2:
        return False
    turn = (rays[1] - rays[0]) % (2 * np.pi)
    return bool(abs(turn - np.pi) < _SHARP)


def region_plan(section: Section) -> RegionPlan:
    """The plan of a valid section without slits."""
    plan = planar_map(section)
    if plan.slit.any():
        raise ValueError("the reference solvers know no slits; model the gap with its width")
    left = np.full(len(plan.edges), -1)
    right = left.copy()
    for r, loops in enumerate(plan.faces):
        signed = np.concatenate(loops)
        left[signed[signed > 0] - 1] = r
        right[-signed[signed < 0] - 1] = r
    # Borders are turned so that their material lies on the left.
    turned = (left < 0) & (right >= 0)
    edges = np.where(turned[:, None], plan.edges[:, ::-1], plan.edges)
    bulges = np.where(turned, -plan.bulges, plan.bulges)
    left, right = np.where(turned, right, left), np.where(turned, left, right)
    faces = tuple(
        tuple(np.where(turned[np.abs(k) - 1], -k, k) for k in loops) for loops in plan.faces
    )
    loop, areas = _border_loops(plan.nodes, edges, bulges, right < 0)
    g = np.array([r.material.shear for r in section.regions])
    e = np.array([r.material.elastic_modulus for r in section.regions])
    return RegionPlan(
        plan.nodes,
        edges,
        bulges,
        left,
        right,
        loop,
        faces,
        areas,
        g / g[0],
        e / e[0],
        section.size(),
    )


def _border_loops(
    nodes: Array, edges: Ints, bulges: Array, border: NDArray[np.bool_]
) -> tuple[Ints, Array]:
    """Loop number of each border edge, and the holes' areas (loops that run clockwise)."""
    loop = np.full(len(edges), -1)
    following = {int(edges[k, 0]): int(k) for k in np.flatnonzero(border)}
    if len(following) != border.sum():
        raise ValueError("borders that meet in a point are not for the reference solvers")
    areas: list[float] = []
    for first in np.flatnonzero(border):
        if loop[first] >= 0:
            continue
        run, k = [], int(first)
        while not run or k != first:
            run.append(k)
            k = following[int(edges[k, 1])]
        p, q = nodes[edges[run, 0]] - nodes[0], nodes[edges[run, 1]] - nodes[0]
        area = 0.5 * np.sum(p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0])
        area += segment_area(np.sum((q - p) ** 2, axis=1), bulges[run]).sum()
        if area < 0:
            areas.append(-area)
        loop[run] = len(areas) if area < 0 else 0
    return loop, np.array(areas)
