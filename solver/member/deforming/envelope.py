"""The largest stresses of a member with deforming sections: every station, combination and point of
the border of the material.

Left out, and said: the surroundings of re-entrant corners and of loads and bearings at points,
where elastic stress has no bound, and the neighbourhood of held ends within a plate's thickness.
Stress is largest at the surface of the material in all that bends, twists and shears.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ...section.deforming.elasticity.strain import strains
from ...section.torsion.peak import left_out
from ..model.load import LineLoad, PointLoad
from ..model.member import SAME_STATION
from ..model.solved_section import SolvedSection
from .course import MemberPart
from .holds import bearing_point
from .outline import material_mesh
from .shapes import border_spots
from .solution import DeformingSolution

Array = NDArray[np.float64]

#: Places on each border edge.
PLACES = 3

#: Numbers held at once.
CHUNK = 3_000_000

#: Stations of each element.
_SHARES = (0.0, 0.5, 1.0)


@dataclass(frozen=True, slots=True, eq=False)
class DeformingStress:
    """Largest stresses at m stations for c combinations.

    Attributes
    ----------
    z : (m,)
        Both sides of every node, and between.
    mises, shear : (m, c)
        Von Mises stress and resultant shear stress yz, xz on the section.
    tension, compression : (m, c)
        Largest and smallest normal stress, along the member or across it in the section's plane
        (there the principal one).
    utilisation : (m, c) or None
        Von Mises stress over strength; None where a material states no strength.
    points : (m, c, 2)
        Where the von Mises stress is largest.
    names : tuple of str
    zone : float
        Distance from point loads, bearings, held ends and steps within which nothing is said.
    corners_left_out : bool
        Whether the surroundings of sharp corners are left out.
    """

    z: Array
    mises: Array
    shear: Array
    tension: Array
    compression: Array
    utilisation: Array | None
    points: Array
    names: tuple[str, ...]
    zone: float
    corners_left_out: bool


@dataclass(frozen=True, slots=True, eq=False)
class _Surface:
    """Rows of stress (k, 6, n) at points (k, 2) of the border, and one over their strength."""

    points: Array
    still: Array
    along: Array
    over: Array | None


def stress_envelope(
    solution: DeformingSolution, sections: Mapping[str, SolvedSection]
) -> DeformingStress:
    """Search the member for its largest stresses."""
    nodes = solution.field.nodes
    z = (nodes[:-1, None] + np.diff(nodes)[:, None] * np.array(_SHARES)).ravel()
    element = np.repeat(np.arange(len(nodes) - 1), len(_SHARES))
    middle = (nodes[:-1] + nodes[1:])[element] / 2
    zone = plate_thickness(solution, sections)
    kept = np.ones(len(z), bool)
    disturbed = [*held_ends(solution), *steps(solution)]
    for at in disturbed:
        kept &= abs(z - at) > zone * (1 + 1e-9)
    # What is left out is looked at just beyond.
    near = [at + s * 1.001 * zone for at in disturbed for s in (-1, 1)]
    near = [s for s in near if 0 < s < solution.member.length]
    z = np.concatenate([z[kept], near])
    middle = np.concatenate([middle[kept], near])
    order = np.argsort(z, kind="stable")
    z, middle = z[order], middle[order]
    spots = loaded_spots(solution)
    index = np.array([solution.course.index(float(s)) for s in middle])
    count = len(solution.names)
    out = np.zeros((5, len(z), count))
    points = np.zeros((len(z), count, 2))
    strong = True
    for k in np.unique(index):
        part = solution.course.parts[k]
        own = np.flatnonzero(index == k)
        each = [own] if part.tapered is None else [np.array([i]) for i in own]
        for some in each:
            surface = _surface(part, float(z[some[0]]), solution, sections)
            strong = strong and surface.over is not None
            _search(solution, surface, z, middle, some, (spots, zone), out, points)
    used = out[4] if strong else None
    corners = any(s.result is not None and bool(s.result.corners) for s in sections.values())
    return DeformingStress(
        z, out[0], out[1], out[2], out[3], used, points, solution.names, zone, corners
    )


def plate_thickness(solution: DeformingSolution, sections: Mapping[str, SolvedSection]) -> float:
    """Mean thickness of the walls, 2 A / perimeter, the largest of all sections."""
    found = []
    for part in solution.course.parts:
        mesh = material_mesh(part.straight)
        border = mesh.edge_triangles()[:, 1] < 0
        ends = mesh.vertices[mesh.edges[border]]
        perimeter = float(np.hypot(*(ends[:, 1] - ends[:, 0]).T).sum())
        area = solution.member.section_at((part.start + part.end) / 2).area
        found.append(2 * area / perimeter)
    return max(found)


def held_ends(solution: DeformingSolution) -> list[float]:
    """Stations where the section's shape or warping is held rigidly."""
    rigid = {node for node, brace in solution.braces if brace.stiffness is None}
    nodes = sorted(solution.holds.clamped | rigid)
    return [float(solution.field.nodes[node]) for node in nodes]


def steps(solution: DeformingSolution) -> list[float]:
    """Stations where the material of the section changes: an edge along which stress has no
    bound."""
    found = []
    for before, after in pairwise(solution.course.parts):
        if before.straight is not after.straight:
            one, other = (part.at(after.start).elastic.solid for part in (before, after))
            if not np.array_equal(one, other):
                found.append(after.start)
    return found


