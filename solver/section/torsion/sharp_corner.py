"""Corners where the elastic shear stress is unbounded, and how strongly.

Near a vertex the fields behave as r^lambda, the stress as r^(lambda - 1): unbounded when lambda <
1. In one material lambda = pi/angle. Where materials meet, lambda is the smallest root of the
transmission problem: with u = A cos(lambda t) + B sin(lambda t) in a wedge of angle a and modulus
G, the pair (u, flux/lambda) turns by

    M = [[cos(lambda a), sin(lambda a)/G], [-G sin(lambda a), cos(lambda a)]],

and a fan of wedges that starts and ends at a free border needs (product of M)[1, 0] = 0, a full
turn of wedges trace(product) = 2. (Separation of variables; see Leguillon & Sanchez-Palencia,
Computation of Singular Solutions in Elliptic Problems and Elasticity, Wiley 1987, ch. 2.)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ....geometry.outline.contour import edge_tangents
from ....geometry.planar.planar_map import PlanarMap
from ..mesh.nearness import node_clearance
from ..mesh.section_mesh import Array, SectionMesh, border_angles, border_of

#: Within this of a straight angle (radians) a corner is taken as smooth: the stress then grows by 2
#: % at most over two decades of approach.
STRAIGHT = np.deg2rad(0.5)
#: Exponents above this count as bounded, for the same reason.
BOUNDED = 0.996
#: Curvatures that differ by less than this part of the larger one are one.
STEP = 0.05


@dataclass(frozen=True, slots=True)
class SharpCorner:
    """A place where the elastic stress is unbounded.

    Attributes
    ----------
    point : (x, y)
    exponent : float
        lambda: the stress grows as distance^(lambda - 1).
    kind : str
        In words, with the angle.
    clearance : float
        Distance to the nearest border that does not start there: about the wall's thickness.
    """

    point: tuple[float, float]
    exponent: float
    kind: str
    clearance: float


def vertex_exponents(mesh: SectionMesh, shear: Array) -> tuple[Array, Array]:
    """Leading exponent (v,) at each vertex of the mesh, and the border angle (v,) there.

    Exponents are nan where the border is smooth and in the interior of one material; angles are nan
    off the border.
    """
    angle = border_angles(mesh, border_of(mesh))
    out = np.where(np.abs(angle - np.pi) > STRAIGHT, np.pi / angle, np.nan)
    if np.ptp(shear) == 0:
        return out, angle
    pair = mesh.edge_triangles()
    inner = np.flatnonzero(pair[:, 1] >= 0)
    unlike = inner[shear[mesh.region[pair[inner, 0]]] != shear[mesh.region[pair[inner, 1]]]]
    for v in np.unique(mesh.edges[unlike]):
        fan = _fan(mesh, shear, int(v))
        root = _smallest_root(fan, closed=not np.isfinite(angle[v]))
        out[v] = np.nan if abs(root - 1) < 1 - BOUNDED or not np.isfinite(root) else root
    return out, angle


def curvature_steps(mesh: SectionMesh) -> NDArray[np.bool_]:
    """(v,) where the border runs on smoothly but its curvature steps, as between a line and an arc:
    r^2 log r is in the fields there, which polynomials find by powers of their order only."""
    border = border_of(mesh)
    p, q = mesh.vertices[border.start], mesh.vertices[border.end]
    curvature = 4 * border.bulges / ((1 + border.bulges**2) * np.hypot(*(q - p).T))
    ahead, behind = np.zeros((2, len(mesh.vertices)))
    ahead[border.start], behind[border.end] = curvature, curvature
    smooth = np.abs(border_angles(mesh, border) - np.pi) <= STRAIGHT
    larger = np.maximum(np.abs(ahead), np.abs(behind))
    return np.asarray(smooth & (np.abs(ahead - behind) > STEP * larger))


def _fan(mesh: SectionMesh, shear: Array, vertex: int) -> list[tuple[float, float]]:
    """(angle, modulus) of the wedges around a vertex, in order, neighbours of one modulus
    merged."""
    spans = []
    for t in np.flatnonzero((mesh.triangles == vertex).any(axis=1)):
        directions = []
        for e in mesh.triangle_edges[t]:
            a, b = mesh.edges[e]
            if vertex not in (a, b):
                continue
            p, q, bulge = mesh.vertices[a], mesh.vertices[b], mesh.bulges[e]
            ends = edge_tangents(p[None], q[None], np.array([bulge]), np.array([0.0, 1.0]))[0]
            d = ends[0] if vertex == a else -ends[1]
            directions.append(np.arctan2(d[1], d[0]))
        first, second = directions
        width = (second - first) % (2 * np.pi)
        if width > np.pi:  # a triangle's own angle is never reflex
            first, width = second, 2 * np.pi - width
        spans.append((first % (2 * np.pi), width, float(shear[mesh.region[t]])))
    spans.sort()
    starts = [s for s, _, _ in spans]
    ends = [(s + w) % (2 * np.pi) for s, w, _ in spans]
    gap = [
        k
        for k, s in enumerate(starts)
        if not any(abs((s - e + np.pi) % (2 * np.pi) - np.pi) < 1e-6 for e in ends)
    ]
    if gap:  # an open fan starts behind the void
        spans = spans[gap[0] :] + spans[: gap[0]]
    merged: list[tuple[float, float]] = []
    for _, width, g in spans:
        if merged and merged[-1][1] == g:
            merged[-1] = (merged[-1][0] + width, g)
        else:
            merged.append((width, g))
    return merged


def _smallest_root(fan: list[tuple[float, float]], closed: bool) -> float:
    """Smallest exponent in (0, 4] of a fan of wedges; nan when there is none, as along a smooth
    interface."""
    # strong contrasts have roots near zero: four quarters of G and g one of 4/pi sqrt(g/G)
    grid = np.concatenate([np.geomspace(1e-5, 0.01, 200)[:-1], np.linspace(0.01, 4.0, 2000)])
    product = np.broadcast_to(np.eye(2), (len(grid), 2, 2))
    scale = max(g for _, g in fan)
    for angle, g in fan:
        c, s, k = np.cos(grid * angle), np.sin(grid * angle), g / scale
        turn = np.stack([np.stack([c, s / k], -1), np.stack([-k * s, c], -1)], -2)
        product = turn @ product
    # the full turn's function only touches zero at whole numbers: the shift keeps rounding from
    # crossing it
    f = product[:, 0, 0] + product[:, 1, 1] - 2 - 1e-9 if closed else product[:, 1, 0]
    change = np.flatnonzero(np.sign(f[1:]) != np.sign(f[:-1]))
    if not change.size:
        return float("nan")
    i = int(change[0])
    return float(grid[i] - f[i] * (grid[i + 1] - grid[i]) / (f[i + 1] - f[i]))


def unbounded_corners(mesh: SectionMesh, shear: Array, plan: PlanarMap) -> tuple[SharpCorner, ...]:
    """All places of the section where the stress is unbounded, each once."""
    exponent, angle = vertex_exponents(mesh, shear)
    unbounded = np.flatnonzero(exponent < BOUNDED)
    if not unbounded.size:
        return ()
    start, end = plan.nodes[plan.edges[:, 0]], plan.nodes[plan.edges[:, 1]]
    clear = node_clearance(plan.nodes, plan.edges, start, end, plan.bulges)
    corners: dict[tuple[float, float], SharpCorner] = {}
    for v in unbounded:
        x, y = (float(c) for c in mesh.vertices[v])
        node = int(np.argmin(np.hypot(*(plan.nodes - mesh.vertices[v]).T)))
        degrees = np.rad2deg(angle[v])
        if not np.isfinite(degrees):
            kind = "corner of an interface between materials"
        elif degrees > 359.9:
            kind = "tip of a slit"
        elif degrees > 180.5:
            kind = f"re-entrant corner of {degrees:.0f} degrees"
        else:
            kind = "end of an interface between materials"
        corners.setdefault(
            (x, y), SharpCorner((x, y), float(exponent[v]), kind, float(clear[node]))
        )
    return tuple(corners.values())