_Spot = tuple[float, float, float, float]


def loaded_spots(solution: DeformingSolution) -> list[_Spot]:
    """(first z, last z, x, y) where a force acts at a point of the section."""
    member = solution.member
    found: list[_Spot] = []
    for load in member.loads:
        if isinstance(load, PointLoad) and any(load.force):
            x, y = member.locate(load.place, member.section_at(load.at))
            found.append((load.at, load.at, x, y))
        elif isinstance(load, LineLoad) and any((*load.force, *(load.force_end or ()))):
            x, y = member.locate(load.place, member.section_at(load.start))
            found.append((load.start, load.end, x, y))
    for support in member.supports:
        side = "left" if support.at >= member.length * (1 - SAME_STATION) else "right"
        for bearing in support.bearings:
            section = member.section_at(support.at)
            level = section.shear_centre[1] if bearing.y is None else section.height(bearing.y)
            point = (bearing.x, level)
            x, y = bearing_point(solution.grips, support.at, bearing, point, side)
            found.append((support.at, support.at, x, y))
    return found


def _surface(
    part: MemberPart,
    z: float,
    solution: DeformingSolution,
    sections: Mapping[str, SolvedSection],
) -> _Surface:
    section = part.at(z)
    mesh = section.fields.mesh
    points, still, along, owner = [], [], [], []
    for own, spots in border_spots(section, PLACES):
        u, gradient = section.fields.at(spots)
        a, b = strains(u, gradient, spots.points, section.curvature, spots.speed)
        laws = section.elastic.of(own)
        n = u.shape[-1]
        points.append(spots.points.reshape(-1, 2))
        still.append(laws.stress(a).reshape(-1, 6, n))
        along.append(laws.stress(b).reshape(-1, 6, n) / part.ratio)
        owner.append(np.repeat(own, PLACES))
    place = np.concatenate(points)
    keep = np.ones(len(place), bool)
    name = solution.member.section_at(min(max(z, part.start), part.end)).name
    solved = sections.get(name)
    over = None
    region = mesh.region[np.concatenate(owner)]
    if solved is not None and solved.result is not None:
        keep &= ~left_out(place, solved.result.corners)
        if solved.has_strength and len(set(solved.strengths)) == 1:
            over = np.full(len(place), 1 / float(solved.strengths[0] or 1.0))
        elif solved.has_strength and len(solution.course.parts) == 1:
            over = 1 / np.array(solved.strengths, float)[region]
    return _Surface(
        place[keep],
        np.concatenate(still)[keep],
        np.concatenate(along)[keep],
        None if over is None else over[keep],
    )


def _search(
    solution: DeformingSolution,
    surface: _Surface,
    z: Array,
    middle: Array,
    own: NDArray[np.intp],
    left: tuple[list[_Spot], float],
    out: Array,
    points: Array,
) -> None:
    """Fill `out` (mises, shear, tension, compression, utilisation) at some stations."""
    spots, zone = left
    k, _, n = surface.still.shape
    rows = np.concatenate([surface.still, surface.along], axis=2).reshape(k * 6, 2 * n)
    count = len(solution.names)
    step = max(1, CHUNK // (k * 6 * count))
    for first in range(0, len(own), step):
        some = own[first : first + step]
        after = middle[some] >= z[some]
        state = np.empty((len(some), 2 * n, count))
        for side, mine in (("right", after), ("left", ~after)):
            if mine.any():
                _, a, rate = solution.functions(z[some][mine], side)
                state[mine] = np.concatenate([a, rate], axis=1)
        flat = rows @ state.transpose(1, 0, 2).reshape(2 * n, -1)
        xx, yy, zz, yz, xz, xy = flat.reshape(k, 6, -1).transpose(1, 0, 2)
        shear = yz**2 + xz**2
        mises = ((xx - yy) ** 2 + (yy - zz) ** 2 + (zz - xx) ** 2) / 2 + 3 * (shear + xy**2)
        radius = np.hypot((xx - yy) / 2, xy)
        high = np.maximum(zz, (xx + yy) / 2 + radius)
        low = np.minimum(zz, (xx + yy) / 2 - radius)
        for start, end, x, y in spots:
            close = np.hypot(surface.points[:, 0] - x, surface.points[:, 1] - y) <= zone
            within = (z[some] >= start - zone) & (z[some] <= end + zone)
            columns = np.repeat(within, count)
            if close.any() and columns.any():
                block = np.ix_(close, columns)
                mises[block] = shear[block] = high[block] = low[block] = 0.0
        best = mises.argmax(axis=0)
        shape = (len(some), count)
        root = np.sqrt(mises)
        out[0][some] = root[best, np.arange(len(best))].reshape(shape)
        out[1][some] = np.sqrt(shear.max(axis=0)).reshape(shape)
        out[2][some] = high.max(axis=0).reshape(shape)
        out[3][some] = low.min(axis=0).reshape(shape)
        if surface.over is not None:
            out[4][some] = (root * surface.over[:, None]).max(axis=0).reshape(shape)
        points[some] = surface.points[best].reshape(*shape, 2)
